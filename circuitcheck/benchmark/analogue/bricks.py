"""Bricks of an electrical network that stands for a circuit: pressure is voltage, flow current.

The laws are written here a second time, from their description, for a general network
simulator that has its own Newton and takes its own derivatives. Volts are bar; a rod's
volts are L/min per cm2 of area (1/6 m/s), its amperes bar cm2 (10 N); a shaft's volts are
100 rad/s, its amperes 1/60 N m. Amperes elsewhere are L/min.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from circuitcheck.laws.net import System

CORNER = 0.02
"""Half width of a rounded corner, share of the band."""

LAMINAR = 0.1
"""Drop at which an orifice turns from straight line to root [bar]."""

ATMOSPHERE = 1.01325
"""Standard atmosphere [bar]; ISO 2533."""

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

Figures = dict[str, float]
"""Coefficients of an element in one variant, by name."""


def corner(z: str) -> str:
    """max(z, 0): nothing below -e, a parabola up to e, then z itself."""
    e = CORNER
    return f"({z}<-{e} ? 0 : ({z}>{e} ? {z} : ({z}+{e})*({z}+{e})/{4 * e}))"


@dataclass
class Bricks:
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
        return self.two_sided(
            self.value(f"v({node})*{SPEED[kind] / (STILL[kind] * self.creep):.17g}")
        )

    def two_sided(self, z: str) -> str:
        """-1..1 with rounded corners; z itself between them, so that small z stay whole."""
        high, low = self.value(f"{z}-1"), self.value(f"-{z}-1")
        return self.value(f"{z}-{corner(high)}+{corner(low)}")

    def smaller(self, a: str, b: str) -> str:
        over = self.value(f"{a}-{b}")
        return self.value(f"{a}-{corner(over)}")

    # ---- the network -----------------------------------------------------------------

    def kind(self, index: int) -> str:
        return self.system.unknowns[index].kind
