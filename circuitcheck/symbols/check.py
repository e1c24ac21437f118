"""Check valve: free flow upwards, in to out."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("check", "check valve")


def draw(look: Look) -> Symbol:
    """Draw ball and seat; the spring only where an opening pressure is given."""
    sprung = look.chosen("spring loaded") or bool(look.has & {"cracking"})
    return symbol(
        "CS(0,0)" if sprung else "CK(0,0)",
        {"in": port(0, 2, "S"), "out": port(0, -2, "N")},
        turn=True,
        spots=("right", "left"),
    )
