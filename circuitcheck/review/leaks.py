"""Circuits with ways for the oil more, or one way narrowed: for faults that are no figure.

A way is an orifice whose name begins with `NAME`; its diameter is set when the circuit is
solved. All holes stand in one circuit, shut but for one at a time, so that it is solved once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from circuitcheck.circuit.model import Circuit, End, Junction
from circuitcheck.components import kinds
from circuitcheck.components._parts import Figure, Part

NAME = "fault"
NONE = 1e-6
"""Diameter of a hole that lets nothing through [m]."""
WIDE = 2e-2
"""Diameter of a hole without a drop worth the name [m]."""
BLEED = 6e-4
"""Bleed of a sense port inside a load-sensing control [m]; from memory."""

AGAINST = {
    "check": ("out", "in"),
    "pilot check": ("out", "in"),
    "counterbalance": ("V", "C"),
    "anti-cavitation": ("A", "T"),
}


Hole = tuple[str, str]
"""The two junctions that a hole joins."""


def across(circuit: Circuit, part: Part) -> Hole | None:
    """Give a hole past a part; None where its ports are not joined."""
    letters = [port.letter for port in part.ports]
    main = [letter for letter in letters if letter not in ("X", "pilot", "L", "drain")][:2]
    wanted = AGAINST.get(part.kind.word, ())
    ends = [letter for letter in wanted if letter in letters] if wanted else main
    if len(ends) < 2:
        ends = main
    if len(ends) < 2:
        return None
    one, other = (_at(circuit, part.name, letter) for letter in ends)
    return None if one is None or other is None else (one, other)


def to_tank(circuit: Circuit, part: str, port: str) -> Hole | None:
    """Give a hole from a port to the first tank."""
    one, tank = _at(circuit, part, port), _tank(circuit)
    return None if one is None or tank is None else (one, tank)


def with_holes(circuit: Circuit, holes: Mapping[str, Hole]) -> Circuit:
    """Give the circuit with these holes by name, all of them shut."""
    junctions = _copied(circuit)
    for name, (one, other) in holes.items():
        junctions[one].ends.append(End(name, "in"))
        junctions[other].ends.append(End(name, "out"))
    shut = {name: _hole(name, NONE) for name in holes}
    return replace(circuit, parts={**circuit.parts, **shut}, junctions=junctions)


def blocked(circuit: Circuit, part: str, port: str) -> Circuit | None:
    """Give the circuit with a narrow place before a port, behind which a bleed drains it."""
    here, tank = _at(circuit, part, port), _tank(circuit)
    if here is None or tank is None:
        return None
    end = End(part, port)
    junctions = _copied(circuit)
    junctions[here].ends.remove(end)
    behind = f"{NAME} behind"
    junctions[behind] = Junction(behind, [end, End(NAME, "out"), End(f"{NAME} bleed", "in")])
    junctions[here].ends.append(End(NAME, "in"))
    junctions[tank].ends.append(End(f"{NAME} bleed", "out"))
    bleed = f"{NAME} bleed"
    parts = {**circuit.parts, NAME: _hole(NAME, NONE), bleed: _hole(bleed, BLEED)}
    return replace(circuit, parts=parts, junctions=junctions)


def drain_into_return(circuit: Circuit, part: Part, port: str) -> Circuit | None:
    """Give the circuit with a case drain that ends where the return oil of a valve begins."""
    drain = _at(circuit, part.name, port)
    returns: Sequence[str | None] = [
        _at(circuit, valve.name, "T") for valve in circuit.of_kind("valve", "section")
    ]
    there = next((name for name in returns if name is not None and name != drain), None)
    tank = _tank(circuit)
    if drain is None or there is None or there == tank:
        return None
    end = End(part.name, port)
    junctions = _copied(circuit)
    junctions[drain].ends.remove(end)
    behind = f"{NAME} behind"
    junctions[behind] = Junction(behind, [end, End(NAME, "in")])
    junctions[there].ends.append(End(NAME, "out"))
    return replace(circuit, parts={**circuit.parts, NAME: _hole(NAME, WIDE)}, junctions=junctions)


def _hole(name: str, diameter: float) -> Part:
    kind = kinds()["orifice"]
    figures = {
        parameter.name: Figure(parameter.default, "", parameter.quantity, origin="assumed")
        for parameter in kind.parameters
        if parameter.default is not None
    }
    figures["diameter"] = Figure(diameter, f"{diameter * 1e3:g} mm", "length")
    return Part(name=name, kind=kind, figures=figures)


def _copied(circuit: Circuit) -> dict[str, Junction]:
    return {name: replace(j, ends=list(j.ends)) for name, j in circuit.junctions.items()}


def _at(circuit: Circuit, part: str, port: str) -> str | None:
    end = End(part, port)
    return next((name for name, j in circuit.junctions.items() if end in j.ends), None)


def _tank(circuit: Circuit) -> str | None:
    tanks = {part.name for part in circuit.of_kind("tank")}
    return next(
        (name for name, j in circuit.junctions.items() if any(e.part in tanks for e in j.ends)),
        None,
    )
