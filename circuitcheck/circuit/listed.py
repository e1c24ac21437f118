"""An entry of one's own catalogue, read with the dictionary of its kind."""

from __future__ import annotations

from dataclasses import dataclass, replace

from circuitcheck.circuit.said import Said
from circuitcheck.components._parts import Kind, Part


@dataclass(frozen=True)
class Listed:
    """What the first clause of a part says: its kind, and what a catalogue says of it.

    ``origin`` names entry and file for people; of a plain kind it is empty, ``said`` None.
    """

    origin: str
    kind: Kind
    ways: tuple[int, int] | None
    said: Said | None = None

    def apply(self, part: Part) -> list[tuple[str, str]]:
        """Put into a part what it does not say itself; give (name, text) of each."""
        taken: list[tuple[str, str]] = []
        if self.said is None:
            return taken
        for name, figure in self.said.figures.items():
            if name not in part.figures:
                part.figures[name] = replace(figure, origin="catalogue")
                taken.append((name, figure.text))
        for group, phrase in self.said.choices().items():
            if group not in part.choices:
                part.choices[group] = phrase
                taken.append((group, phrase))
        for group, phrases in self.said.many().items():
            if group not in part.many:
                part.many[group] = phrases
                taken.append((group, ", ".join(phrases)))
        for position, joints in self.said.spool.items():
            if position not in part.spool:
                part.spool[position] = joints
                joined = " ".join("-".join(group) for group in joints) or "closed"
                taken.append((f"at {position}", joined))
        part.plugged = part.plugged | frozenset(self.said.plugged)
        return taken
