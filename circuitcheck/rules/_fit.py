"""What is bought with parts, compared from one to the other: codes of flanges, shafts, threads."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from circuitcheck.basics.tables import read_csv
from circuitcheck.components._parts import Part
from circuitcheck.rules._case import Case, Facts
from circuitcheck.rules._paths import State
from circuitcheck.rules._pumps import highest_pressure

DRIVES = ("electric motor", "engine")


def code(part: Part, *names: str) -> str:
    """First of these codes that a part has, in capitals without spaces; empty for none."""
    for name in names:
        figure = part.figures.get(name)
        if figure is not None:
            return re.sub(r"[\s_]", "", figure.text).upper()
    return ""


THROUGH = ("through limit", "rear flange", "rear shaft")
"""Figures by which a pump is said to have a through-drive."""


def driver(case: Case, part: Part) -> Part | None:
    """What turns a part directly: the pump before it in a string, else its drive.

    Pumps of one drive stand one behind the other, in the order of the text, where the one
    before has a through-drive; else side by side.
    """
    string = _string(case, part)
    place = string.index(part)
    if place > 0 and _has_through_drive(string[place - 1]):
        return string[place - 1]
    return case.circuit.parts.get(part.driven_by) if part.driven_by else None


def behind(case: Case, pump: Part) -> list[Part]:
    """Pumps that hang on the through-drive of a pump, those behind them included."""
    string = _string(case, pump)
    found = []
    for before, after in pairwise(string[string.index(pump) :]):
        if not _has_through_drive(before):
            break
        found.append(after)
    return found


def _string(case: Case, part: Part) -> list[Part]:
    """Pumps of the drive of a part in the order of the text; the part alone without one."""
    if not part.driven_by or part.kind.word != "pump":
        return [part]
    return _strings(case.facts)[part.driven_by]


@lru_cache(maxsize=1)
def _strings(facts: Facts) -> dict[str, list[Part]]:
    """Pumps by the name of their drive."""
    found: dict[str, list[Part]] = {}
    for pump in facts.of_kind("pump"):
        if pump.driven_by:
            found.setdefault(pump.driven_by, []).append(pump)
    return found


def _has_through_drive(pump: Part) -> bool:
    return any(name in pump.figures for name in THROUGH)


def torque_at(pump: Part, pressure: float) -> float | None:
    """Torque that a pump takes at full stroke and a pressure [N m]; None without displacement."""
    displacement = pump.figure("displacement")
    if displacement is None:
        return None
    return displacement * pressure / (2.0 * math.pi) / (pump.figure("mechanical") or 1.0)


def highest_torque(case: Case, pump: Part) -> float | None:
    """Torque at full stroke and the highest pressure that control or relief let stand [N m].

    A torque limiter that is set lower bounds it.
    """
    pressure = highest_pressure(case, pump)
    torque = None if pressure is None else torque_at(pump, pressure)
    limiter = pump.figure("torque limit")
    if torque is None or limiter is None:
        return torque
    return min(torque, limiter)


def pilot_diameter(flange: str) -> str:
    """Pilot diameter of a flange code, for messages; its own figure where the table lacks it."""
    for row in read_csv("parts/mounts.csv"):
        if flange in row["flange"].split():
            return f"{row['pilot_mm']} mm"
    return f"{flange.split('-')[0]} mm"


def spline(shaft: str) -> str:
    """What a shaft code means, for messages; empty where the table lacks it."""
    for row in read_csv("parts/mounts.csv"):
        if row["shaft"] == shaft:
            return row["spline"]
    return ""


@dataclass(frozen=True)
class Thread:
    """A port as its code says it: family of threads or flanges, and size."""

    family: str
    size: str

    def __str__(self) -> str:
        return f"{self.family} {self.size}".strip()


FAMILIES = (
    (r"M(\d+)X([\d.]+)", "metric"),
    (r"(?:BSPP|G)([\d/]+)", "parallel pipe thread"),
    (r"(?:BSPT|RC?)([\d/]+)", "taper pipe thread"),
    (r"NPTF?([\d/]+)", "NPT"),
    (r"([\d/]+)NPTF?", "NPT"),
    (r"(?:ORB|SAE|UN)-?(\d+)", "inch O-ring thread"),
    (r"(?:CODE|FLANGE)61-?(.*)", "flange code 61"),
    (r"(?:CODE|FLANGE)62-?(.*)", "flange code 62"),
)
"""How codes of ports are written, and the family each belongs to."""


@lru_cache(maxsize=1024)
def thread(written: str) -> Thread | None:
    """Read the code of a port; None where it is of no known family."""
    for pattern, family in FAMILIES:
        found = re.fullmatch(pattern, written)
        if found:
            return Thread(family, "x".join(found.groups()).strip("x-"))
    return None


PORT_NAMES = {"S": "suction port", "T": "tank port", "L": "drain port", "L1": "drain port"}
END_NAMES = {"start": "near end", "end": "far end"}


def port_code(part: Part, port: str) -> str:
    """Code of the thread or flange at a port of a part."""
    if part.kind.word == "line":
        return code(part, END_NAMES.get(port, "ends"), "ends")
    return code(part, PORT_NAMES.get(port, "ports"), "ports")


def screwed_pairs(case: Case) -> Iterator[tuple[Part, str, Part, str]]:
    """Each end of a line with the port that it is screwed into: line, its end, part, port.

    As the line schedule has it; ends with several ports (tees), and lines through other parts,
    are left out.
    """
    for run in case.circuit.runs:
        if not run.part or run.through:
            continue
        line = case.circuit.parts[run.part]
        for end, ports in (("start", run.starts), ("end", run.stops)):
            if len(ports) == 1 and ports[0].part in case.circuit.parts:
                part = case.circuit.parts[ports[0].part]
                if part.kind.word != "line":
                    yield line, end, part, ports[0].port


def flange_rating(flange: Thread) -> float | None:
    """Pressure that a four-bolt flange stands [Pa]; None for a size that the table lacks."""
    column = "bar_61" if flange.family.endswith("61") else "bar_62"
    for row in read_csv("parts/flange_ports.csv"):
        if row["inch"].replace(" ", "") == flange.size and row[column]:
            return float(row[column]) * 1e5
    return None


def seal_ranges() -> dict[str, tuple[float, float]]:
    """Least and most continuous temperature [degC] of each seal material."""
    return {
        row["material"]: (float(row["least_degC"]), float(row["most_degC"]))
        for row in read_csv("parts/seals.csv")
    }


def emergencies(case: Case) -> list[State]:
    """Valve states of the steps that are named an emergency."""
    return [s for s in case.facts.steps if s.step and s.step.name.lower().startswith("emergency")]


def pumps_run(case: Case, state: State) -> bool:
    """Whether any drive turns in a state: one that a step sets to no speed does not."""
    drives = case.of_kind(*DRIVES)
    if not drives:
        return bool(case.of_kind("pump"))
    speeds = [state.orders(drive.name).figures.get("at") for drive in drives]
    return any(speed is None or speed.value > 0.0 for speed in speeds)


def named_at(case: Case, junction: str) -> str:
    """Names of the pumps and accumulators on a junction, for messages."""
    found = [
        end.part
        for end in case.circuit.neighbours(junction)
        if case.circuit.parts[end.part].kind.word in ("pump", "accumulator")
    ]
    return " and ".join(found) or junction
