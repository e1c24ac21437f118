"""Load-sensing valve section: compensator before or behind a proportional spool."""

from circuitcheck.symbols._directional import Positions, directional, spool_shift, vented
from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "section"
_USUAL: Positions = {
    "a": (("P", "A"), ("B", "T")),
    "centre": (),
    "b": (("P", "B"), ("A", "T")),
}


def draw(look: Look) -> Symbol:
    """Draw the section in one dash-dot frame, the compensator open at rest."""
    positions, rest = dict(look.positions) or _USUAL, look.rest or "centre"
    position = look.shown.partition(", ")[0]
    valve, _ = directional(
        Look(
            choices=look.choices,
            ports=("P", "LS", "T", "A", "B"),
            positions=vented(positions, rest),
            rest=rest,
            actuation=look.actuation or ("proportional", "spring centred"),
            shown=position,
        ),
        leads=False,
    )
    # the frame holds the spool where it stands
    pushed = spool_shift(positions, rest, position, wide=6)
    left, right = -14 + min(pushed, 0), 14 + 6 * (len(positions) - 3) + max(pushed, 0)
    sharing = look.chosen("flow sharing")
    foot = 17 if sharing else 15
    draws = _behind if sharing else _before
    text = draws(left, right, look.shows("between")).format(valve=valve)
    anchors = {
        "P": port(-2, foot, "S"),
        "T": port(2, foot, "S"),
        "A": port(-2, -6, "N"),
        "B": port(2, -6, "N"),
        "LS": port(left - 2, 3, "W", dashed=True),
    }
    return symbol(text, anchors, letters="P T A B LS", spots=("below", "right", "above"))


def _before(left: int, right: int, throttling: bool) -> str:
    """Compensator in the supply of the spool; it closes as the metered pressure rises."""
    arrow = -2.5 if throttling else -2
    return (
        f"{{valve}}; L -2,2 -2,6; V {arrow},10 {arrow},6; SQ(-2,8); L -2,10 -2,15; SP(-4,8,180);"
        f"D -2,5 1,5 1,8 0,8; JD(-2,5); D 0,2 0,3 -8,3 -8,8 -6,8; D -8,3 {left - 2},3; JD(-8,3);"
        f"L 2,2 2,15; L -2,-2 -2,-6; L 2,-2 2,-6; K {left},-3.5 {right - left} 16"
    )


def _behind(left: int, right: int, throttling: bool) -> str:
    """Compensator fed by the metering edge; the metered pressure opens it, spring and common
    signal shut it, at rest too. The edge is drawn before it, the spool only directs."""
    arrow = -1.5 if throttling else -1
    return (
        f"{{valve}}; L -2,2 -2,5; V {arrow},9 {arrow},5; SQ(-2,7); L -2,9 -2,10;"
        "RE(-2,12); AR(-2,12); L -2,14 -2,17; SP(-4,7,180); D -2,9.5 1,9.5 1,7 0,7; JD(-2,9.5);"
        f"D 0,2 0,3 -8,3 -8,7 -6,7; D -8,3 {left - 2},3; JD(-8,3);"
        f"L 2,2 2,17; L -2,-2 -2,-6; L 2,-2 2,-6; K {left},-3.5 {right - left} 18.5"
    )
