"""Kinds of component of one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from circuitcheck.components import ComponentModule
    from circuitcheck.symbols import SymbolModule


class Registration:
    """A kind of component of one's own that is in use; ``with`` ends it, as ``remove`` does."""

    def __init__(self, component: ComponentModule, symbol: SymbolModule) -> None:
        self._component, self._symbol = component, symbol

    def remove(self) -> None:
        """Take the kinds and their symbol away again."""
        from circuitcheck import components, symbols

        components.forget(self._component)
        symbols.forget(self._symbol)

    def __enter__(self) -> Registration:
        return self

    def __exit__(self, *_: object) -> None:
        self.remove()


def register(component: ComponentModule, symbol: SymbolModule) -> Registration:
    """Add kinds of component of one's own to language, solver, drawing and reference.

    Parameters
    ----------
    component
        A module (or an object) that exports ``KINDS`` as the modules of
        `circuitcheck.components` do
    symbol
        One that exports ``WORD`` or ``WORDS`` and ``draw`` as those of
        `circuitcheck.symbols` do, with the same words

    Raises
    ------
    ValueError
        If a word is taken, or the two do not have the same words.
    """
    from circuitcheck import components, symbols

    kinds = {word for kind in component.KINDS for word in (kind.word, *kind.other_words)}
    drawn = set(symbols.words_of(symbol))
    if kinds != drawn:
        missing = ", ".join(sorted(kinds ^ drawn))
        raise ValueError(f"component and symbol do not have the same words: {missing}")
    components.register(component)
    try:
        symbols.register(symbol)
    except ValueError:
        components.forget(component)
        raise
    return Registration(component, symbol)
