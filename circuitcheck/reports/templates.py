"""The HTML templates of this room: escaped by themselves, and nothing missing goes unseen."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from circuitcheck.basics.folders import PACKAGE

if TYPE_CHECKING:
    from jinja2 import Template


@cache
def template(name: str) -> Template:
    """Give a template by its file name; the library is loaded when it is first asked for."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(PACKAGE / "reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)
