"""Section of an open-centre bank: six ports, the through passage open at rest."""

from dataclasses import replace

from circuitcheck.basics.shapes import Text
from circuitcheck.symbols._directional import Positions, directional
from circuitcheck.symbols._parts import LETTER, Look, Symbol, symbol

WORDS = ("bank section", "open-centre section")
_USUAL: Positions = {
    "a": (("P", "A"), ("B", "T")),
    "centre": (("N", "NO"),),
    "b": (("P", "B"), ("A", "T")),
}


def draw(look: Look) -> Symbol:
    """Draw the section; in a parallel gallery its load check stands in the supply."""
    ports = look.ports or ("P", "N", "NO", "A", "B", "T")
    checked = "P" in ports and not look.chosen("no load check")
    reach = 8 if checked else 4
    text, anchors = directional(
        Look(
            choices=look.choices,
            ports=ports,
            positions=look.positions or _USUAL,
            rest=look.rest or "centre",
            actuation=look.actuation or ("lever", "spring centred"),
            shown=look.shown,
        ),
        reach=reach,
    )
    if checked:
        text = text.replace(f"L -2,2 -2,{reach}", "L -2,2 -2,4; CK(-2,6)")
    letters = " ".join(name for name in anchors if name != "NO")
    drawn = symbol(text, anchors, letters=letters, spots=("left", "right", "below"))
    # the letters of NO stand to the right of its lead, the B of the next one is beyond its own
    return replace(drawn, shapes=(*drawn.shapes, Text((1.0, -2.9), "NO", 0.8 * LETTER)))
