"""Pumps, motors, rods, drives, gears and brakes as currents, written from their description."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from circuitcheck.benchmark.analogue.bricks import (
    FORCE,
    NEVER,
    PER_SECOND,
    SPEED,
    STILL,
    Bricks,
    Figures,
    corner,
)
from circuitcheck.laws.net import Element


def stroke(net: Bricks, element: Element, c: Figures) -> str:
    """Share of the full displacement: the least that any control asks for, and the command."""
    out, inlet, sensed, _, partner = (f"n{i}" for i in element.terminals)
    dp = net.value(f"v({out})-v({inlet})")
    wishes: list[str] = []
    if c["cutoff"] / 1e5 < NEVER:
        other = net.value(f"v({inlet})-v({out})")
        high = net.value(f"v({out})+{c['either']:.17g}*{corner(other)}")
        wishes.append(net.value(f"({c['cutoff'] / 1e5:.17g}-{high})/{c['cutoff_band'] / 1e5:.17g}"))
    if c["margin"] / 1e5 < NEVER:
        margin, band = c["margin"] / 1e5, c["margin_band"] / 1e5
        wishes.append(net.value(f"({margin:.17g}-(v({out})-v({sensed})))/{band:.17g}"))
    if c["begin"] / 1e5 > -NEVER:
        begin, band = c["begin"] / 1e5, c["begin_band"] / 1e5
        wishes.append(net.value(f"(v({sensed})-({begin:.17g}))/{band:.17g}"))
    if c["torque"] < 1e11:
        wishes.append(torque_limit(net, dp, f"v({partner})", c))
    share = net.value("1")
    if wishes:
        least = wishes[0]
        for wish in wishes[1:]:
            least = net.smaller(least, wish)
        share = net.clipped(least)
    size = abs(c["command"])
    if size < 1.0:
        share = net.smaller(share, net.value(f"{size:.17g}"))
    return net.value(f"-{share}") if c["command"] < 0.0 else share


def torque_limit(net: Bricks, dp: str, partner: str, c: Figures) -> str:
    """Stroke that a torque limit leaves; at least 1 bar is counted.

    Two springs make two straight lines x = 2/a - r/a^2 that touch the hyperbola x r = 1 at
    r = a. The first meets x = 1 where x r is short of 1 by the deviation d: 2a - a^2 = 1 - d.
    The lines meet where x r = 4 a b/(a + b)^2, short of 1 by d as well.
    """
    over, under = net.value(f"{dp}-1"), net.value(f"-{dp}-1")
    own = f"1+{corner(over)}+{c['either']:.17g}*{corner(under)}"
    bar_of_full = c["torque"] / c["full"] / 1e5
    shared = c["cross"] / c["full"]
    r = net.value(f"({own}+{shared:.17g}*{corner(partner)})/{bar_of_full:.17g}")
    d = c["deviation"]
    if d == 0.0:
        return net.value(f"1/{r}")
    a = 1.0 + math.sqrt(d)
    b = a * (2.0 - (1.0 - d) + 2.0 * math.sqrt(d)) / (1.0 - d)  # root of 4ab = (1-d)(a+b)^2
    first, second = (net.value(f"{2.0 / x:.17g}-{1.0 / x**2:.17g}*{r}") for x in (a, b))
    apart = net.value(f"{second}-{first}")
    return net.value(f"{first}+{corner(apart)}")


def rotary(net: Bricks, element: Element, c: Figures) -> None:
    out, inlet, _, shaft, _ = (f"n{i}" for i in element.terminals)
    w = f"v({shaft})"
    dp = net.value(f"v({out})-v({inlet})")
    share = stroke(net, element, c)
    turn = net.way(shaft, "shaft")
    full = c["full"] * PER_SECOND * SPEED["shaft"]
    drag = c["drag"] * SPEED["shaft"] / FORCE["shaft"]
    rub = c["rub"] * 1e5 / FORCE["shaft"]
    stick = c["stick"] / FORCE["shaft"]
    back = net.value(f"-{dp}")
    rough = net.value(f"{corner(dp)}+{corner(back)}")
    moved, ideal = net.value(f"{full:.17g}*{share}*{w}"), net.value(f"{full:.17g}*{share}*{dp}")
    flow, lost = moved, f"{rub:.17g}*{rough}+{stick:.17g}"
    eta = c["volumetric"]
    if eta != 1.0:
        # a pump gives eta of what it moves, a motor takes 1/eta of it
        way = net.two_sided(dp)
        pumps = net.value(f"({moved}<0 ? -1 : 1)*{way}")
        short = f"({pumps}>0 ? {1.0 - eta:.17g} : {1.0 / eta - 1.0:.17g})*{pumps}"
        flow = net.value(f"{moved}*(1-{short})")
    if c["pressed"] > 0.0:
        # chambers full of pressed oil go round to the low side
        pressed, dead = c["pressed"] * 1e5, c["dead"]
        chambers = f"({dead:.17g}+(1-abs({share}))/2)"
        flow = net.value(f"{flow}-{abs(full) * pressed:.17g}*abs({w})*{dp}*{chambers}")
    eta = c["mechanical"]
    if eta != 1.0:
        # a pump takes 1/eta of its torque, a motor gives eta of it
        work = net.value(f"{ideal}*({w}<0 ? -1 : 1)")
        lost += f"+({work}>0 ? {1.0 / eta - 1.0:.17g} : {eta - 1.0:.17g})*{work}"
    net.current(inlet, out, flow)
    net.current(shaft, "0", f"{ideal}+{drag:.17g}*{w}+({lost})*{turn}")


def piston(net: Bricks, element: Element, c: Figures) -> None:
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


def load(net: Bricks, element: Element, c: Figures) -> None:
    (index,) = element.terminals
    kind, node = net.kind(index), f"n{index}"
    resisting, steady = c["resisting"] / FORCE[kind], c["steady"] / FORCE[kind]
    viscous = c["viscous"] * SPEED[kind] / FORCE[kind]
    assert c["still"] == STILL[kind]
    way = net.way(node, kind)
    net.current(node, "0", f"{resisting:.17g}*{way}+({steady:.17g})+{viscous:.17g}*v({node})")


def slip(net: Bricks, element: Element, c: Figures) -> None:
    """Kloss as it stands in print, or the governor line under the curve of an engine."""
    node = f"n{element.terminals[0]}"
    idle = c["idle"] / SPEED["shaft"]
    if c["breakdown"] > 0.0:
        top, critical = c["breakdown"] / FORCE["shaft"], c["critical"] / SPEED["shaft"]
        u = net.value(f"({idle:.17g}-v({node}))/{critical:.17g}")
        net.current("0", node, f"2*{top:.17g}*{u}/(1+{u}*{u})")
        return
    stiffness = c["stiffness"] * SPEED["shaft"] / FORCE["shaft"]
    line = f"({idle:.17g}-v({node}))*{stiffness:.17g}"
    if c["top"] >= 1e12:
        net.current("0", node, line)
        return
    points = [(c[f"w{i}"] / SPEED["shaft"], c[f"m{i}"] / c["top"]) for i in range(4)]
    curve = f"{points[-1][1]:.17g}"
    for (w0, m0), (w1, m1) in reversed(list(pairwise(points))):
        rise = f"({m0:.17g}+({(m1 - m0) / (w1 - w0):.17g})*(v({node})-{w0:.17g}))"
        curve = f"(v({node})<{w1:.17g} ? {rise} : {curve})"
    curve = f"(v({node})<{points[0][0]:.17g} ? {points[0][1]:.17g} : {curve})"
    top = c["top"] / FORCE["shaft"]
    share = net.smaller(net.value(f"{line}/{top:.17g}"), net.value(curve))
    net.current("0", node, f"{top:.17g}*{share}")


def coupling(net: Bricks, element: Element, c: Figures) -> None:
    """Two shafts held together by a torque; power is lost in whichever way it goes."""
    first, second = (f"n{i}" for i in element.terminals)
    firm = c["stiffness"] / net.creep**2 * SPEED["shaft"] / c["limit"]
    z = net.value(f"(v({first})/{c['ratio']:.17g}-v({second}))*{firm:.17g}")
    torque = net.value(f"{c['limit']:.17g}*{net.two_sided(z)}")  # [N m]
    back = net.value(f"-{torque}")
    eta = c["efficiency"]
    mean, lost = 0.5 * (1.0 / eta + eta) / c["ratio"], 0.5 * (1.0 / eta - eta) / c["ratio"]
    way = net.way(first, "shaft")
    taken = f"{mean:.17g}*({corner(torque)}-{corner(back)})"
    taken += f"+{lost:.17g}*{way}*({corner(torque)}+{corner(back)})"
    net.current(first, "0", f"({taken})*{1.0 / FORCE['shaft']:.17g}")
    net.current("0", second, f"{torque}*{1.0 / FORCE['shaft']:.17g}")


def brake(net: Bricks, element: Element, c: Figures) -> None:
    shaft, release = (f"n{i}" for i in element.terminals)
    begins, band = c["begins"] / 1e5, (c["released"] - c["begins"]) / 1e5
    off = net.clipped(f"(v({release})-({begins:.17g}))/{band:.17g}")
    capacity, drag = c["capacity"] / FORCE["shaft"], c["drag"] / FORCE["shaft"]
    way = net.way(shaft, "shaft")
    net.current(shaft, "0", f"({capacity:.17g}*(1-{off})+{drag:.17g})*{way}")


TRANSLATORS: dict[str, Callable[[Bricks, Element, Figures], None]] = {
    "rotary": rotary,
    "piston": piston,
    "load": load,
    "slip": slip,
    "coupling": coupling,
    "brake": brake,
}
