"""Rules on lines that end nowhere, that can be shut all round, or that nothing measures."""

from __future__ import annotations

from collections.abc import Iterator

from circuitcheck.basics.findings import Number, Severity
from circuitcheck.components._parts import PortKind
from circuitcheck.components._pump_controls import is_loop
from circuitcheck.rules._case import Case
from circuitcheck.rules._inside import Way
from circuitcheck.rules._rule import Outcome, Rule

SHUTTING = (Way.SHUT_OFF, Way.AGAINST, Way.CHECK)


def trapped_volume_no_relief(case: Case) -> Iterator[Outcome]:
    """Oil that can be shut in between valves and warmed.

    What is checked
        Every stretch of line whose ways out are hand-worked shut-offs and checks against the
        flow only, two of them or more: does a relief valve stand on it? An upper bound of the
        rise is 12 bar for each kelvin, here for 10 K.

    Why it matters on the machine
        Sun or a hot part nearby bursts a closed tube.

    What to do
        A thermal relief valve, or one shut-off less.

    Limits of this rule
        A stretch with an actuator, an accumulator or a hose is let pass: a hose gives way, and
        actuators have rules of their own. Spools leak and count as open.

    Source
        expansion times bulk modulus of mineral oil; common practice
    """
    heating, rise = case.limit("heating"), case.limit("rise_per_kelvin")
    seen: set[str] = set()
    for valve in case.of_kind("shut-off"):
        if valve.says("locked open"):
            continue
        for port in ("in", "out"):
            start = case.network.at(valve.name, port)
            if start is None or start in seen or start in case.network.tanks:
                continue
            found = case.facts.region(start).found
            seen.update(found)
            borders = _shut_all_round(case, set(found))
            if len(borders) > 1:
                pressure = heating.value * rise.value
                yield case.finding(
                    f"oil shut in between {' and '.join(borders[:3])} rises by up to "
                    f"{case.bar(pressure)} for {heating.value:g} K of warming "
                    f"({heating.origin})",
                    valve,
                    port=port,
                    numbers=(Number("rise", pressure, "pressure"),),
                )


def _shut_all_round(case: Case, region: set[str]) -> list[str]:
    """Parts that can shut in a stretch of line; empty where it stays open somewhere."""
    borders: list[str] = []
    for junction in region:
        if junction in case.network.tanks:
            return []
        for end in case.circuit.neighbours(junction):
            part = case.circuit.parts[end.part]
            if part.kind.word in ("gauge", "test point", "pressure switch", "thermometer"):
                continue
            if part.kind.word == "line" and part.choices.get("make") != "hose":
                continue
            ways = [p.way for p in case.network.of_part[part.name]]
            if part.kind.word not in ("shut-off", "check") or any(w not in SHUTTING for w in ways):
                return []
            if part.kind.word == "check" and end.port == "in":
                return []  # its oil can leave here
            borders.append(part.name)
    return list(dict.fromkeys(borders))


QUIET = (PortKind.PILOT, PortKind.SENSE, PortKind.MEASURE, PortKind.DRAIN)
"""Ports at which a line may well end."""


def dead_end_line(case: Case) -> Iterator[Outcome]:
    """Line that leads nowhere.

    What is checked
        Both ends of every line with a size: is there, besides the line, a way for oil through
        another part in some valve position, an actuator, a pump, an accumulator, or a port for
        pilot, signal or measuring?

    Why it matters on the machine
        Usually a connection was forgotten, or a port mistaken: what stands at the other end
        gets no oil.

    What to do
        Finish the line, or delete it.

    Limits of this rule
        A valve port that no position joins counts as closed for good.

    Source
        logic of the graph
    """
    for line in case.of_kind("line"):
        for port, far in (("start", "end"), ("end", "start")):
            junction = case.network.at(line.name, port)
            if junction is None or junction in case.network.tanks:
                continue
            others = [e for e in case.circuit.neighbours(junction) if e.part != line.name]
            if any(_goes_on(case, end.part, end.port, junction) for end in others):
                continue
            where = ", ".join(str(end) for end in others) or "nothing"
            yield case.finding(
                f"line {line.name} leads from its {far} to nowhere: {where} lets no oil on in "
                "any position",
                line,
                port=port,
            )


def _goes_on(case: Case, name: str, port: str, junction: str) -> bool:
    part = case.circuit.parts[name]
    ways = (*case.network.out[junction], *case.network.into[junction])
    if any(passage.part == name for passage in ways):
        return True
    if not part.positions:
        return True
    return any(p.letter == port and p.kind in QUIET for p in part.ports)


def no_test_point(case: Case) -> Iterator[Outcome]:
    """No place to measure where faults are sought.

    What is checked
        On the outlet of every pump and on the oil side of every accumulator, lines and checks
        counted in: is there a gauge, a test point or a pressure switch?

    Why it matters on the machine
        A fault there can be found only by opening a line.

    What to do
        A test point on each of them; tees for a flow meter in pump outlet and case drain.

    Limits of this rule
        Signal lines, actuator lines and case drains are worth a test point too; they are not
        asked for.

    Source
        US Army FM 5-499 on circuit testers; trade article
    """
    looks = ("gauge", "test point", "pressure switch")
    places = {case.network.at(part.name, "M") for part in case.of_kind(*looks)}
    without = []
    for part in case.of_kind("pump", "accumulator"):
        ports = ("A", "B") if is_loop(part) else ("P",)
        joints = [name for port in ports if (name := case.network.at(part.name, port)) is not None]
        near = case.network.reach(joints, lambda p: p.way in (Way.OPEN, Way.CHECK))
        if joints and not any(place in near for place in places):
            without.append(part)
    if without:
        yield case.finding(
            f"there is no place to measure the pressure of "
            f"{', '.join(part.name for part in without)}",
            without[0],
        )


RULES = (
    Rule("dead-end-line", Severity.WARNING, dead_end_line, explains=("no-return-path",)),
    Rule("trapped-volume-no-relief", Severity.WARNING, trapped_volume_no_relief),
    Rule("no-test-point", Severity.ADVICE, no_test_point),
)
