"""What sets a pressure: a load on a rod, a valve that stands part open, a pump, the tank."""

from __future__ import annotations

import math

from circuitcheck.studies.why_anchors import Anchor, Anchors
from circuitcheck.studies.why_formula import Formula, Term
from circuitcheck.studies.why_laws import controls, drop_by_flow, felt, piloted_pressure
from circuitcheck.studies.why_network import Branch
from circuitcheck.studies.why_trail import LARGE, LEAST, Reason


class Pressures(Anchors):
    """The part of the walk that follows pressure."""

    def pressure(self, junction: int) -> Reason:
        net, of = self.net, self.pressure_name(junction)
        value = float(net.x[junction])
        if net.loose[junction]:
            said = "nothing decides it: closed off on all sides, and not even leakage reaches it"
            return Reason(of, math.nan, "pressure", said)
        if net.pinned[junction]:
            return Reason(of, value, "pressure", f"the tank {self.label(junction)} holds it")
        if not self.once("pressure", junction):
            return Reason(of, value, "pressure", "told above")
        if net.shut[junction]:
            return Reason(of, value, "pressure", self._closed(junction))
        empty = [b for b in net.at.get(junction, []) if b.word == "void" and b.values["flow"] > 0.0]
        if empty:
            said = "the oil is missing here: it stands at the lowest pressure there is"
            return Reason(of, value, "pressure", said)
        found = self.hangs_on(junction)
        if found is None:
            return self._balanced(junction)
        anchor, path = found
        with self.deeper():
            return self._hung(junction, anchor, path)

    def _closed(self, junction: int) -> str:
        return (
            f"a closed volume: only leakage decides it. What shuts it: "
            f"{', '.join(self._blockers(junction)) or 'nothing that is listed'}"
        )

    def _blockers(self, junction: int) -> list[str]:
        """Name the parts at the edge of a closed volume that let no oil through."""
        seen, edge, found = {junction}, [junction], dict[str, None]()
        while edge:
            at = edge.pop()
            for branch in self.net.at.get(at, []):
                if not branch.passage or branch.word == "gap":
                    continue  # slip and leakage are no ways by which parts are named
                far = branch.across(at)
                if self.net.shut[far] and self.open(branch):
                    if far not in seen:
                        seen.add(far)
                        edge.append(far)
                elif not self.open(branch):
                    found[self.known_as(branch.part)] = None
        return list(found)

    # ---- told ------------------------------------------------------------------------------

    def _hung(self, junction: int, anchor: Anchor, path: list[Branch]) -> Reason:
        of, value = self.pressure_name(junction), float(self.net.x[junction])
        if not path:
            base = self._base(anchor)
            return Reason(of, value, "pressure", base.said, base.formula, base.because)
        known = () if anchor.kind == "tank" else (self._base(anchor),)
        hung = self.pressure_name(anchor.junction)
        if abs(float(self.net.x[anchor.junction]) - value) < 1e-3 * abs(value):
            said = f"as good as the {hung}: next to nothing is lost between"
            return Reason(of, value, "pressure", said, None, known)
        at, terms, signs, little, causes = junction, list[Term](), list[str](), 0.0, list[Reason]()
        for branch in path:
            far = branch.across(at)
            lost = float(self.net.x[at] - self.net.x[far])
            at = far
            if abs(lost) < 3e-3 * abs(value):
                little += lost
                continue
            terms.append(Term(f"d{len(terms) + 1}", abs(lost), "pressure",
                              f"drop over {self.passage_name(branch)}"))  # fmt: skip
            signs.append("+" if lost > 0.0 else "-")
            if abs(lost) > max(LARGE * abs(value), LEAST):
                causes.append(self._drop_told(branch))
        if little:
            terms.append(Term("d", abs(little), "pressure", "small drops on the way"))
            signs.append("+" if little > 0.0 else "-")
        first = Term("p1", float(self.net.x[anchor.junction]), "pressure", hung)
        right = "p1" + "".join(f" {s} {t.letter}" for s, t in zip(signs, terms, strict=True))
        said = f"it hangs on the {hung}, with the drops between"
        formula = Formula("p", "pressure", right, (first, *terms))
        return Reason(of, value, "pressure", said, formula, (*known, *causes))

    def _drop_told(self, branch: Branch) -> Reason:
        dp = abs(float(self.net.x[branch.ends[0]] - self.net.x[branch.ends[1]]))
        formula = drop_by_flow(self.net, branch)
        if formula is not None and not math.isclose(formula.value, dp, rel_tol=1e-6):
            formula = None  # a height is in it
        causes = (self.flow(branch),) if self.once("drop", id(branch)) else ()
        of = f"drop over {self.passage_name(branch)}"
        return Reason(of, dp, "pressure", "what its flow costs", formula, causes)

    def _base(self, anchor: Anchor) -> Reason:
        """Say why the pressure stands where it is set."""
        net, at, branch = self.net, anchor.junction, anchor.branch
        of, value = self.pressure_name(at), float(net.x[at])
        if branch is None:
            return Reason(of, value, "pressure", f"the tank {self.label(at)} holds it")
        if not self.once("base", at):
            return Reason(of, value, "pressure", "told above")
        if anchor.kind == "rod":
            return self._chamber(branch, at)
        if anchor.kind == "shaft":
            return self._motor(branch, at)
        if anchor.kind == "valve":
            return self._valve(branch, at)
        if anchor.kind == "store":
            said = f"{self.known_as(branch.part)} holds it by its gas or spring"
            return Reason(of, value, "pressure", said)
        return self._pump(branch, anchor.kind, at)

    def _valve(self, branch: Branch, at: int) -> Reason:
        feels = felt(branch)
        names = {end: self.pressure_name(end) for end in feels}
        formula = piloted_pressure(self.net, branch, at, names)
        said = f"{self.known_as(branch.part)} stands part open and holds it"
        causes = [self.flow(branch)] if self.once("drop", id(branch)) else []
        causes += [
            self.pressure(end)
            for end in feels
            if end != at and self.worth(end, LARGE * abs(float(self.net.x[at])))
        ]
        value = float(self.net.x[at])
        return Reason(self.pressure_name(at), value, "pressure", said, formula, tuple(causes))

    def _pump(self, branch: Branch, name: str, at: int) -> Reason:
        net, value = self.net, float(self.net.x[at])
        stroke = Term("u", abs(branch.values["stroke"]), "share", "its stroke")
        terms = {term.letter: term for term in controls(net, branch)[name].terms}
        causes: tuple[Reason, ...] = ()
        if name == "cutoff":
            said = f"{self.known_as(branch.part)} holds it: it destrokes to what is taken"
            formula = Formula("p", "pressure", "c - u * b", (terms["c"], stroke, terms["b"]))
            causes = (self.flow(branch),)
        elif name == "margin":
            said = f"{self.known_as(branch.part)} keeps its margin over the load signal"
            formula = Formula("p", "pressure", "px + m - u * b",
                              (terms["px"], terms["m"], stroke, terms["b"]))  # fmt: skip
            causes = (self.pressure(branch.ends[2]),)
        else:
            said = f"{self.known_as(branch.part)} gives as much as its torque allows"
            inlet = Term("p0", float(net.x[branch.ends[1]]), "pressure", "at its inlet")
            formula = Formula("p", "pressure", "p0 + 2 * pi * M / (u * D)",
                              (inlet, terms["M"], stroke, terms["D"]))  # fmt: skip
        if not math.isclose(formula.value, value, rel_tol=1e-6, abs_tol=1.0):
            return Reason(self.pressure_name(at), value, "pressure", said, None, causes)
        return Reason(self.pressure_name(at), value, "pressure", said, formula, causes)

    def _chamber(self, branch: Branch, at: int) -> Reason:
        """The pressure of a chamber by what stands against the rod."""
        net = self.net
        cap, rod = branch.ends[:2]
        areas = branch.figure("cap_area"), branch.figure("rod_area")
        side = 0 if at == cap else 1
        force, other = branch.values["force"], (rod, cap)[side]
        friction = areas[0] * net.x[cap] - areas[1] * net.x[rod] - force
        own, back = areas[side], areas[1 - side]
        turn = 1.0 if side == 0 else -1.0
        terms = [Term("F", abs(force), "force", "force that is asked of the rod")]
        right = "F" if force * turn >= 0.0 else "-F"
        if abs(friction) > 1e-9 * max(abs(force), 1.0):
            terms.append(Term("R", abs(friction), "force", "friction of its seals"))
            right += " + R" if friction * turn > 0.0 else " - R"
        causes = [self._load(branch)]
        if back > 0.0 and abs(net.x[other]) > 0.0 and other != at:
            terms += [
                Term("p2", float(net.x[other]), "pressure", self.pressure_name(other)),
                Term("A2", back, "area", "area of that side"),
            ]
            right += " + p2 * A2"
            if self.worth(other, LARGE * abs(float(net.x[at])) * own / back):
                causes.append(self.pressure(other))
        terms.append(Term("A1", own, "area", "area of this side"))
        formula = Formula("p", "pressure", f"({right}) / A1", tuple(terms))
        said = f"the load on {branch.part} asks for it"
        value = float(net.x[at])
        return Reason(self.pressure_name(at), value, "pressure", said, formula, tuple(causes))

    def _load(self, branch: Branch) -> Reason:
        """What stands against a rod or shaft, as the step or the text says."""
        owner = branch.ends[2] if branch.word == "piston" else branch.ends[3]
        force = branch.values["force"] if branch.word == "piston" else branch.values["torque"]
        kind = "force" if branch.word == "piston" else "torque"
        words = "force against {}" if kind == "force" else "torque against {}"
        loads = [b for b in self.net.at.get(owner, []) if b is not branch and b.into(owner)]
        terms = tuple(
            Term(f"F{i}", -b.into(owner), kind, f"{b.name} of {b.part}")
            for i, b in enumerate(loads, 1)
        )
        formula = Formula("F", kind, " + ".join(t.letter for t in terms), terms) if terms else None
        said = "what the step or the text puts on it; positive against motion out"
        return Reason(words.format(branch.part), force, kind, said, formula)

    def _motor(self, branch: Branch, at: int) -> Reason:
        """The pressure at a motor by the torque that is asked of its shaft."""
        net = self.net
        out, inlet, _, shaft = branch.ends[:4]
        full = branch.figure("full") * math.tau * abs(branch.values["stroke"])
        dp = float(net.x[at] - net.x[inlet if at == out else out])
        other = inlet if at == out else out
        terms = (
            Term("p2", float(net.x[other]), "pressure", self.pressure_name(other)),
            Term("T", dp * full / math.tau, "torque", "torque asked of it, its friction with it"),
            Term("D", full, "displacement", "displacement"),
        )
        formula = Formula("p", "pressure", "p2 + 2 * pi * T / D", terms)
        said = f"the torque on {branch.part} asks for it"
        value = float(net.x[at])
        causes = [Reason(f"speed of {branch.part}", float(net.x[shaft]), "rotation",
                         self.known_as(branch.part))]  # fmt: skip
        if self.worth(other, LARGE * abs(value)):
            causes.append(self.pressure(other))
        return Reason(self.pressure_name(at), value, "pressure", said, formula, tuple(causes))

    def _balanced(self, junction: int) -> Reason:
        """A pressure that no one thing sets: the flows at it, which must come to nothing."""
        net = self.net
        flows = {b: b.into(junction) for b in net.at.get(junction, []) if b.into(junction)}
        told = sorted(flows, key=lambda b: -abs(flows[b]))[:4]
        listed = ", ".join(self.known_as(b.part) for b in told)
        said = f"no one thing sets it: it settles where what comes in goes out again ({listed})"
        return Reason(self.pressure_name(junction), float(net.x[junction]), "pressure", said)
