"""Directional valve: generated from its positions and the way it is operated."""

from dataclasses import replace

from circuitcheck.symbols._directional import directional, vented
from circuitcheck.symbols._parts import Look, Symbol, symbol

WORD = "valve"


def draw(look: Look) -> Symbol:
    """Draw the valve at rest; ValueError if it has no positions."""
    if "LS" in look.ports:
        look = replace(look, positions=vented(look.positions, look.rest))
    text, anchors = directional(look)
    return symbol(text, anchors, letters=" ".join(anchors), spots=("left", "above", "below"))
