"""What must hold at every operating point of a circuit, whatever the circuit is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Part, PortKind
from circuitcheck.solver.operating import OperatingPoint

BAR = 1e5
L_MIN = 1e-3 / 60.0

BALANCE = 1e-6
"""Flow that may be missing at a junction [L/min], and share of power that may be."""

LOWEST = -1.01325e5
"""No chamber of an actuator falls below vacuum [Pa, gauge]."""


UNSOLVED = "unsolved"


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, and what sort of thing it is."""

    sort: str
    text: str

    def __str__(self) -> str:
        return self.text


def faults(circuit: Circuit, point: OperatingPoint) -> list[Fault]:
    """Say what is wrong with an operating point; empty where all is well."""
    if not point.success:
        return [Fault(UNSOLVED, f"not solved: {point.message}")]
    return [*_flows(circuit, point), *_power(point), *_chambers(circuit, point)]


def _flows(circuit: Circuit, point: OperatingPoint) -> list[Fault]:
    """What flows into the parts on a junction adds up to nothing (a missing oil apart)."""
    found: list[Fault] = []
    for name, junction in circuit.junctions.items():
        if point.junctions[name].status in ("known", "indeterminate"):
            continue
        flows = [point.parts[end.part].ports[end.port].flow for end in junction.ends]
        missing = abs(math.fsum(flows)) / L_MIN
        rounding = 1e-12 * max(abs(flow) for flow in flows)
        rounding += sum(_last_places(circuit.parts[end.part], point) for end in junction.ends)
        if not missing < BALANCE + rounding / L_MIN:
            found.append(Fault("flow", f"flows at {name} miss {missing:.3g} L/min"))
    return found


def _last_places(part: Part, point: OperatingPoint) -> float:
    """Flow that the last places of the pressures at its ends make in a line [m3/s].

    By Hagen and Poiseuille, the least resistance that a line can have.
    """
    if part.kind.word != "line":
        return 0.0
    bore, length = part.figure("bore"), part.figure("length")
    resistance = 128.0 * point.nu * point.rho * length / (math.pi * bore**4)
    most = max(abs(port.pressure) for port in point.parts[part.name].ports.values())
    return 2.0 * math.ulp(most) / resistance


def _power(point: OperatingPoint) -> list[Fault]:
    totals = point.totals
    size = max(abs(totals.input), abs(totals.useful), 1.0)
    missing = abs(totals.input - totals.useful - totals.loss) / size
    found: list[Fault] = []
    if not missing < BALANCE:
        found.append(Fault("power", f"power misses {missing:.3g} of itself"))
    found += [
        Fault("negative loss", f"{part.name} makes {-part.loss:.3g} W out of nothing")
        for part in point.parts.values()
        if not part.loss > -1e-6 * size
    ]
    parts = math.fsum(part.loss for part in point.parts.values())
    if not abs(parts - totals.loss) < BALANCE * size:
        text = f"losses of parts are {parts:.6g} W, of the whole {totals.loss:.6g} W"
        found.append(Fault("losses", text))
    return found


def _chambers(circuit: Circuit, point: OperatingPoint) -> list[Fault]:
    """Cylinders and motors have no pressure below the lowest that oil can have."""
    found: list[Fault] = []
    for part in circuit.of_kind("cylinder", "motor"):
        for port in part.ports:
            state = point.parts[part.name].ports.get(port.letter)
            if port.kind is PortKind.WORK and state is not None and state.pressure < LOWEST:
                text = f"{part.name} {port.letter} at {state.pressure / 1e5:.3g} bar"
                found.append(Fault("vacuum", text))
    return found
