"""What clauses say of a part, before it is one: figures, choices, spool, drive, plugs."""

from __future__ import annotations

from dataclasses import dataclass, field

from circuitcheck.basics.places import Place
from circuitcheck.components._parts import Choice, Figure, Joints, Kind
from circuitcheck.language.text import Word


@dataclass(frozen=True)
class Phrase:
    """A phrase of a choice group as it stands in the text."""

    group: Choice
    text: str
    place: Place


@dataclass
class Said:
    """Everything the clauses of one sentence say of a part of one kind.

    ``right`` turns false with the first clause that is wrong.
    """

    kind: Kind
    figures: dict[str, Figure] = field(default_factory=dict)
    phrases: list[Phrase] = field(default_factory=list)
    driven_by: Word | None = None
    partner: Word | None = None
    spool: dict[str, Joints] = field(default_factory=dict)
    spool_places: dict[str, Place] = field(default_factory=dict)
    plugged: dict[str, Place] = field(default_factory=dict)
    right: bool = True

    def choices(self) -> dict[str, str]:
        """Phrases of the groups of which one may be given, by group."""
        return {p.group.group: p.text for p in self.phrases if not p.group.many}

    def many(self) -> dict[str, tuple[str, ...]]:
        """Phrases of the groups of which several may be given, by group."""
        found: dict[str, tuple[str, ...]] = {}
        for phrase in self.phrases:
            if phrase.group.many:
                name = phrase.group.group
                found[name] = (*found.get(name, ()), phrase.text)
        return found


def choice_with(kind: Kind, phrase: str) -> Choice | None:
    """Find the group of a kind that has a phrase."""
    return next((choice for choice in kind.choices if phrase in choice.options), None)


def what_it_has(kind: Kind) -> str:
    """Give the names and phrases by which a kind is described, for messages."""
    named = [parameter.name for parameter in kind.parameters if not parameter.bare]
    return ", ".join([*named, *phrases(kind)])


def phrases(kind: Kind) -> list[str]:
    """Give every phrase of the choice groups of a kind."""
    return [option for choice in kind.choices for option in choice.options]
