"""Tank: the local reservoir mark, drawn once at every line that ends in it."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORDS = ("tank", "reservoir")


def draw(look: Look) -> Symbol:
    """Draw the open box with a line that ends above the fluid level or below it."""
    below = "below" in look.has
    lead = "L 0,-1 0,.7" if below else "L 0,-1 0,.2"
    return symbol(f"TK(0,0); {lead}", {"T": port(0, -1, "N")}, mirror=False, spots=("below",))
