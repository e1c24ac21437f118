"""A bench for one part: pressures held at its ports, and what then flows.

The part is the circuit's own, its equations those of the solver: the bench is a circuit in
which a tank with the wanted gas pressure stands at every port.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from circuitcheck.circuit.model import Circuit, End, Junction, Orders, Step
from circuitcheck.components import kinds
from circuitcheck.components._parts import (
    Figure,
    Kind,
    Parameter,
    Part,
    Port,
    PortKind,
    fixed_ports,
)
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.solver.answer import Answer
from circuitcheck.solver.history import durations
from circuitcheck.solver.operating import OperatingPoint
from circuitcheck.solver.reservoir import port_flows
from circuitcheck.solver.results import view_of
from circuitcheck.solver.settling import settle
from circuitcheck.solver.starts import settled
from circuitcheck.solver.system import Case, Changes, History

SHAFT = "bench drive"
SOURCE = "bench pump"
UNIT = 1e-6
"""Displacement of the ideal pump of a bench [m3/rad]; its speed sets the flow."""


def _ideal_flow(_part: Part, net: Net) -> None:
    """A pump without any loss, its speed held: a given flow against any pressure."""
    shaft = net.own_shaft(UNIT)
    net.pin(shaft, net.value("speed"))
    net.rotary("unit", "P", "S", shaft, full=UNIT)


IDEAL_PUMP = Kind(
    word=SOURCE,
    text="Pump without losses, for benches.",
    ports=fixed_ports(Port("S", PortKind.SUCTION), Port("P", PortKind.PRESSURE)),
    parameters=(Parameter("speed", "rotation", "rpm", "held speed"),),
    equations=_ideal_flow,
)


@dataclass(frozen=True)
class Bench:
    """A part with pressures [Pa] held at its ports, every variation a point; ``answer``."""

    part: Part
    answer: Answer

    @property
    def solved(self) -> Bools:
        return self.answer.found.solved

    @cached_property
    def flows(self) -> dict[str, Array]:
        """Flow into the part at each port [m3/s], NaN where there is no answer."""
        found = port_flows(self.answer, self.part.name)
        return {port: np.where(self.solved, flow, np.nan) for port, flow in found.items()}

    @cached_property
    def results(self) -> dict[str, Array]:
        """Named results of the part, NaN where there is no answer."""
        found = self.part.kind.results(self.part, view_of(self.answer, self.part))
        return {name: np.where(self.solved, row, np.nan) for name, row in found.items()}


def tank_at(name: str) -> Part:
    """A tank that holds a pressure; the figure ``gas`` is it."""
    return Part(name, kinds()["tank"], figures={"gas": Figure(0.0, "", "pressure")})


def drive_at(name: str, speed: float) -> Part:
    """A drive that holds its speed [rad/s]."""
    held = Figure(speed, "", "rotation"), Figure(0.0, "", "share")
    return Part(name, kinds()["electric motor"], figures={"speed": held[0], "droop": held[1]})


def on_bench(
    circuit: Circuit,
    part: Part,
    pressures: Mapping[str, Array | float],
    step: Step | None = None,
    more: Changes | None = None,
    beside: Mapping[str, Part] | None = None,
) -> Bench:
    """Solve a part with pressures held at its ports.

    Parameters
    ----------
    circuit
        The circuit that the part is of: its oil, and the drives that turn the part
    part
        The part; its name must not be that of another one on the bench
    pressures
        Pressure at each port that is joined [Pa], arrays (points,) or numbers; other ports
        stay shut
    step
        Step whose orders hold for the part and its drives; at rest without one
    more
        Further figures, arrays (points,) by {(part, figure)}
    beside
        Further parts by name, with their drives

    Returns
    -------
    Bench
    """
    changes: dict[tuple[str, str], Array | float] = dict(more or {})
    parts = {part.name: part, **_drives_of(circuit, part), **(beside or {})}
    junctions: dict[str, Junction] = {}
    for port, pressure in pressures.items():
        name = f"{part.name} {port}"
        tank = f"bench {port}"
        parts[tank] = tank_at(tank)
        changes[tank, "gas"] = pressure
        junctions[name] = Junction(name, [End(part.name, port), End(tank, "")])
    return Bench(part, _solved(circuit, parts, junctions, step, changes))


def _solved(
    circuit: Circuit,
    parts: dict[str, Part],
    junctions: dict[str, Junction],
    step: Step | None,
    changes: Changes,
) -> Answer:
    many = max((np.size(row) for row in changes.values()), default=1)
    orders = {n: o for n, o in step.orders.items() if n in parts} if step else {}
    own = Step("bench", orders, oil_degC=step.oil_degC if step else None)
    bench = replace(
        circuit, parts=parts, junctions=junctions, runs=[],
        steps=[own], claims=[], readings=[], hints=[], accepted=[], blocks=[],
    )  # fmt: skip
    case = Case(bench, [own], changes, variations=many)
    return settle(case, along=many > 1).answer


def _drives_of(circuit: Circuit, part: Part) -> dict[str, Part]:
    """The drives that turn a part, one behind the other."""
    found: dict[str, Part] = {}
    name = part.driven_by
    while name:
        found[name] = circuit.parts[name]
        name = circuit.parts[name].driven_by
    return found


def motor_on_bench(
    circuit: Circuit, motor: Part, flows: Array, torques: Array, back: float, case_line: float
) -> Bench:
    """Feed a motor with flows [m3/s] against torques [N m], arrays (points,).

    ``back`` and ``case_line`` are the pressures at B and L [Pa].
    """
    load = {"load": Figure(0.0, "", "torque")}
    step = Step("bench", {motor.name: Orders(figures=load)})
    parts = {
        motor.name: motor,
        SOURCE: Part(SOURCE, IDEAL_PUMP, figures={"speed": Figure(0.0, "", "rotation")}),
    }
    junctions = {"feed": Junction("feed", [End(SOURCE, "P"), End(motor.name, "A")])}
    changes: dict[tuple[str, str], Array | float] = {
        (SOURCE, "speed"): flows / UNIT,
        (motor.name, "load"): torques,
    }
    ends = {"S": (SOURCE, 0.0), "B": (motor.name, back), "L": (motor.name, case_line)}
    letters = {port.letter for port in motor.ports} | {"S"}
    for letter, (owner, pressure) in ends.items():
        if letter in letters:
            tank = f"bench {letter}"
            parts[tank] = tank_at(tank)
            changes[tank, "gas"] = pressure
            junctions[letter] = Junction(letter, [End(owner, letter), End(tank, "")])
    return Bench(motor, _solved(circuit, parts, junctions, step, changes))


# ---- a step of the circuit as it stands ----------------------------------------------------


def held_step(
    found: Answer, number: int, changes: Changes, many: int, circuit: Circuit | None = None
) -> Answer:
    """Solve one step of a solved circuit with other figures, what earlier steps left held.

    ``number`` is that of the step, ``changes`` have arrays (many,); ``circuit`` takes the place
    of the solved one, with the same parts or fewer.
    """
    case = found.case
    lasts = float(durations(found)[number])
    old = case.history
    history = History(
        stopped={name: np.full(many, row[number]) for name, row in old.stopped.items()},
        latched={name: np.full(many, row[number]) for name, row in old.latched.items()},
        places={name: np.full(many, row[number]) for name, row in old.places.items()},
        stored={name: np.full(many, row[number]) for name, row in old.stored.items()},
        excess={name: np.full(many, row[number]) for name, row in old.excess.items()},
        durations=np.full(many, lasts),
    )
    ways = {name: np.full(many, row[number]) for name, row in case.directions.items()}
    own = Case(
        circuit or case.circuit, [case.steps[number]], changes, ways, history, variations=many
    )
    return settled(own, along=many > 1)


def load_line(found: Answer, number: int, pump: str, port: str, pressures: Array) -> Array:
    """Flow that the circuit takes where a pump delivers, at pressures held there [m3/s].

    The pump is taken out and a tank with these pressures [Pa] put in its place.
    """
    circuit = found.case.circuit
    place = "in place of the pump"
    parts = {name: part for name, part in circuit.parts.items() if name != pump}
    parts[place] = tank_at(place)
    junctions, where = {}, ""
    for name, junction in circuit.junctions.items():
        ends = [end for end in junction.ends if end.part != pump]
        if End(pump, port) in junction.ends:
            ends, where = [*ends, End(place, "")], name
        junctions[name] = replace(junction, ends=ends)
    own = replace(circuit, parts=parts, junctions=junctions)
    answer = held_step(found, number, {(place, "gas"): pressures}, len(pressures), own)
    row = list(junctions).index(where)
    return np.where(answer.found.solved, answer.reaction[row], np.nan)


def pressure_at(point: OperatingPoint, part: str, port: str) -> float:
    """Pressure at a port in a step [Pa], atmosphere where it is not joined or not known."""
    state = point.parts[part].ports.get(port)
    return 0.0 if state is None or np.isnan(state.pressure) else state.pressure
