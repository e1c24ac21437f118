"""Why a rod or a shaft moves as fast as it does, or stands."""

from __future__ import annotations

import math

from circuitcheck.laws.machines import STILL_ROD, STILL_SHAFT
from circuitcheck.laws.net import ROD
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_network import UNITS, Branch
from circuitcheck.studies.why_trail import LARGE, Reason, Trail


class Motions(Trail):
    """The part of the walk that looks at rods and shafts."""

    def speed(self, owner: int) -> Reason:
        if self.net.unknowns[owner].kind == ROD:
            return self._rod_speed(owner)
        return self._shaft_speed(owner)

    # ---- rods ------------------------------------------------------------------------------

    def _rod_speed(self, owner: int) -> Reason:
        net, value = self.net, float(self.net.x[owner])
        pistons = [b for b in net.at.get(owner, []) if b.word == "piston"]
        name = net.unknowns[owner].name
        of = f"{name} speed"
        if net.pinned[owner]:
            return self._stopped(of, name, pistons)
        if abs(value) <= 2.0 * STILL_ROD:
            return self._standing_rod(of, name, pistons)
        gains = net.gains_of(owner)
        sides = [
            (abs(gains[b.ends[i]]) * b.figure(area), b, i)
            for b in pistons
            for i, area in enumerate(("cap_area", "rod_area"))
            if b.figure(area) > 0.0
        ]
        if not sides or not net.regular:
            return Reason(of, value, "speed", self.known_as(name))
        _, piston, side = max(sides, key=lambda found: found[0])
        word, area = ("cap", "rod")[side], piston.figure(("cap_area", "rod_area")[side])
        junction = piston.ends[side]
        flow = abs(area * value)
        fills = (value > 0.0) == (side == 0)
        port = f"{name} {piston.port(junction) or word}"
        terms = (
            Term("Q", flow, "flow", f"flow {'into' if fills else 'out of'} {port}"),
            Term("A", area, "area", f"area on the {word} side"),
        )
        formula = Formula("v", "speed", "Q / A" if value > 0.0 else "-Q / A", terms)
        way = "out" if value > 0.0 else "in"
        rules = "the oil that comes in" if fills else "the oil that is let out"
        said = f"{name} moves {way} as fast as {rules} allows"
        with self.deeper():
            cause = self.arriving(junction, piston)
        return Reason(of, value, "speed", said, formula, (cause,))

    def _stopped(self, of: str, name: str, pistons: list[Branch]) -> Reason:
        said = f"{name} stands at its end stop, because the step says so"
        with self.deeper():
            causes = tuple(self.force(b) for b in pistons)
        return Reason(of, 0.0, "speed", said, None, causes)

    def _standing_rod(self, of: str, name: str, pistons: list[Branch]) -> Reason:
        state = self.point.parts[name].state
        if state == "stalled":
            said = f"{name} is stalled: the force of the oil does not move what stands against it"
        else:
            said = f"{name} stands: {state}"
        with self.deeper():
            causes = tuple(self.force(b) for b in pistons)
        return Reason(of, 0.0, "speed", said, None, causes)

    def force(self, piston: Branch) -> Reason:
        """The force of a piston by the pressures on both sides and the friction."""
        net = self.net
        cap, rod = piston.ends[:2]
        areas = piston.figure("cap_area"), piston.figure("rod_area")
        force = piston.values["force"]
        friction = float(areas[0] * net.x[cap] - areas[1] * net.x[rod]) - force
        terms = [
            Term("p1", float(net.x[cap]), "pressure", self.pressure_name(cap)),
            Term("A1", areas[0], "area", "area on the cap side"),
        ]
        right = "p1 * A1"
        if areas[1] > 0.0:
            terms += [
                Term("p2", float(net.x[rod]), "pressure", self.pressure_name(rod)),
                Term("A2", areas[1], "area", "area on the rod side"),
            ]
            right += " - p2 * A2"
        if abs(friction) > 1e-9 * max(abs(force), 1.0):
            terms.append(Term("R", abs(friction), "force", "friction of its seals"))
            right += " - R" if friction > 0.0 else " + R"
        formula = Formula("F", "force", right, tuple(terms))
        pushing = sorted(
            {cap: areas[0], rod: areas[1]}.items(), key=lambda found: -found[1] * net.x[found[0]]
        )
        with self.deeper():
            causes = [
                self.pressure(end)
                for end, area in pushing
                if area > 0.0 and (
                    self.worth(end, LARGE * abs(force) / area) or self.net.loose[end]
                )
            ]  # fmt: skip
        said = "the pressures on its areas, less the friction"
        return Reason(f"{piston.part} force", force, "force", said, formula, tuple(causes))

    # ---- shafts ----------------------------------------------------------------------------

    def _shaft_speed(self, owner: int) -> Reason:
        net, value = self.net, float(self.net.x[owner])
        name = net.unknowns[owner].name
        of = f"{name} speed"
        if net.pinned[owner]:
            said = f"{self.known_as(name)} holds it, whatever the torque"
            return Reason(of, value, "rotation", said)
        here = net.at.get(owner, [])
        if any(b.word == "slip" for b in here):
            return self._driven(of, name, owner, here)
        if abs(value) <= 2.0 * STILL_SHAFT:
            return self._standing_shaft(of, name, here)
        units = [b for b in here if b.word in UNITS and b.values["stroke"]]
        if units and net.regular:
            return self._by_oil(of, owner, units)
        return self._coupled(of, name, owner, here)

    def _driven(self, of: str, name: str, owner: int, here: list[Branch]) -> Reason:
        drive = next(b for b in here if b.word == "slip")
        torque = drive.values["torque"]
        terms = tuple(
            Term(f"M{i}", -b.into(owner), "torque", f"torque of {b.part}")
            for i, b in enumerate((b for b in here if b is not drive and b.into(owner)), 1)
        )
        formula = Formula("M", "torque", " + ".join(t.letter for t in terms), terms) if terms else (
            None
        )  # fmt: skip
        asked = Reason(f"torque asked of {name}", torque, "torque", "what hangs on it", formula)
        said = f"{self.known_as(name)}: where its torque meets what is asked of it"
        return Reason(of, float(self.net.x[owner]), "rotation", said, None, (asked,))

    def _standing_shaft(self, of: str, name: str, here: list[Branch]) -> Reason:
        brakes = [b for b in here if b.word == "brake"]
        units = [b for b in here if b.word in UNITS]
        said = f"{self.known_as(name)} stands"
        if any(b.values["released"] < 1.0 and b.figure("capacity") > 0.0 for b in brakes):
            said += f": {', '.join(self.known_as(b.part) for b in brakes)}"
        ends = {end for b in units for end in b.ends[:2]}
        with self.deeper():
            causes = tuple(self.pressure(e) for e in sorted(ends, key=lambda e: -self.net.x[e]))
        return Reason(of, 0.0, "rotation", said, None, causes[:1])

    def _by_oil(self, of: str, owner: int, units: list[Branch]) -> Reason:
        net, value = self.net, float(self.net.x[owner])
        gains = net.gains_of(owner)
        sides = [
            (abs(gains[b.ends[i]]) * b.figure("full") * abs(b.values["stroke"]), b, b.ends[i])
            for b in units
            for i in (0, 1)
        ]
        _, unit, junction = max(sides, key=lambda side: side[0])
        part = unit.part
        total = sum(b.into(junction) for b in net.of(part) if b.word != "void")
        flow, stroke = abs(total), abs(unit.values["stroke"])
        full = unit.figure("full") * math.tau
        lost = flow - stroke * full * abs(value) / math.tau
        takes = total < 0.0
        terms = [
            Term("Q", flow, "flow", f"flow {'into' if takes else 'out of'} {self.label(junction)}"),
            Term("D", full, "displacement", "displacement"),
        ]
        right, below = "Q", "D"
        if abs(lost) > 1e-12 * flow:
            terms.append(Term("L", abs(lost), "flow", "its slip"))
            right = f"(Q {'-' if lost > 0.0 else '+'} L)"
        if abs(stroke - 1.0) > 1e-9:
            terms.append(Term("u", stroke, "share", "its stroke"))
            below = "(D * u)"
        sign = "" if value > 0.0 else "-"
        formula = Formula("n", "rotation", f"{sign}{right} / {below}", tuple(terms))
        rules = "the oil that comes in" if takes else "the oil that is let out"
        said = f"{part} turns as fast as {rules} allows"
        with self.deeper():
            cause = self.arriving(junction, unit)
        return Reason(of, value, "rotation", said, formula, (cause,))

    def _coupled(self, of: str, name: str, owner: int, here: list[Branch]) -> Reason:
        """A shaft that another one turns, over a gear, a belt, a winch."""
        value = float(self.net.x[owner])
        said = self.known_as(name) if name in self.point.parts else name
        for branch in (b for b in here if b.word == "coupling"):
            first, second = branch.ends
            other = second if first == owner else first
            if not self.once("shaft", other):
                continue
            ratio = branch.figure("ratio")
            turned = Term("n1", float(self.net.x[other]), "rotation",
                          f"speed of {self.net.unknowns[other].name}")  # fmt: skip
            gear = Term("i", ratio, "ratio", f"ratio of {branch.part}")
            right = "n1 / i" if other == first else "n1 * i"
            formula = Formula("n", "rotation", right, (turned, gear))
            if not math.isclose(formula.value, value, rel_tol=1e-4):
                said = f"{self.known_as(branch.part)} slips"
                return Reason(of, value, "rotation", said, None, (self.speed(other),))
            said = f"{branch.part} joins it to {self.net.unknowns[other].name}"
            with self.deeper():
                cause = self.speed(other)
            return Reason(of, value, "rotation", said, formula, (cause,))
        return Reason(of, value, "rotation", said)
