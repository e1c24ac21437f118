"""What the manual makes from the program while it is built: pages, drawings, colours.

``<!-- made: units -->`` on a page stands for what `MADE` makes under that name, and a block
``{drawing} press.hyc, press, colours`` for the schematic of a circuit, in a step, with extras.
"""

import re
from pathlib import Path
from typing import Any

from docutils import nodes
from fences import fences
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from circuitcheck.basics.findings import Severity
from circuitcheck.basics.folders import folder
from circuitcheck.cli._manual import commands
from circuitcheck.components import kinds
from circuitcheck.editing.pygments_lexer import CircuitLexer
from circuitcheck.pipeline import load, parse
from circuitcheck.reports import manual
from circuitcheck.reports.reference import reference_page

MADE = {
    "chapters": manual.chapters,
    "units": manual.units,
    "grammar": manual.grammar,
    "kinds": lambda: reference_page(kinds()).partition("do not edit.\n")[2],
    "errors": lambda: manual.rules(Severity.ERROR),
    "warnings": lambda: manual.rules(Severity.WARNING),
    "advice": lambda: manual.rules(Severity.ADVICE),
    "told": manual.told_beside,
    "laws": manual.laws,
    "cautions": manual.warnings,
    "commands": commands,
}
_MARK = re.compile(r"^<!-- made: (\w+) -->$", re.M)


def made(page: str) -> str:
    """Give a page with everything in it that is made; ``KeyError`` for a name not in `MADE`."""
    return _MARK.sub(lambda found: MADE[found[1]](), page)


class Drawing(SphinxDirective):
    """The schematic of a circuit of the page, or of the examples."""

    required_arguments = 1
    final_argument_whitespace = True

    def run(self) -> list[nodes.Node]:
        """Draw it; a circuit that is neither here nor there is an error of the page."""
        name, step, *extras = (word.strip() for word in f"{self.arguments[0]},".split(","))
        page = Path(self.env.doc2path(self.env.docname)).read_text(encoding="utf-8")
        own = [fence for fence in fences(page) if fence.name == name]
        project = parse(own[-1].text, name) if own else load(folder("examples") / name)
        svg = project.draw(step, [extra for extra in extras if extra])
        drawn = f'<div class="drawn">{svg[svg.index("<svg") :]}</div>'
        return [nodes.raw("", drawn, format="html")]


def setup(app: Sphinx) -> dict[str, Any]:
    """Tell Sphinx of all this."""

    def read(_: Sphinx, __: str, source: list[str]) -> None:
        source[0] = made(source[0])

    app.connect("source-read", read)
    app.add_directive("drawing", Drawing)
    app.add_lexer("hyc", CircuitLexer)
    return {"parallel_read_safe": True}
