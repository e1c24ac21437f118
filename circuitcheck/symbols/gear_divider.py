"""Gear flow divider: motor circles on one shaft, a common inlet below."""

from circuitcheck.symbols._parts import Anchor, Look, Symbol, port, symbol

WORDS = ("gear divider", "gear flow divider")


def draw(look: Look) -> Symbol:
    """Draw one circle per outlet, two where the ports are not known."""
    letters = [name for name in look.ports if name != "P"] or ["A", "B"]
    count = len(letters)
    places = [8 * k - 4 * (count - 1) for k in range(count)]
    anchors: dict[str, Anchor] = {"P": port(0, 7, "S")}
    text = [f"L {places[0]},4 {places[-1]},4", "L 0,4 0,7", "JD(0,4)"]
    text.append(f"K {places[0] - 4},-4 {8 * count} 9")
    for x, letter in zip(places, letters, strict=True):
        text.append(f"PC({x},0); TI({x},3,180); L {x},3 {x},4; L {x},-3 {x},-6")
        anchors[letter] = port(x, -6, "N")
    text += [f"SH({x + 3},0)" for x in places[:-1]]
    return symbol("; ".join(text), anchors, letters=" ".join(anchors), spots=("left", "right"))
