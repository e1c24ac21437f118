"""Writes a random circuit as text, in metric or inch units, under any names, in any order."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from tests.properties.design import CC, L_MIN, RPM, Branch, Design, Hose, Move

INCH, FOOT, PSI, GALLON = 0.0254, 0.3048, 6894.757293168361, 3.785411784e-3
POUND_FORCE, HORSEPOWER = 4.4482216152605, 745.6998715822702


@dataclass(frozen=True)
class Units:
    """How figures are written; every method takes SI. Six figures of the metric number."""

    inch: bool = False

    def _either(self, value: float, metric: tuple[float, str], inch: tuple[float, str]) -> str:
        number = float(f"{value / metric[0]:.6g}")
        if not self.inch:
            return f"{number:.10g} {metric[1]}"
        return f"{Decimal(repr(number * metric[0] / inch[0])):f} {inch[1]}"

    def pressure(self, value: float) -> str:
        return self._either(value, (1e5, "bar"), (PSI, "psi"))

    def flow(self, value: float) -> str:
        return self._either(value, (L_MIN, "L/min"), (GALLON / 60.0, "gpm"))

    def bore(self, value: float) -> str:
        return self._either(value, (1e-3, "mm"), (INCH, "in"))

    def length(self, value: float) -> str:
        return self._either(value, (1.0, "m"), (FOOT, "ft"))

    def force(self, value: float) -> str:
        return self._either(value, (1e3, "kN"), (POUND_FORCE, "lbf"))

    def torque(self, value: float) -> str:
        return self._either(value, (1.0, "Nm"), (POUND_FORCE * FOOT, "lb-ft"))

    def power(self, value: float) -> str:
        return self._either(value, (1e3, "kW"), (HORSEPOWER, "hp"))

    def displacement(self, value: float) -> str:
        return self._either(value, (CC, "cc/rev"), (INCH**3 / (2.0 * math.pi), "cu in/rev"))

    def temperature(self, degC: float) -> str:
        return f"{degC * 1.8 + 32.0:.15g} degF" if self.inch else f"{degC:g} degC"


@dataclass
class Sentences:
    """The sentences of a text by chapter."""

    parts: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)


Namer = Callable[[str], str]


class Writer:
    """Turns a design into sentences."""

    def __init__(self, design: Design, units: Units, namer: Namer) -> None:
        self.design, self.u, self.name = design, units, namer
        self.said = Sentences()

    def part(self, name: str, *clauses: str) -> str:
        self.said.parts.append(f"{self.name(name)} " + ", ".join(clauses))
        return self.name(name)

    def line(self, start: str, end: str, hose: Hose | None = None) -> None:
        size = ""
        if hose is not None:
            size = f", hose {self.u.bore(hose.bore)}, {self.u.length(hose.length)}"
            if hose.rise:
                size += f", rise {self.u.length(hose.rise)}"
        self.said.lines.append(f"from {start} to {end}{size}")

    # ---- supply ----------------------------------------------------------------------

    def supply(self) -> str:
        """Write tank, drive, pump, relief; give the end that feeds the branches."""
        s, u = self.design.supply, self.u
        tank = self.part("T1", "tank")
        speed = f"{s.speed / RPM:.10g} rpm"
        power = f", {u.power(s.flow * s.limit * 1.2)}, droop 6 %" if s.droop else ""
        self.part("E1", f"engine{power}", speed)
        clauses = [f"pump, {s.control}", u.displacement(s.displacement)]
        clauses += [f"driven by {self.name('E1')}", f"volumetric {100 * s.volumetric:g} %"]
        if s.control != "fixed":
            clauses.append(f"compensator {u.pressure(s.compensator)}")
            if s.torque is not None:
                clauses.append(f"torque limit {u.torque(s.torque)}")
        if s.control == "load sensing":
            clauses.append(f"margin {u.pressure(s.margin)}")
        pump = self.part("P1", *clauses)
        main = f"relief, set {u.pressure(s.relief)}"
        relief = self.part("R1", *[main, u.flow(s.flow * 1.2)], *["remote port"] * s.remote)
        self.line(tank, f"{pump} S", s.suction)
        self.line(f"{pump} P", f"{relief} P")
        self.line(f"{relief} T", tank)
        if s.remote:
            # a pilot relief sets the pressure of the main one from afar
            near = f"relief, direct, set {u.pressure(0.9 * s.relief)}"
            pilot = self.part("R2", near, u.flow(L_MIN))
            self.line(f"{relief} X", f"{pilot} P", s.signal)
            self.line(f"{pilot} T", tank)
        if s.control != "fixed":
            self.line(f"{pump} L", tank)
        feed = f"{pump} P"
        if s.second is not None:
            self._second(tank, feed)
        if s.check:
            check = self.part("CV1", "check", f"{u.flow(s.flow)} at {u.pressure(2e5)}")
            self.line(feed, f"{check} in")
            feed = f"{check} out"
        if s.filter == "pressure":
            strainer = self.part("F1", "filter", f"{u.flow(s.flow)} at {u.pressure(1e5)}")
            self.line(feed, f"{strainer} in", s.pressure)
            return f"{strainer} out"
        if s.pressure is None:
            return feed
        # an end that carries the far side of the hose, for the branches to meet at
        meet = self.part("G1", "gauge")
        self.line(feed, f"{meet} M", s.pressure)
        return f"{meet} M"

    def _second(self, tank: str, feed: str) -> None:
        """A second pump on the same shaft that is unloaded above a pressure."""
        s, u = self.design.supply, self.u
        assert s.second is not None
        big = self.part(
            "P2", "pump, fixed", u.displacement(3.0 * s.displacement),
            f"driven by {self.name('E1')}",
        )  # fmt: skip
        unload = self.part(
            "U1", f"unloading valve, set {u.pressure(s.second)}",
            f"{u.flow(4 * s.flow)} at {u.pressure(3e5)}",
        )  # fmt: skip
        check = self.part("CV2", "check", f"{u.flow(4 * s.flow)} at {u.pressure(2e5)}")
        self.line(tank, f"{big} S")
        self.line(f"{big} P", f"{unload} P")
        self.line(f"{unload} T", tank)
        self.line(f"{big} P", f"{check} in")
        self.line(f"{check} out", feed)
        self.line(feed, f"{unload} X")

    def back(self) -> str:
        """Write the return line; give the end that collects from the branches."""
        s, u = self.design.supply, self.u
        tank = self.name("T1")
        if s.filter.startswith("return"):
            bypass = f", bypass {u.pressure(2e5)}" if s.filter.endswith("bypass") else ""
            strainer = self.part("F1", f"filter, {u.flow(s.flow)} at {u.pressure(0.5e5)}{bypass}")
            self.line(f"{strainer} out", tank, s.back)
            return f"{strainer} in"
        if s.back is None:
            return tank
        meet = self.part("G2", "gauge")
        self.line(f"{meet} M", tank, s.back)
        return f"{meet} M"

    # ---- branches --------------------------------------------------------------------

    def branch(self, i: int, branch: Branch, feed: str, back: str) -> None:
        u, tank, flow = self.u, self.name("T1"), self.design.supply.flow
        if branch.before == "check":
            check = self.part(f"CV{i}0", "check", f"{u.flow(flow)} at {u.pressure(2e5)}")
            self.line(feed, f"{check} in")
            feed = f"{check} out"
        if branch.before == "reducing valve":
            half = u.pressure(0.5 * self.design.supply.limit)
            valve = self.part(
                f"RV{i}", f"reducing valve, set {half}", f"{u.flow(flow)} at {u.pressure(5e5)}"
            )
            self.line(feed, f"{valve} P")
            self.line(f"{valve} T", tank)
            feed = f"{valve} A"
        if branch.before == "sequence":
            third = u.pressure(self.design.supply.limit / 3.0)
            valve = self.part(
                f"SQ{i}",
                f"sequence, set {third}, external drain",
                f"{u.flow(flow)} at {u.pressure(5e5)}",
            )
            self.line(feed, f"{valve} P")
            self.line(f"{valve} Y", tank)
            feed = f"{valve} A"
        rated = f"{u.flow(branch.rated)} at {u.pressure(6e5)}"
        centre = f", {branch.centre}" if branch.centre and branch.valve != "4/2" else ""
        if branch.valve == "section":
            limit = u.pressure(0.9 * self.design.supply.limit)
            valve = self.part(f"V{i}", f"section{centre}", u.flow(branch.rated), f"limit {limit}")
        else:
            ways = branch.valve.split()[0]
            moved = ", proportional" if branch.valve.endswith("proportional") else ""
            valve = self.part(f"V{i}", f"valve {ways}{centre}{moved}", rated)
        self.line(feed, f"{valve} P")
        self.line(f"{valve} T", back)
        ends = self._actuator(i, branch)
        low = f"{valve} B"
        high = self._metered(i, branch, f"{valve} A")
        high, low = self._held(i, branch, high, low)
        self.line(high, ends[0], branch.hose)
        if len(ends) > 1:
            self.line(low, ends[1], branch.other)
        if branch.guard:
            setting = u.pressure(1.2 * self.design.supply.limit)
            guard = self.part(f"XR{i}", f"crossport relief, set {setting}", u.flow(flow))
            self.line(high, f"{guard} A")
            self.line(low, f"{guard} B")

    def _actuator(self, i: int, branch: Branch) -> tuple[str, ...]:
        u = self.u
        if branch.actuator == "motor":
            motor = self.part(f"M{i}", "motor", u.displacement(branch.size))
            self.line(f"{motor} L", self.name("T1"))
            return f"{motor} A", f"{motor} B"
        build = "" if branch.actuator == "cylinder" else f", {branch.actuator}"
        clauses = [f"cylinder{build}"]
        rod = branch.size if branch.actuator == "plunger" else branch.rod * branch.size
        clauses.append(f"rod {u.bore(rod)}, stroke {u.length(1.0)}")
        if branch.actuator != "plunger":
            clauses.append(f"bore {u.bore(branch.size)}")
        clauses.append(f"efficiency {100 * branch.efficiency:g} %")
        if branch.weight:
            clauses.append(f"weight {u.force(branch.weight * self.strength(branch))}")
        cylinder = self.part(f"C{i}", *clauses)
        single = branch.actuator in ("single acting", "plunger")
        return (f"{cylinder} cap",) if single else (f"{cylinder} cap", f"{cylinder} rod")

    def strength(self, branch: Branch) -> float:
        """Force or torque at the highest pressure of the supply."""
        if branch.actuator == "motor":
            return branch.size * self.design.supply.limit
        area = math.pi * branch.size**2 / 4.0
        if branch.actuator == "double rod":
            area *= 1.0 - branch.rod**2
        return area * self.design.supply.limit

    def _metered(self, i: int, branch: Branch, end: str) -> str:
        u, flow = self.u, self.design.supply.flow
        if branch.metering == "none":
            return end
        if branch.metering == "orifice":
            part = self.part(f"OR{i}", "orifice", u.bore(math.sqrt(flow / 20.0)))
        elif branch.metering == "flow control":
            part = self.part(f"FC{i}", "flow control, free-flow check", u.flow(0.4 * flow))
        else:
            part = self.part(
                f"TH{i}", "throttle, free-flow check", f"{u.flow(0.5 * flow)} at {u.pressure(2e6)}"
            )
        inlet, outlet = ("out", "in") if branch.metering == "throttle out" else ("in", "out")
        self.line(end, f"{part} {inlet}")
        return f"{part} {outlet}"

    def _held(self, i: int, branch: Branch, high: str, low: str) -> tuple[str, str]:
        """Hold the load in one line or in both; give the ends on the side of the load."""
        u, flow = self.u, self.design.supply.flow
        rated = f"{u.flow(flow)} at {u.pressure(8e5)}"
        setting = u.pressure(1.1 * self.design.supply.limit)
        if branch.holding == "none":
            return high, low
        if branch.holding in ("counterbalance", "two counterbalances"):
            ends, lines = [high, low], (high, low)
            for k, letter in enumerate("AB" if branch.holding.startswith("two") else "A"):
                part = self.part(
                    f"CB{i}{letter}", f"counterbalance, set {setting}, pilot 4:1", rated
                )
                self.line(lines[k], f"{part} V")
                self.line(lines[1 - k], f"{part} X")
                ends[k] = f"{part} C"
            return ends[0], ends[1]
        if branch.holding == "pilot check":
            part = self.part(f"PC{i}", "pilot check, ratio 3", rated)
            self.line(high, f"{part} in")
            self.line(low, f"{part} X")
            return f"{part} out", low
        more = f", set {setting}" if branch.holding == "brake valve" else ""
        part = self.part(f"DV{i}", branch.holding + more, rated)
        self.line(high, f"{part} A1")
        self.line(low, f"{part} B1")
        return f"{part} A2", f"{part} B2"

    def signals(self) -> None:
        """Join the load signals over shuttles to the pump."""
        end = f"{self.name('V1')} LS"
        for i in range(2, len(self.design.branches) + 1):
            shuttle = self.part(f"SH{i}", "shuttle")
            self.line(end, f"{shuttle} 1")
            self.line(f"{self.name(f'V{i}')} LS", f"{shuttle} 2")
            end = f"{shuttle} out"
        self.line(end, f"{self.name('P1')} X", self.design.supply.signal)

    # ---- steps -----------------------------------------------------------------------

    def step(self, number: int, moves: list[Move], warm: float) -> None:
        clauses = [f"step s{number}", f"oil at {self.u.temperature(warm)}"]
        for i, (branch, move) in enumerate(zip(self.design.branches, moves, strict=True), 1):
            part_way = move.travel < 1.0 and move.position in ("a", "b")
            share = f" {100 * move.travel:g} %" if part_way else ""
            clauses.append(f"{self.name(f'V{i}')} at {move.position}{share}")
            motor = branch.actuator == "motor"
            owner = self.name(f"M{i}" if motor else f"C{i}")
            if move.stop:
                clauses.append(f"{owner} at {'standstill' if motor else 'end stop'}")
            elif move.load:
                size = move.load * self.strength(branch)
                clauses.append(f"{owner} load {(self.u.torque if motor else self.u.force)(size)}")
        self.said.steps.append(", ".join(clauses))


def sentences(design: Design, units: Units, namer: Namer = str) -> Sentences:
    """Write a design as sentences."""
    writer = Writer(design, units, namer)
    feed, back = writer.supply(), writer.back()
    for i, branch in enumerate(design.branches, 1):
        writer.branch(i, branch, feed, back)
    if design.supply.control == "load sensing":
        writer.signals()
    for number, (moves, warm) in enumerate(zip(design.moves, design.warm, strict=True), 1):
        writer.step(number, moves, warm)
    return writer.said


def text_of(
    design: Design, units: Units | None = None, namer: Namer = str, shuffle: int | None = None
) -> str:
    """Write a design as a text; ``shuffle`` is the seed of another order of the sentences."""
    units = units or Units()
    said = sentences(design, units, namer)
    if shuffle is not None:
        order = random.Random(shuffle)
        order.shuffle(said.parts)
        order.shuffle(said.lines)
    head = ['circuit "Drawn by lot"', f"oil ISO VG {design.grade}, at {units.temperature(40.0)}"]
    body = [*head, "", "parts", *(f"  {row}" for row in said.parts), "", "lines"]
    body += [*(f"  {row}" for row in said.lines), "", "cycle", *(f"  {row}" for row in said.steps)]
    return "\n".join(body) + "\n"
