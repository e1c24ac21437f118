"""Passages, stores and voids as currents between nodes, written from their description."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from circuitcheck.benchmark.analogue.bricks import (
    ATMOSPHERE,
    LAMINAR,
    PER_SECOND,
    Bricks,
    Figures,
    corner,
)
from circuitcheck.laws.library import LAWS
from circuitcheck.laws.net import Element
from circuitcheck.laws.smoothing import EXACT


def gap(net: Bricks, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    net.current(a, b, f"{c['g'] * PER_SECOND * 1e5:.17g}*(v({a})-v({b}))")


def resistor(net: Bricks, element: Element, c: Figures) -> None:
    """The flow settles where both drops add up to the pressure difference."""
    a, b = (f"n{i}" for i in element.terminals)
    line = c["r1"] / PER_SECOND / 1e5
    square = c["r2"] / PER_SECOND**2 / 1e5
    q = net.implicit(lambda q: f"v({a})-v({b})-{line:.17g}*{q}-{square:.17g}*{q}*abs({q})")
    net.current(a, b, q)


def orifice(net: Bricks, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    k = c["k"] * PER_SECOND * math.sqrt(1e5)
    leak = c["leak"] * PER_SECOND * 1e5
    dp = net.value(f"v({a})-v({b})")
    root = f"sqrt(sqrt({dp}*{dp}+{LAMINAR**2:.17g}))"
    net.current(a, b, f"{k:.17g}*{dp}/{root}+{leak:.17g}*{dp}")


def hole(net: Bricks, element: Element, c: Figures) -> None:
    a, b = (f"n{i}" for i in element.terminals)
    k = c["k"] * PER_SECOND * math.sqrt(1e5)
    dp = net.value(f"v({a})-v({b})")
    start = (c["start"] / 1e5) ** 2
    net.current(a, b, f"{k:.17g}*{dp}/sqrt(sqrt({dp}*{dp}+{start:.17g}))")


def tube(net: Bricks, element: Element, c: Figures) -> None:
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


def modulated(net: Bricks, element: Element, c: Figures) -> None:
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


def pipe(net: Bricks, element: Element, c: Figures) -> None:
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


def store(net: Bricks, element: Element, c: Figures) -> None:
    """Gas by p V^n, absolute, turned by the terms of a real gas; a spring from low to high."""
    node = f"n{element.terminals[0]}"
    charge = c["charge"] / 1e5
    above = net.value(f"(v({node})+{ATMOSPHERE})/{charge:.17g}-1")
    rise = net.value(corner(above))
    real = "+".join(
        f"({c[f'real{i + 1}']:.17g})*(1-exp(-{charge / reach:.17g}*{rise}))"
        for i, reach in enumerate((100.0, 300.0, 900.0))
    )
    gas = f"(1-exp(({real})-ln(1+{rise})/{c['exponent']:.17g}))"
    span = (c["high"] - c["low"]) / 1e5
    spring = net.clipped(f"(v({node})-({c['low'] / 1e5:.17g}))/{span:.17g}")
    held = f"{c['volume']:.17g}*{gas}+{c['swept']:.17g}*{spring}-{c['start']:.17g}"
    net.current(node, "0", f"{c['rate'] * PER_SECOND:.17g}*({held})")


def warm_store(net: Bricks, element: Element, c: Figures) -> None:
    """Gas at theta times the pressure of the slow curve; theta by relaxing while squeezed."""
    node = f"n{element.terminals[0]}"
    charge, a = c["charge"] / 1e5, c["relax"]
    before = -math.log1p(-c["start"] / c["volume"])

    def squeezed(log_theta: str) -> str:
        above = net.value(f"(v({node})+{ATMOSPHERE})*exp(-{log_theta})/{charge:.17g}-1")
        rise = net.value(corner(above))
        real = "+".join(
            f"({c[f'real{i + 1}']:.17g})*(1-exp(-{charge / reach:.17g}*{rise}))"
            for i, reach in enumerate((100.0, 300.0, 900.0))
        )
        return net.value(f"ln(1+{rise})/{c['exponent']:.17g}-({real})")

    def residual(log_theta: str) -> str:
        y = squeezed(log_theta)
        own = f"({c['kappa']:.17g}+{c['bend']:.17g}*({y}+{before:.17g}))*({y}-{before:.17g})"
        fade = net.value(f"{a:.17g}-{own}")
        share = f"(abs({fade})<1e-4 ? 1-{fade}/2+{fade}*{fade}/6 : (1-exp(-{fade}))/{fade})"
        theta = f"({1.0 + c['excess']:.17g}*exp(-{fade})+{a:.17g}*{share})"
        return f"ln({theta})-{log_theta}"

    y = squeezed(net.implicit(residual))
    held = f"{c['volume']:.17g}*(1-exp(-{y}))-{c['start']:.17g}"
    net.current(node, "0", f"{c['rate'] * PER_SECOND:.17g}*({held})")


def void(net: Bricks, element: Element, c: Figures) -> None:
    """The flow per bar below the floor is any great number: taken from the law itself."""
    node = f"n{element.terminals[0]}"
    a_bar_below = np.array([[[c["floor"] - 1e5]]])
    figures = {name: np.array([[value]]) for name, value in c.items()}
    flow, _ = LAWS["void"].evaluate(a_bar_below, figures, EXACT)
    short = net.value(f"{c['floor'] / 1e5:.17g}-v({node})")
    net.current("0", node, f"{float(flow[0, 0, 0]) * PER_SECOND:.17g}*{corner(short)}")


TRANSLATORS: dict[str, Callable[[Bricks, Element, Figures], None]] = {
    "gap": gap,
    "resistor": resistor,
    "orifice": orifice,
    "hole": hole,
    "tube": tube,
    "modulated": modulated,
    "pipe": pipe,
    "store": store,
    "warm_store": warm_store,
    "void": void,
}
