"""Load-sensing valve section: compensator before a proportional spool, own sensing port."""

from circuitcheck.symbols._directional import directional
from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "section"
Positions = dict[str, tuple[tuple[str, ...], ...]]
_USUAL: Positions = {
    "a": (("P", "A"), ("B", "T")),
    "centre": (),
    "b": (("P", "B"), ("A", "T")),
}


def draw(look: Look) -> Symbol:
    """Draw the section in one dash-dot frame, the compensator open at rest."""
    full = Look(
        choices=look.choices,
        ports=("P", "LS", "T", "A", "B"),
        positions=_vented(dict(look.positions) or _USUAL, look.rest or "centre"),
        rest=look.rest or "centre",
        actuation=look.actuation or ("proportional", "spring centred"),
    )
    valve, _ = directional(full, leads=False)
    compensator = (
        "L -2,2 -2,6; V -2,10 -2,6; SQ(-2,8); L -2,10 -2,15; SP(-4,8,180);"
        "D -2,5 1,5 1,8 0,8; JD(-2,5);"
        "D 0,2 0,3 -8,3 -8,8 -6,8; D -8,3 -16,3; JD(-8,3); L 2,2 2,15;"
        "L -2,-2 -2,-6; L 2,-2 2,-6; K -14,-3.5 28 16"
    )
    anchors = {
        "P": port(-2, 15, "S"),
        "T": port(2, 15, "S"),
        "A": port(-2, -6, "N"),
        "B": port(2, -6, "N"),
        "LS": port(-16, 3, "W", dashed=True),
    }
    return symbol(
        f"{valve}; {compensator}",
        anchors,
        letters="P T A B LS",
        spots=("below", "right", "above"),
    )


def _vented(positions: Positions, rest: str) -> Positions:
    """Join the sensing port to tank in the rest position, as every such section does."""
    if rest not in positions or any("LS" in group for group in positions[rest]):
        return positions
    return {**positions, rest: (*positions[rest], ("LS", "T"))}
