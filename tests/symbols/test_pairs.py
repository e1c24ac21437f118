"""A component and its symbol are a pair: same words, same ports."""

import pytest

from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Part
from circuitcheck.symbols import Look, all_symbols


def listed() -> list[Kind]:
    return list({kind.word: kind for kind in kinds().values()}.values())


def part_of(kind: Kind, **choices: str) -> Part:
    part = Part("X1", kind, choices=choices)
    part.ways = (4, 3) if kind.has_ways else None
    return part


def look_of(part: Part) -> Look:
    letters = tuple(port.letter for port in part.ports)
    return Look(
        choices=dict(part.choices),
        ports=letters,
        positions=dict(part.positions),
        rest=part.rest,
    )


@pytest.mark.parametrize("kind", listed(), ids=lambda kind: kind.word)
def test_every_word_has_a_symbol(kind: Kind) -> None:
    for word in (kind.word, *kind.other_words):
        assert word in all_symbols(), word


@pytest.mark.parametrize("kind", listed(), ids=lambda kind: kind.word)
def test_the_symbol_has_the_ports_of_the_part(kind: Kind) -> None:
    variants: list[dict[str, str]] = [{}]
    variants += [
        {choice.group: option}
        for choice in kind.choices
        if not choice.many
        for option in choice.options
    ]
    for choices in variants:
        part = part_of(kind, **choices)
        symbol = all_symbols()[kind.word](look_of(part))
        wanted = {"T"} if kind.word == "tank" else {port.letter for port in part.ports}
        shaft = {"shaft"} if kind.driven or kind.drives else set()
        shaft |= {"shaft out"} if kind.driven and kind.drives else set()
        assert set(symbol.anchors) == wanted | shaft, choices


def test_no_symbol_stands_alone() -> None:
    words = {word for kind in listed() for word in (kind.word, *kind.other_words)}
    assert set(all_symbols()) == words
