"""Check valve: free flow upwards, in to out."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("check", "check valve")


def draw(look: Look) -> Symbol:
    """Draw ball and seat; the spring only where an opening pressure is given."""
    sprung = look.chosen("spring loaded") or bool(look.has & {"cracking"})
    check = ("SL" if look.shows("open") else "CS") if sprung else look.check("open")
    return symbol(
        f"{check}(0,0)",
        {"in": port(0, 2, "S"), "out": port(0, -2, "N")},
        turn=True,
        spots=("right", "left"),
    )
