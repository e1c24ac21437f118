"""Two parts that do something together: what each has of the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from circuitcheck.circuit.said import choice_with
from circuitcheck.components._parts import Part

Assume = Callable[[Part, str, str, str], None]
"""Notes an assumption: part, what, its text, where it is from."""


def pair(part: Part, other: Part, assume: Assume) -> list[tuple[str, str]]:
    """Make two parts partners; give why they cannot be, as (message, remedy)."""
    together = part.kind.partnership
    assert together is not None
    wrong = _strangers(part, other) or together.mistakes(part, other)
    for name in together.alike:
        figures = [one.figures[name] for one in (part, other) if one.given(name)]
        if len(figures) == 2 and figures[0].value != figures[1].value:
            first, second = (figure.text for figure in figures)
            message = f"{part.name} and {other.name} have one '{name}', but {first} and {second}"
            wrong.append((message, "give it once, or both alike"))
    group = choice_with(part.kind, together.phrase)
    if wrong or group is None:
        return wrong
    for one, two in ((part, other), (other, part)):
        one.partner = two.name
        one.choices[group.group] = together.phrase
        for name in together.alike:
            if not one.given(name) and two.given(name):
                one.figures[name] = two.figures[name]
                assume(one, name, two.figures[name].text, f"{together.phrase} with {two.name}")
        for name, there in together.seen.items():
            one.figures[name] = replace(two.figures[there], origin="assumed")
    return []


def _strangers(part: Part, other: Part) -> list[tuple[str, str]]:
    together = part.kind.partnership
    assert together is not None
    if part is other:
        return [(f"{part.name} cannot be its own partner", "name the other one")]
    if other.kind is not part.kind:
        message = f"{other.name} ({other.kind.word}) is no {part.kind.word}"
        return [(message, f"'{together.phrase}' is between two parts of one kind")]
    for one, two in ((part, other), (other, part)):
        if one.partner not in (None, two.name):
            message = f"{one.name} has '{together.phrase}' with {one.partner} already"
            return [(message, "a part has one partner")]
    return []
