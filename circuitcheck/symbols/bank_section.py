"""Section of an open-centre bank: six ports, the through passage open at rest."""

from circuitcheck.symbols._directional import Positions, directional
from circuitcheck.symbols._parts import Look, Symbol, symbol

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
            shown=look.shown.partition(", ")[0],
        ),
        reach=reach,
    )
    if checked:
        text = text.replace(f"L -3,2 -3,{reach}", f"L -3,2 -3,4; {look.check()}(-3,6)")
    return symbol(
        text,
        anchors,
        letters=" ".join(anchors),
        left="NO",
        spots=("left", "right", "below"),
    )
