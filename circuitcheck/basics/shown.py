"""What shows itself in a notebook: a room above says how, the thing itself only asks.

Notebooks ask a thing for ``_repr_html_``, ``_repr_svg_`` and the like. Operating points know
nothing of reports; so reports tell with `shows` how they look, and without it a notebook
prints them as Python does.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, TypeVar

T = TypeVar("T", bound="Shown")


class Form(Protocol):
    """How a thing looks: a piece of HTML, and the same in 80 columns of text."""

    @property
    def html(self) -> str: ...

    @property
    def text(self) -> str: ...


_FORMS: dict[type[Any], Callable[[Any], Form]] = {}


class Shown:
    """Shows itself in a notebook and in IPython, once something has said how."""

    def __init_subclass__(cls, **rest: Any) -> None:
        super().__init_subclass__(**rest)
        # IPython prefers the __repr__ of a dataclass to what its base has to say
        cls._repr_pretty_ = Shown._repr_pretty_  # type: ignore[method-assign]

    def _repr_html_(self) -> str | None:
        form = _FORMS.get(type(self))
        return None if form is None else form(self).html

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:  # noqa: ARG002 - of IPython
        form = _FORMS.get(type(self))
        printer.text(repr(self) if form is None else form(self).text.strip("\n"))


def shows(kind: type[T], form: Callable[[T], Form]) -> None:
    """Say how things of a kind are shown."""
    _FORMS[kind] = form


class DrawnText(str):
    """An SVG file as text, which a notebook shows as a picture."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:  # noqa: ARG002 - of IPython
        printer.text(f"an SVG drawing of {len(self)} letters")


class DrawnBytes(bytes):
    """A picture as the bytes of a file, which a notebook shows; PDF it does not show."""

    def _repr_svg_(self) -> str | None:
        return self.decode("utf-8") if b"<svg" in self[:2000] else None

    def _repr_png_(self) -> bytes | None:
        return bytes(self) if self.startswith(b"\x89PNG") else None

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:  # noqa: ARG002 - of IPython
        printer.text(f"a picture of {len(self)} bytes")
