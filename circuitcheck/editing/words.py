"""The words of the language by class, as data for highlighting and completion."""

from __future__ import annotations

from functools import cache

from circuitcheck.basics.limits import limited_rules
from circuitcheck.basics.unit_table import UNITS
from circuitcheck.circuit.heads import BLOCK
from circuitcheck.circuit.subjects import AT_PORTS, OF_PARTS, WHOLE
from circuitcheck.components import kinds
from circuitcheck.components._parts import Kind, Parameter, Part
from circuitcheck.language.chapters import FORMS
from circuitcheck.rules import explained

KEYWORDS: dict[str, tuple[str, ...]] = {
    "circuit": ("issue", *BLOCK),
    "oil": ("ISO VG", "at", "air", "viscosity", "viscosity index", "VI", "bulk modulus",
            "specific heat", "from", "to"),
    "block": (),
    "variant": ("without", "and"),
    "defaults": ("every", "at"),
    "parts": ("and", "at", "driven by", "with", "plugged", "to", "over", "over ambient"),
    "lines": ("from", "through", "to", "and", "start", "end", "at"),
    "cycle": ("repeats", "step", "at", "oil", "rest"),
    "claims": ("in", "within", "at most", "at least", "over the cycle", "start", "end"),
    "readings": ("in", "at", "within", "at most", "at least", "over the cycle", "start", "end"),
    "variations": ("vary", "show", "from", "to", "or", "in steps of", "points", "point", "in",
                   "at random", "latin hypercube"),
    "tolerances": ("within", "of", "oil"),
    "accepted": ("on", "in", "because"),
    "drawing": ("above", "below", "left of", "right of", "between", "beside", "and", "column",
                "sheet", "turned", "landscape", "portrait"),
}  # fmt: skip
"""Words that join what stands in the sentences of a chapter."""


def every_kind() -> list[Kind]:
    """Give every kind of part once."""
    return list({kind.word: kind for kind in kinds().values()}.values())


def parameters(kind: Kind) -> list[Parameter]:
    """Give the figures of a kind, those behind an "at" included."""
    return [one for p in kind.parameters for one in (p, p.at) if one is not None]


def phrases(kind: Kind) -> list[str]:
    """Give the phrases of the choices of a kind."""
    return [option for choice in kind.choices for option in choice.options]


def letters(kind: Kind) -> list[str]:
    """Give the letters of the ports that parts of a kind can have."""
    looks = [Part("", kind)]
    for choice in kind.choices:
        for option in choice.options:
            if choice.many:
                looks.append(Part("", kind, many={choice.group: (option,)}))
            else:
                looks.append(Part("", kind, choices={choice.group: option}))
    return list(dict.fromkeys(port.letter for part in looks for port in part.ports if port.letter))


@cache
def words() -> dict[str, list[str]]:
    """Give the words by class, each class sorted; plain lists, ready for JSON.

    Classes: ``headings``, ``keywords``, ``kinds``, ``figures``, ``choices``, ``orders`` (what
    a step says of parts), ``measures`` (what can be asked of them), ``ports``, ``units``,
    ``rules``. A word may have several classes; which one is meant, its place decides.
    """
    known = every_kind()
    found = {
        "headings": set(FORMS),
        "keywords": {word for row in KEYWORDS.values() for word in row},
        "kinds": set(kinds()),
        "figures": {p.name for kind in known for p in parameters(kind)},
        "choices": {phrase for kind in known for phrase in phrases(kind)},
        "orders": {
            name for kind in known for name in (*(order.name for order in kind.orders), *kind.poses)
        },
        "measures": {m.name for kind in known for m in kind.measures}
        | {*WHOLE, *AT_PORTS, *OF_PARTS},
        "ports": {letter for kind in known for letter in letters(kind)},
        "units": {row[0] for table in UNITS.values() for row in table},
        "rules": {*explained(), *limited_rules()},
    }
    return {name: sorted(group) for name, group in found.items()}
