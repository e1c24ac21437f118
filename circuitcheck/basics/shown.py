"""What shows itself in a notebook: a room above says how, the thing itself only asks.

Notebooks ask a thing for ``_repr_html_``, ``_repr_svg_`` and the like. Operating points know
nothing of reports; so reports tell with `shows` how they look, and without it a notebook
prints them as Python does.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

T = TypeVar("T", bound="Shown")

_FORMS: dict[type[Any], Callable[[Any], str]] = {}


class Shown:
    """Shows itself in a notebook, once something has said how."""

    def _repr_html_(self) -> str | None:
        form = _FORMS.get(type(self))
        return None if form is None else form(self)


def shows(kind: type[T], form: Callable[[T], str]) -> None:
    """Say how things of a kind are shown: ``form`` gives a piece of HTML."""
    _FORMS[kind] = form


class DrawnText(str):
    """An SVG file as text, which a notebook shows as a picture."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


class DrawnBytes(bytes):
    """A picture as the bytes of a file, which a notebook shows; PDF it does not show."""

    def _repr_svg_(self) -> str | None:
        return self.decode("utf-8") if b"<svg" in self[:2000] else None

    def _repr_png_(self) -> bytes | None:
        return bytes(self) if self.startswith(b"\x89PNG") else None
