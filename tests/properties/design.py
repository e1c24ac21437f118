"""Random circuits as data: what stands in them, before any text is written."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")

BAR, L_MIN, CC, RPM = 1e5, 1e-3 / 60.0, 1e-6 / (2.0 * math.pi), 2.0 * math.pi / 60.0


class Picker(Protocol):
    """Where chance comes from: a seeded generator or the property checker."""

    def choice(self, options: Sequence[T]) -> T: ...

    def between(self, low: float, high: float) -> float: ...

    def chance(self, share: float) -> bool: ...


class Dice:
    """Chance from a seed."""

    def __init__(self, seed: int | str) -> None:
        self._random = random.Random(seed)

    def choice(self, options: Sequence[T]) -> T:
        return self._random.choice(options)

    def between(self, low: float, high: float) -> float:
        """A figure on a logarithmic scale, three digits."""
        raw = math.exp(self._random.uniform(math.log(low), math.log(high)))
        return float(f"{raw:.3g}")

    def chance(self, share: float) -> bool:
        return self._random.random() < share


class Drawn:
    """Chance from the property checker, which can shrink it."""

    def __init__(self, draw: st.DrawFn) -> None:
        self._draw = draw

    def choice(self, options: Sequence[T]) -> T:
        return self._draw(st.sampled_from(options))

    def between(self, low: float, high: float) -> float:
        step = self._draw(st.integers(0, 1000))
        return float(f"{low * (high / low) ** (step / 1000):.3g}")

    def chance(self, share: float) -> bool:
        return self._draw(st.integers(1, 100)) > 100 * (1.0 - share)


@dataclass
class Hose:
    """A line: bore and length [m], far end above near end [m]."""

    bore: float
    length: float
    rise: float = 0.0


@dataclass
class Supply:
    """Pump with its drive, relief valve and what stands in its lines; all figures SI."""

    control: str
    displacement: float
    speed: float
    volumetric: float
    relief: float
    compensator: float
    margin: float
    torque: float | None
    droop: bool
    suction: Hose | None
    pressure: Hose | None
    back: Hose | None
    signal: Hose | None
    filter: str
    check: bool
    second: float | None
    remote: bool

    @property
    def flow(self) -> float:
        return self.displacement * self.speed

    @property
    def limit(self) -> float:
        return self.relief if self.control == "fixed" else min(self.relief, self.compensator)


@dataclass
class Branch:
    """A valve with its actuator and what stands between them; all figures SI."""

    valve: str
    centre: str
    rated: float
    actuator: str
    size: float
    rod: float
    efficiency: float
    hose: Hose | None
    other: Hose | None
    holding: str
    metering: str
    before: str
    guard: bool
    weight: float


@dataclass
class Move:
    """What a step asks of a branch: position, share of travel, load as a share."""

    position: str
    travel: float
    load: float
    stop: bool = False


@dataclass
class Design:
    """A whole random circuit; ``moves`` gives per step one move for each branch."""

    grade: int
    supply: Supply
    branches: list[Branch]
    moves: list[list[Move]] = field(default_factory=list)
    warm: list[float] = field(default_factory=list)


def _hose(p: Picker, flow: float, share: float = 0.7) -> Hose | None:
    """A line in which the oil runs at 0.3 to 12 m/s, 0.1 to 30 m long."""
    if not p.chance(share):
        return None
    speed = p.between(0.3, 12.0)
    bore = float(f"{math.sqrt(4.0 * flow / (math.pi * speed)):.3g}")
    rise = p.choice((0.0, 0.0, 1.5, -2.0))
    return Hose(bore, p.between(0.1, 30.0), rise)


def _supply(p: Picker, controls: Sequence[str]) -> Supply:
    control = p.choice(controls)
    displacement = p.between(0.1, 1000.0) * CC
    speed = p.choice((980.0, 1450.0, 2000.0, 2600.0)) * RPM
    flow = displacement * speed
    level = p.between(40.0, 320.0) * BAR
    # cut-off and relief stand apart, as they must
    return Supply(
        control=control,
        displacement=displacement,
        speed=speed,
        volumetric=p.choice((0.8, 0.9, 0.95, 0.98)),
        relief=level * 1.15 if control != "fixed" else level,
        compensator=level,
        margin=p.choice((12.0, 20.0, 30.0)) * BAR,
        torque=max(displacement * level * p.between(0.3, 0.9), 0.2) if p.chance(0.3) else None,
        droop=p.chance(0.3),
        suction=Hose(math.sqrt(4.0 * flow / math.pi), 0.5) if p.chance(0.5) else None,
        pressure=_hose(p, flow),
        back=_hose(p, flow),
        signal=Hose(0.006, 2.0) if p.chance(0.5) else None,
        filter=p.choice(("none", "return", "return with bypass", "pressure")),
        check=p.chance(0.3),
        second=p.between(0.2, 0.6) * level if control == "fixed" and p.chance(0.2) else None,
        remote=p.chance(0.2),
    )


def _branch(p: Picker, supply: Supply) -> Branch:
    sensing = supply.control == "load sensing"
    actuator = p.choice(
        ("cylinder", "cylinder", "cylinder", "motor", "double rod", "single acting", "plunger")
    )
    single = actuator in ("single acting", "plunger")
    flow = supply.flow
    if sensing:
        valve, centre = "section", p.choice(("closed centre", "float centre"))
    elif single:
        valve, centre = p.choice(("3/3", "3/2")), ""
    else:
        valve = p.choice(("4/3", "4/3", "4/3 proportional", "4/2"))
        centre = p.choice(
            ("closed centre", "tandem centre", "float centre", "open centre", "regenerative centre")
        )
    if single and sensing:
        actuator, single = "cylinder", False
    area = flow / p.between(0.03, 0.6)  # speed of the rod at full pump flow [m/s]
    size = max(math.sqrt(4.0 * area / math.pi), 2.5e-3)  # the thinnest rod is 1 mm
    if actuator == "motor":
        size = flow / p.between(5.0, 200.0)  # [m3/rad]
    both = ("double pilot check", "two counterbalances", "brake valve")
    rooms = ("none", "none", "counterbalance", "pilot check", *both)
    meters = ("none", "none", "throttle in", "throttle out", "flow control", "orifice")
    return Branch(
        valve=valve,
        centre=centre,
        rated=flow * p.between(0.3, 3.0),
        actuator=actuator,
        size=float(f"{size:.3g}"),
        rod=p.choice((0.45, 0.56, 0.71)),
        efficiency=p.choice((0.9, 0.95, 0.98, 1.0)),
        hose=_hose(p, flow),
        other=_hose(p, flow),
        holding="none" if single else p.choice(rooms),
        metering=p.choice(meters),
        before="none"
        if sensing
        else p.choice(("none", "none", "none", "check", "reducing valve", "sequence")),
        guard=not single and p.chance(0.2),
        weight=p.between(0.05, 0.7) if single or (p.chance(0.3) and actuator != "motor") else 0.0,
    )


def _moves(p: Picker, branches: Sequence[Branch]) -> list[Move]:
    moves: list[Move] = []
    for branch in branches:
        places = {
            "section": ("a", "b", "centre"),
            "3/3": ("a", "b", "centre"),
            "3/2": ("a", "rest"),
            "4/2": ("a", "rest"),
        }.get(branch.valve, ("a", "b", "centre"))
        shares = (1.0, 1.0, 0.5, 0.2) if branch.valve in ("section", "4/3 proportional") else (1.0,)
        # a driving load would pull a rod of one acting side out for ever
        single = branch.actuator in ("single acting", "plunger")
        driving = () if single else (-0.1, -0.4)
        moves.append(
            Move(
                position=p.choice(places),
                travel=p.choice(shares),
                load=p.choice((0.0, 0.02, 0.2, 0.5, 0.8, 1.3, *driving)),
                stop=p.chance(0.1),
            )
        )
    return moves


CONTROLS = ("fixed", "pressure compensated", "load sensing")


def design(p: Picker, controls: Sequence[str] = CONTROLS, most: int = 4, steps: int = 3) -> Design:
    """Make a circuit: a supply, one to ``most`` actuators, a few steps."""
    supply = _supply(p, controls)
    branches = [_branch(p, supply) for _ in range(p.choice(range(1, most + 1)))]
    return Design(
        grade=p.choice((22, 32, 46, 68)),
        supply=supply,
        branches=branches,
        moves=[_moves(p, branches) for _ in range(steps)],
        warm=[p.choice((10.0, 40.0, 55.0, 80.0)) for _ in range(steps)],
    )
