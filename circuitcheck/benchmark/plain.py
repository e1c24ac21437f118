"""The balances as a user would write them by hand: plain functions, one state at a time.

Bar and L/min, speeds in the size that moves 10 L/min; the flow of a line is searched for where
its drop is known, or is an unknown of its own. Each law is written a second time
here, from its description, and takes plain numbers or symbols alike: ``m`` is a module with
`sqrt`, `log` and `fabs` and functions `larger`, `smaller` and `choose`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element, System

Number = Any
"""A plain number, or a symbol of an algebra system."""

CORNER = 0.02
"""Half width of a rounded corner, share of the band."""

LAMINAR = 0.1
"""Drop at which an orifice turns from straight line to root [bar]."""

PER_SECOND = 6e4
"""L/min in a m3/s."""

STILL = {"rod": 1e-5, "shaft": 1e-2}
"""Speed under which a rod [m/s] or shaft [rad/s] stands."""

NEVER = 1e15
"""Settings above this [Pa] are controls that are not fitted."""

NUMBERS = SimpleNamespace(
    sqrt=math.sqrt,
    log=math.log,
    fabs=abs,
    larger=max,
    smaller=min,
    choose=lambda yes, a, b: a if yes else b,
)


def pos(m: Any, z: Number) -> Number:
    """max(z, 0) with a rounded corner."""
    t = m.smaller(m.larger(z + CORNER, 0.0), 2.0 * CORNER)
    return t * t / (4.0 * CORNER) + m.larger(z - CORNER, 0.0)


def ramp(m: Any, z: Number) -> Number:
    """z clipped to 0..1."""
    return pos(m, z) - pos(m, z - 1.0)


def sign(m: Any, z: Number) -> Number:
    """z clipped to -1..1."""
    return pos(m, z + 1.0) - pos(m, z - 1.0) - 1.0


def least(m: Any, a: Number, b: Number) -> Number:
    """The smaller of two with a rounded corner."""
    return a - pos(m, a - b)


def turbulent(m: Any, dp: Number, start: float) -> Number:
    """Root of a drop, straight below ``start`` [bar]."""
    return dp / m.sqrt(m.sqrt(dp * dp + start * start))


def one_way(m: Any, dp: Number) -> Number:
    """Root of a drop above zero, nothing below."""
    right = m.larger(dp, 0.0)
    return right * right / (right * right + LAMINAR**2) ** 0.75


def churchill(m: Any, re: Number, rough: Number) -> Number:
    """Darcy's factor times Re, from Reynolds number and roughness over bore."""
    wall = (7.0 / re) ** 0.9 + 0.27 * rough
    big = (2.457 * m.fabs(m.log(wall))) ** 16 + (37530.0 / re) ** 16
    return 8.0 * ((8.0 / re) ** 12 + 1.0 / big**1.5) ** (1.0 / 12.0) * re


def flow_at(drop: Callable[[float], float], dp: float, straight: float) -> float:
    """Search the flow of a line at a drop: Newton in logarithms, from the laminar flow."""
    size = abs(dp)
    if size < 1e-12:
        return dp / straight
    q = size / straight
    for _ in range(50):
        at, beside = drop(q), drop(1.0001 * q)
        power = math.log(beside / at) / math.log(1.0001)
        factor = (size / at) ** (1.0 / max(power, 0.5))
        q *= factor
        if abs(factor - 1.0) < 1e-13:
            break
    return math.copysign(q, dp)


@dataclass
class Plain:
    """Balances of one variant of a system; ``m`` holds the functions of numbers or symbols.

    ``figures`` gives the figures of element number i by name in SI. Unknowns: what is not
    pinned, scaled as `System` says, then the flow of every line [L/min] unless it is
    ``searched`` for in every evaluation.
    """

    system: System
    variant: int
    m: Any = field(default_factory=lambda: NUMBERS)
    figures: Callable[[int], dict[str, Number]] | None = None
    searched: bool = False
    parts: list[Callable[[list[Number], list[Number]], None]] = field(default_factory=list)

    def __post_init__(self) -> None:
        unknowns = self.system.unknowns
        self.free = [i for i, u in enumerate(unknowns) if not u.pinned[self.variant]]
        self.known = [float(u.pin[self.variant]) / u.scale for u in unknowns]
        self.lines = 0
        for i, element in enumerate(self.system.elements):
            c = self.figures(i) if self.figures else figures_of(element, self.variant)
            self.parts.append(getattr(self, f"_{element.law}")(element, c))
        self.size = len(self.free) + self.lines

    def __call__(self, x: Sequence[Number]) -> list[Number]:
        """Give what is left of every balance, in L/min and bar."""
        whole = list(self.known)
        for place, i in enumerate(self.free):
            whole[i] = x[place]
        rest: list[Number] = [0.0] * len(whole)
        self.flows, self.drops = list(x[len(self.free) :]), [0.0] * self.lines
        for part in self.parts:
            part(whole, rest)
        return [rest[i] for i in self.free] + self.drops

    def _passage(self, element: Element, law: Callable[[Number], Number]) -> Any:
        a, b = element.terminals[:2]

        def part(p: list[Number], rest: list[Number]) -> None:
            q = law(p[a] - p[b])
            rest[a] -= q
            rest[b] += q

        return part

    def _gap(self, element: Element, c: dict[str, Number]) -> Any:
        g = c["g"] * PER_SECOND * 1e5
        return self._passage(element, lambda dp: g * dp)

    def _resistor(self, element: Element, c: dict[str, Number]) -> Any:
        r1, r2 = c["r1"] / PER_SECOND / 1e5, c["r2"] / PER_SECOND**2 / 1e5
        m = self.m
        return self._passage(
            element, lambda dp: 2.0 * dp / (r1 + m.sqrt(r1 * r1 + 4.0 * r2 * m.fabs(dp)))
        )

    def _orifice(self, element: Element, c: dict[str, Number]) -> Any:
        k, leak = c["k"] * PER_SECOND * math.sqrt(1e5), c["leak"] * PER_SECOND * 1e5
        m = self.m
        return self._passage(element, lambda dp: k * turbulent(m, dp, LAMINAR) + leak * dp)

    def _hole(self, element: Element, c: dict[str, Number]) -> Any:
        k, start = c["k"] * PER_SECOND * math.sqrt(1e5), c["start"] / 1e5
        m = self.m
        return self._passage(element, lambda dp: k * turbulent(m, dp, start))

    def _modulated(self, element: Element, c: dict[str, Number]) -> Any:
        k, leak = c["k"] * PER_SECOND * math.sqrt(1e5), c["leak"] * PER_SECOND * 1e5
        offset, band = c["offset"] / 1e5, c["band"] / 1e5
        ends = [
            (c[f"c{i}"], t)
            for i, t in enumerate(element.terminals)
            if not isinstance(c[f"c{i}"], float) or c[f"c{i}"] != 0.0
        ]
        (a, b), m = element.terminals[:2], self.m

        def part(p: list[Number], rest: list[Number]) -> None:
            y = ramp(m, (offset + sum(w * p[t] for w, t in ends)) / band)
            q = k * y * one_way(m, p[a] - p[b]) + leak * (p[a] - p[b])
            rest[a] -= q
            rest[b] += q

        return part

    def _pipe(self, element: Element, c: dict[str, Number]) -> Any:
        """The flow is searched for, or an unknown whose drop must agree."""
        (a, b), m = element.terminals, self.m
        speed = 1.0 / PER_SECOND / (math.pi * c["d"] ** 2 / 4.0)
        per_flow = speed * c["d"] / c["nu"]
        line = c["rho"] * c["nu"] * c["length"] / (2.0 * c["d"] ** 2) * speed / 1e5
        minor = c["minor"] * 0.5 * c["rho"] * speed**2 / 1e5

        def drop(q: Number) -> Number:
            re = m.sqrt(per_flow**2 * q * q + 1e-2)
            return line * churchill(m, re, c["rough"]) * q + minor * q * m.fabs(q)

        if self.searched:
            head, straight = c["head"] / 1e5, 64.0 * line
            return self._passage(element, lambda dp: flow_at(drop, dp - head, straight))
        place = self.lines
        self.lines += 1

        def part(p: list[Number], rest: list[Number]) -> None:
            q = self.flows[place]
            self.drops[place] = p[a] - p[b] - c["head"] / 1e5 - drop(q)
            rest[a] -= q
            rest[b] += q

        return part

    def _void(self, element: Element, c: dict[str, Number]) -> Any:
        (a,), m, floor = element.terminals, self.m, c["floor"] / 1e5
        stiffness = c["missing"] * PER_SECOND

        def part(p: list[Number], rest: list[Number]) -> None:
            rest[a] += stiffness * pos(m, floor - p[a])

        return part

    def _load(self, element: Element, c: dict[str, Number]) -> Any:
        (a,), m = element.terminals, self.m
        unknown = self.system.unknowns[a]
        scale, row, still = unknown.scale, unknown.row, c["still"] / unknown.scale

        def part(v: list[Number], rest: list[Number]) -> None:
            force = c["resisting"] * sign(m, v[a] / still) + c["steady"]
            rest[a] -= (force + c["viscous"] * scale * v[a]) / row

        return part

    def _piston(self, element: Element, c: dict[str, Number]) -> Any:
        (cap, rod, speed), m = element.terminals, self.m
        unknown = self.system.unknowns[speed]
        scale, row, still = unknown.scale, unknown.row, STILL["rod"] / unknown.scale
        cap_flow, rod_flow = (c[name] * scale * PER_SECOND for name in ("cap_area", "rod_area"))
        cap_area, rod_area = c["cap_area"] * 1e5 / row, c["rod_area"] * 1e5 / row

        def part(p: list[Number], rest: list[Number]) -> None:
            v = p[speed]
            rest[cap] -= cap_flow * v
            rest[rod] += rod_flow * v
            pressed = cap_area * pos(m, p[cap]) + rod_area * pos(m, p[rod])
            rub = c["share"] * pressed * sign(m, v / still)
            net = cap_area * p[cap] - rod_area * p[rod]
            rest[speed] += net - rub - c["viscous"] * scale * v / row

        return part

    def _rotary(self, element: Element, c: dict[str, Number]) -> Any:
        """A pump on a shaft that is held at its speed: its torque decides nothing."""
        out, inlet, sensed, shaft, _ = element.terminals
        if shaft in self.free or c["volumetric"] != 1.0 or c["cross"] or c["deviation"]:
            raise NotImplementedError("by hand only a pump at a held speed is written")
        m, speed = self.m, self.known[shaft] * self.system.unknowns[shaft].scale
        full = c["full"] * speed * PER_SECOND
        controlled = c["cutoff"] < NEVER or c["margin"] < NEVER or c["torque"] < 1e11
        at_a_bar = c["full"] * 1e5 / c["torque"]

        def part(p: list[Number], rest: list[Number]) -> None:
            wish: Number = 2.0
            if c["cutoff"] < NEVER:
                wish = m.smaller(2.0, (c["cutoff"] / 1e5 - p[out]) / (c["cutoff_band"] / 1e5))
            if c["margin"] < NEVER:
                short = c["margin"] / 1e5 - p[out] + p[sensed]
                wish = least(m, wish, m.smaller(2.0, short / (c["margin_band"] / 1e5)))
            if c["torque"] < 1e11:
                pressed = 1.0 + pos(m, p[out] - p[inlet] - 1.0)
                wish = least(m, wish, m.smaller(2.0, 1.0 / (at_a_bar * pressed)))
            q = full * (ramp(m, wish) if controlled else 1.0)
            rest[inlet] -= q
            rest[out] += q

        return part


def figures_of(element: Element, variant: int) -> dict[str, Number]:
    """Figures of an element in one variant, by name, with the defaults of its law."""
    return {
        name: float(element.coefficients[name][variant])
        if name in element.coefficients
        else default
        for name, default in LAWS[element.law].coefficients.items()
    }
