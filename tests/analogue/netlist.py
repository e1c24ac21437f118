"""Writes a circuit's elements as an electrical network: pressure is voltage, flow is current.

The laws are written here a second time, from their description, for a general network
simulator that has its own Newton and takes its own derivatives. Volts are bar; a rod's
volts are L/min per cm2 of area (1/6 m/s), its amperes bar cm2 (10 N); a shaft's volts are
100 rad/s, its amperes 1/60 N m. Amperes elsewhere are L/min.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element, System
from circuitcheck.laws.smoothing import EXACT

CORNER = 0.02
"""Half width of a rounded corner, share of the band."""

LAMINAR = 0.1
"""Drop at which an orifice turns from straight line to root [bar]."""

PER_SECOND = 6e4
"""L/min in a m3/s."""

SPEED = {"pressure": 1e5, "rod": 1.0 / 6.0, "shaft": 100.0}
"""SI size of one volt, by kind of unknown."""

FORCE = {"rod": 10.0, "shaft": 1.0 / 60.0}
"""SI size of one ampere where it is a force or a torque."""

STILL = {"rod": 1e-5, "shaft": 1e-2}
"""Speed under which a rod [m/s] or shaft [rad/s] stands."""

NEVER = 1e5
"""Settings above this [bar] are controls that are not fitted."""


def corner(z: str) -> str:
    """max(z, 0): nothing below -e, a parabola up to e, then z itself."""
    e = CORNER
    return f"({z}<-{e} ? 0 : ({z}>{e} ? {z} : ({z}+{e})*({z}+{e})/{4 * e}))"


@dataclass
class Netlist:
    """Lines of a network and the nodes in it that are unknowns of the simulator.

    ``creep`` widens the speed under which rods and shafts stand; ``held`` gives every
    unknown a value in SI, so that only the inner nodes of the elements are left to find.
    """

    system: System
    variant: int
    creep: float = 1.0
    held: tuple[float, ...] = ()
    lines: list[str] = field(default_factory=list)
    nodes: list[str] = field(default_factory=list)
    count: int = 0

    # ---- small bricks ----------------------------------------------------------------

    def name(self) -> str:
        self.count += 1
        return f"{self.count}"

    def current(self, start: str, end: str, formula: str) -> None:
        self.lines.append(f"B{self.name()} {start} {end} I={formula}")

    def value(self, formula: str) -> str:
        """A node of its own whose voltage is a formula; gives how to read it."""
        node = f"h{self.name()}"
        self.nodes.append(node)
        self.lines.append(f"B{node} {node} 0 V={formula}")
        return f"v({node})"

    def implicit(self, residual: Callable[[str], str]) -> str:
        """A node of its own that settles where a residual is zero; gives how to read it."""
        node = f"h{self.name()}"
        self.nodes.append(node)
        self.lines.append(f"C{node} {node} 0 1e-4")
        self.current("0", node, residual(f"v({node})"))
        return f"v({node})"

    def clipped(self, formula: str) -> str:
        """0..1 with rounded corners."""
        z = self.value(formula)
        above = self.value(f"{z}-1")
        return self.value(f"{corner(z)}-{corner(above)}")

    def way(self, node: str, kind: str) -> str:
        """Sign of a speed, with a short straight line through zero."""
        z = self.value(f"v({node})*{SPEED[kind] / (STILL[kind] * self.creep):.17g}")
        low, high = self.value(f"{z}+1"), self.value(f"{z}-1")
        return self.value(f"{corner(low)}-{corner(high)}-1")

    def smaller(self, a: str, b: str) -> str:
        over = self.value(f"{a}-{b}")
        return self.value(f"{a}-{corner(over)}")

    # ---- the network -----------------------------------------------------------------

    def kind(self, index: int) -> str:
        return self.system.unknowns[index].kind

    def write(self) -> Netlist:
        for index, unknown in enumerate(self.system.unknowns):
            node = f"n{index}"
            self.nodes.append(node)
            if self.held or unknown.pinned[self.variant]:
                value = self.held[index] if self.held else unknown.pin[self.variant]
                volts = value / SPEED[unknown.kind]
                self.lines.append(f"Vpin{index} {node} 0 {volts:.17g}")
            else:
                size = 1e-4 if unknown.kind == "pressure" else 1e-2
                self.lines.append(f"Cn{index} {node} 0 {size}")
        for element in self.system.elements:
            figures = {
                name: float(element.coefficients[name][self.variant])
                if name in element.coefficients
                else default
                for name, default in LAWS[element.law].coefficients.items()
            }
            TRANSLATORS[element.law](self, element, figures)
        return self


Figures = dict[str, float]


def gap(net: Netlist, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    net.current(a, b, f"{c['g'] * PER_SECOND * 1e5:.17g}*(v({a})-v({b}))")


def resistor(net: Netlist, element: Element, c: Figures) -> None:
    """The flow settles where both drops add up to the pressure difference."""
    a, b = (f"n{i}" for i in element.terminals)
    line = c["r1"] / PER_SECOND / 1e5
    square = c["r2"] / PER_SECOND**2 / 1e5
    q = net.implicit(lambda q: f"v({a})-v({b})-{line:.17g}*{q}-{square:.17g}*{q}*abs({q})")
    net.current(a, b, q)


def orifice(net: Netlist, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    k = c["k"] * PER_SECOND * math.sqrt(1e5)
    leak = c["leak"] * PER_SECOND * 1e5
    dp = net.value(f"v({a})-v({b})")
    root = f"sqrt(sqrt({dp}*{dp}+{LAMINAR**2:.17g}))"
    net.current(a, b, f"{k:.17g}*{dp}/{root}+{leak:.17g}*{dp}")


def hole(net: Netlist, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    k = c["k"] * PER_SECOND * math.sqrt(1e5)
    dp = net.value(f"v({a})-v({b})")
    start = (c["start"] / 1e5) ** 2
    net.current(a, b, f"{k:.17g}*{dp}/sqrt(sqrt({dp}*{dp}+{start:.17g}))")


def tube(net: Netlist, element: Element, c: Figures) -> None:
    """Both published branches as they stand in print, blended over Re d/L 40 to 60.

    The small figure under the root only keeps its slope finite at rest.
    """
    a, b = (f"n{i}" for i in element.terminals)
    each = 0.25 * math.pi * c["nu"] * c["length"] * PER_SECOND
    press = 0.5 * c["rho"] * (c["nu"] * c["length"] / c["d"] ** 2) ** 2 / 1e5

    def balance(q: str) -> str:
        u = net.value(f"abs({q})/{each:.17g}")
        t = net.value(f"{u}<40 ? 0 : ({u}>60 ? 1 : ({u}-40)/20)")
        share = f"({t}*{t}*(3-2*{t}))"
        slow, fast = f"(2.28*{u}*{u}+64*{u})", f"(1.5*{u}*{u}+13.74*{u}*sqrt(abs({u})+1e-12))"
        lost = f"({slow}*(1-{share})+{fast}*{share})"
        return f"v({a})-v({b})-({q}<0 ? -1 : 1)*{press:.17g}*{lost}"

    net.current(a, b, net.implicit(balance))


def modulated(net: Netlist, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals[:2])
    k = c["k"] * PER_SECOND * math.sqrt(1e5)
    leak = c["leak"] * PER_SECOND * 1e5
    band = c["band"] / 1e5
    terms = [f"{c['offset'] / 1e5 / band:.17g}"]
    for i, index in enumerate(element.terminals):
        if c[f"c{i}"] != 0.0:
            terms.append(f"({c[f'c{i}'] / band:.17g})*v(n{index})")
    y = net.clipped("+".join(terms))
    dp = net.value(f"v({a})-v({b})")
    right = net.value(f"{dp}>0 ? {dp} : 0")
    f = f"{right}*{right}/pow({right}*{right}+{LAMINAR**2:.17g},0.75)"
    net.current(a, b, f"{k:.17g}*{y}*{f}+{leak:.17g}*{dp}")


def pipe(net: Netlist, element: Element, c: Figures) -> None:
    """Churchill's factor as it stands in print; the flow is an unknown of its own."""
    a, b = (f"n{i}" for i in element.terminals)
    area = math.pi * c["d"] ** 2 / 4.0
    speed = 1.0 / PER_SECOND / area
    per_flow = speed * c["d"] / c["nu"]
    line = c["rho"] * c["nu"] * c["length"] / (2.0 * c["d"] ** 2) * speed / 1e5
    minor = c["minor"] * 0.5 * c["rho"] * speed**2 / 1e5
    node = f"h{net.name()}"
    net.nodes.append(node)
    q = f"v({node})"
    # the small figure under the root only keeps the formula from dividing by zero
    re = f"sqrt({per_flow**2:.17g}*{q}*{q}+1e-2)"
    wall = f"(pow(7/{re},0.9)+{0.27 * c['rough']:.17g})"
    big_a = f"pow(2.457*abs(ln({wall})),16)"
    big_b = f"pow(37530/{re},16)"
    factor = f"8*pow(pow(8/{re},12)+1/pow({big_a}+{big_b},1.5),1/12)"
    number = net.value(f"{factor}*{re}")
    net.lines.append(f"C{node} {node} 0 1e-4")
    net.current(
        "0",
        node,
        f"v({a})-v({b})-({c['head'] / 1e5:.17g})-{line:.17g}*{number}*{q}"
        f"-{minor:.17g}*{q}*abs({q})",
    )
    net.current(a, b, q)


def rotary(net: Netlist, element: Element, c: Figures) -> None:
    out, inlet, sensed, shaft = (f"n{i}" for i in element.terminals[:4])
    w = f"v({shaft})"
    dp = net.value(f"v({out})-v({inlet})")
    wishes: list[str] = []
    if c["cutoff"] / 1e5 < NEVER:
        band = c["cutoff_band"] / 1e5
        wishes.append(net.value(f"({c['cutoff'] / 1e5:.17g}-v({out}))/{band:.17g}"))
    if c["margin"] / 1e5 < NEVER:
        band = c["margin_band"] / 1e5
        margin = c["margin"] / 1e5
        wishes.append(net.value(f"({margin:.17g}-(v({out})-v({sensed})))/{band:.17g}"))
    if c["torque"] < 1e11:
        over = net.value(f"{dp}-1")
        base = net.value(f"1+{corner(over)}")
        wishes.append(net.value(f"{c['torque'] / c['full'] / 1e5:.17g}/{base}"))
    stroke = net.value("1")
    if wishes:
        least = wishes[0]
        for other in wishes[1:]:
            least = net.smaller(least, other)
        stroke = net.clipped(least)
    size = abs(c["command"])
    if size < 1.0:
        stroke = net.smaller(stroke, net.value(f"{size:.17g}"))
    if c["command"] < 0.0:
        stroke = net.value(f"-{stroke}")
    turn = net.way(shaft, "shaft")
    full = c["full"] * PER_SECOND * SPEED["shaft"]
    drag = c["drag"] * SPEED["shaft"] / FORCE["shaft"]
    rub = c["rub"] * 1e5 / FORCE["shaft"]
    stick = c["stick"] / FORCE["shaft"]
    back = net.value(f"-{dp}")
    rough = net.value(f"{corner(dp)}+{corner(back)}")
    net.current(inlet, out, f"{full:.17g}*{stroke}*{w}")
    lost = f"({drag:.17g}*abs({w})+{rub:.17g}*{rough}+{stick:.17g})*{turn}"
    net.current(shaft, "0", f"{full:.17g}*{stroke}*{dp}+{lost}")


def piston(net: Netlist, element: Element, c: Figures) -> None:
    cap, rod, speed = (f"n{i}" for i in element.terminals)
    cap_area, rod_area = c["cap_area"] * 1e4, c["rod_area"] * 1e4
    viscous = c["viscous"] * SPEED["rod"] / FORCE["rod"]
    u = f"v({speed})"
    way = net.way(speed, "rod")
    above, below = corner(f"v({cap})"), corner(f"v({rod})")
    net.current(cap, "0", f"{cap_area:.17g}*{u}")
    net.current("0", rod, f"{rod_area:.17g}*{u}")
    rub = f"{c['share']:.17g}*({cap_area:.17g}*{above}+{rod_area:.17g}*{below})*{way}"
    net.current(
        "0",
        speed,
        f"{cap_area:.17g}*v({cap})-{rod_area:.17g}*v({rod})-{rub}-{viscous:.17g}*{u}",
    )


def load(net: Netlist, element: Element, c: Figures) -> None:
    (index,) = element.terminals
    kind, node = net.kind(index), f"n{index}"
    resisting, steady = c["resisting"] / FORCE[kind], c["steady"] / FORCE[kind]
    viscous = c["viscous"] * SPEED[kind] / FORCE[kind]
    assert c["still"] == STILL[kind]
    way = net.way(node, kind)
    net.current(node, "0", f"{resisting:.17g}*{way}+({steady:.17g})+{viscous:.17g}*v({node})")


def void(net: Netlist, element: Element, c: Figures) -> None:
    """The flow per bar below the floor is any great number: taken from the law itself."""
    node = f"n{element.terminals[0]}"
    a_bar_below = np.array([[[c["floor"] - 1e5]]])
    flow, _ = LAWS["void"].evaluate(a_bar_below, {"floor": np.array([[c["floor"]]])}, EXACT)
    short = net.value(f"{c['floor'] / 1e5:.17g}-v({node})")
    net.current("0", node, f"{float(flow[0, 0, 0]) * PER_SECOND:.17g}*{corner(short)}")


def slip(net: Netlist, element: Element, c: Figures) -> None:
    node = f"n{element.terminals[0]}"
    stiffness = c["stiffness"] * SPEED["shaft"] / FORCE["shaft"]
    idle = c["idle"] / SPEED["shaft"]
    net.current("0", node, f"({idle:.17g}-v({node}))*{stiffness:.17g}")


TRANSLATORS: dict[str, Callable[[Netlist, Element, Figures], None]] = {
    "gap": gap,
    "resistor": resistor,
    "orifice": orifice,
    "hole": hole,
    "tube": tube,
    "modulated": modulated,
    "pipe": pipe,
    "rotary": rotary,
    "piston": piston,
    "load": load,
    "void": void,
    "slip": slip,
}
