"""What the figures rest on: assumed figures, sentences without effect."""

from __future__ import annotations

from circuitcheck.circuit.model import Circuit
from circuitcheck.reports.tables import Column, Table, table


def assumptions_table(circuit: Circuit) -> Table:
    """Figures and choices that the text does not give, like ones together."""
    parts: dict[tuple[str, str, str, str], list[str]] = {}
    for assumed in circuit.assumptions:
        key = (assumed.name, assumed.text, assumed.origin, assumed.source)
        parts.setdefault(key, []).append(assumed.part)
    return table(
        "Assumed, because the text does not say",
        (Column("Figure"), Column("Taken as"), Column("Of"), Column("From")),
        (
            (name, text, _owners(circuit, names), _origin(origin, source))
            for (name, text, origin, source), names in parts.items()
        ),
    )


def _owners(circuit: Circuit, names: list[str]) -> str:
    """Parts by name, or the kind where all of a kind are meant."""
    first = circuit.parts.get(names[0])
    if first is not None and len(names) > 1:
        alike = [part.name for part in circuit.of_kind(first.kind.word)]
        if alike == names:
            return f"every {first.kind.word}"
    return ", ".join(filter(None, names)) or "the circuit"


def _origin(origin: str, source: str) -> str:
    if origin == "built in" and source:
        return source
    return "; ".join(dict.fromkeys(filter(None, (origin, source))))


def unused_lines(circuit: Circuit) -> list[str]:
    """Sentences that were read and are not acted on, with their line in the text."""
    return [
        f"line {unused.place.line}, {unused.chapter}: {' '.join(unused.text.split())}"
        for unused in circuit.unused
    ]
