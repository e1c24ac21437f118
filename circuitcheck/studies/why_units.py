"""What pumps, motors and stores give and take."""

from __future__ import annotations

import math
from dataclasses import replace

from circuitcheck.studies.why_balances import MOST, Balances
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_laws import controls
from circuitcheck.studies.why_network import Branch
from circuitcheck.studies.why_trail import LITTLE, SETS, Reason


class Units(Balances):
    """The part of the walk that looks at pumps, motors and stores."""

    def flow_of_unit(self, branch: Branch, junction: int) -> Reason:
        """Say what sets the flow of a pump or motor at one of its ports."""
        gains, size = self.own_gains(branch)
        return self.unit(branch, junction, abs(self.share_of(branch, gains, size) + 1.0) >= SETS)

    def store(self, branch: Branch) -> Reason:
        held, start = branch.values["held"], branch.figure("start")
        rate = branch.figure("rate")
        q = branch.values["flow"]
        said = f"{self.known_as(branch.part)}: what it holds changes over the step"
        formula = None
        if rate > 0.0:
            terms = (
                Term("V1", held, "volume", "oil in it at the end"),
                Term("V0", start, "volume", "oil in it at the start"),
                Term("t", 1.0 / rate, "time", "the step lasts"),
            )
            formula = Formula("Q", "flow", "(V1 - V0) / t", terms)
        return Reason(f"flow into {branch.part}", q, "flow", said, formula)

    def unit(self, branch: Branch, junction: int, sets: bool) -> Reason:
        """The flow of a pump or motor at a port: displacement, speed, stroke, slip."""
        part, net = branch.part, self.net
        q = abs(sum(b.into(junction) for b in net.of(part) if b.word != "void"))
        stroke = abs(branch.values["stroke"])
        speed = float(net.x[branch.ends[3]])
        full = branch.figure("full") * math.tau
        moved = stroke * full * abs(speed) / math.tau
        pumps = branch.into(junction) > 0.0
        terms = [
            Term("D", full, "displacement", "displacement"),
            Term("n", abs(speed), "rotation", f"speed of {self.shaft_name(branch.ends[3])}"),
        ]
        right = "D * n"
        if abs(stroke - 1.0) > 1e-9:
            terms.append(Term("u", stroke, "share", "its stroke"))
            right += " * u"
        lost = moved - q
        if abs(lost) > 1e-12 * max(q, moved):
            right += f" {'-' if lost > 0.0 else '+'} L"
            terms.append(Term("L", abs(lost), "flow", f"slip at {self._apart(branch)}"))
        formula = Formula("Q", "flow", right, tuple(terms)) if moved else None
        of = f"flow {'from' if pumps else 'into'} {part}"
        causes: list[Reason] = []
        said = f"{self.known_as(part)} {'gives' if pumps else 'takes'} what it moves"
        if not self.once("unit", id(branch)):
            return Reason(of, q, "flow", said, formula)
        with self.deeper():
            if abs(stroke - 1.0) > 1e-3:
                causes += self._stroke(branch)
            if not sets and abs(stroke) < 1.0 and pumps:
                said = f"{self.known_as(part)} gives no more than is taken from it"
                causes.append(self._taken(branch, junction))
            if not net.pinned[branch.ends[3]] and self.once("speed", branch.ends[3]):
                causes.append(self.speed(branch.ends[3]))
        return Reason(of, q, "flow", said, formula, tuple(causes))

    def _apart(self, branch: Branch) -> str:
        out, inlet = branch.ends[:2]
        return f"{self.label(out)} over {self.label(inlet)}"

    def _stroke(self, branch: Branch) -> list[Reason]:
        """Which control holds the stroke; only one that comes to the stroke is named."""
        stroke = branch.values["stroke"]
        words = {"cutoff": "its cut-off destrokes it", "margin": "its load sensing destrokes it",
                 "torque": "its torque control destrokes it"}  # fmt: skip
        for name, formula in controls(self.net, branch).items():
            if math.isclose(formula.value, abs(stroke), rel_tol=1e-6, abs_tol=1e-9):
                reason = Reason(f"{branch.part} stroke", abs(stroke), "share", words[name], formula)
                if name == "margin":
                    reason = replace(reason, because=(self.pressure(branch.ends[2]),))
                return [reason]
        return [Reason(f"{branch.part} stroke", abs(stroke), "share", self.known_as(branch.part))]

    def _taken(self, branch: Branch, junction: int) -> Reason:
        """What takes the oil that a regulating pump gives."""
        others = {
            b: taken
            for b, taken in self.others_at(junction, branch, -1.0).items()
            if b.part != branch.part
        }
        total = sum(others.values())
        told = sorted(others, key=lambda b: -abs(others[b]))
        notable = [b for b in told[:MOST] if abs(others[b]) > LITTLE * abs(total)]
        formula = self.sum_of(others, notable, junction)
        said = f"what is taken at {self.label(junction)}"
        causes = tuple(
            self.follow(b.across(junction), b, *self.own_gains(b))
            for b in notable[:2]
            if b.passage and self.once("passed", id(b))
        )
        return Reason(f"flow taken at {self.label(junction)}", total, "flow", said, formula, causes)
