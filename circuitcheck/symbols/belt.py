"""Belt drive: two pulleys and the belt round them. Form is our own choice."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("belt", "belt drive")


def draw(look: Look) -> Symbol:
    """Draw both pulleys from their faces, the belt as two lines."""
    pulleys = "C 0,2 1; C 0,-2 1; L -1,2 -1,-2; L 1,2 1,-2; B 0,2 .25; B 0,-2 .25"
    return symbol(
        f"{pulleys}; SH(-1,2,180); SH(1,-2)",
        {"shaft": port(-3, 2, "W"), "shaft out": port(3, -2, "E")},
        spots=("right", "below", "above"),
    )
