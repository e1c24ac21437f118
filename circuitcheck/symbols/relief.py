"""Relief valve: closed, senses its inlet, drains to its outlet; in short or full form."""

from circuitcheck.symbols._parts import Look, Symbol, port, symbol

WORD = "relief"


def draw(look: Look) -> Symbol:
    """Draw the valve hanging under its pressure line; a joined pilot stage is drawn in full."""
    if look.chosen("remote port") or look.chosen("external drain"):
        return _in_full(look)
    x = look.arrow
    text = f"PV(0,0); V {x},-2 {x},2; D 0,-3 -3,-3 -3,0 -2,0"
    sealed = look.chosen("sealed")
    if look.chosen("proportional"):
        text += "; PS(2,0)"
    elif look.chosen("piloted"):
        text += "; HP(2,0); SP(4,0)" + ("" if sealed else "; AR(5,0)")
    else:
        text += "; SP(2,0)" + ("" if sealed else "; AR(3,0)")
    anchors = {"P": port(0, -4, "N"), "T": port(0, 4, "S")}
    return symbol(text, anchors, letters="P T", turn=True, spots=("right", "left"))


def _in_full(look: Look) -> Symbol:
    """Main stage on the left, control orifice above, pilot stage on the right."""
    main, pilot = look.arrow, 8 if look.shows("pilot") else 7
    text = (
        f"SQ(0,0); L 0,-2 0,-7; L 0,2 0,7; V {main},-2 {main},2; SP(2,0);"
        "D 0,-2.5 -3,-2.5 -3,0 -2,0;"
        "jd(0,-3.5); L 0,-3.5 1.5,-3.5; OR(2.5,-3.5,90); L 3.5,-3.5 8,-3.5 8,-2; jd(5,-3.5);"
        f"D 5,-3.5 5,0 4,0; SQ(8,0); V {pilot},-2 {pilot},2;"
        "jd(8,-2.75); D 8,-2.75 5.5,-2.75 5.5,0 6,0;"
        "K -4,-5 18 10"
    )
    if look.chosen("proportional"):
        text += "; PS(10,0)"
    else:
        text += "; SP(10,0)" + ("" if look.chosen("sealed") else "; AR(11,0)")
    anchors = {"P": port(0, -7, "N"), "T": port(0, 7, "S")}
    if look.chosen("remote port"):
        text += "; D 5,-3.5 5,-7"
        anchors["X"] = port(5, -7, "N", dashed=True)
    if look.chosen("external drain"):
        text += "; D 8,2 8,7"
        anchors["Y"] = port(8, 7, "S", dashed=True)
    else:
        text += "; D 8,2 8,3.5 0,3.5; jd(0,3.5)"
    return symbol(text, anchors, letters=" ".join(anchors), spots=("right", "left"))
