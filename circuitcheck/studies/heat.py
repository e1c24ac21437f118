"""Heat of a cycle: what the oil gets and what walls and coolers take, at any temperature."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import PchipInterpolator

from circuitcheck.circuit.model import Circuit
from circuitcheck.components._parts import Figure, Part
from circuitcheck.laws.net import Bools
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View
from circuitcheck.solver.results import view_of
from circuitcheck.studies.energy import books_of, mean, summed
from circuitcheck.studies.laps import Lap, lap

HOTTEST = 150.0
"""Oil and seals fail before this; no equilibrium is sought above it [degC]; own choice."""

COARSE, FINE = 15, 7
FEW_COARSE, FEW_FINE = 8, 3
"""Temperatures looked at over the whole range, and then between two of them, twice; fewer
where stores make the cycle long to follow. Own choice."""

SIDES = 5.0
"""Sides of a cube of the oil that count as walls where none are given; own choice, as in
the rule oil-too-hot."""


@dataclass(frozen=True)
class Balance:
    """Mean heat over the cycle [W] at oil temperatures [degC], arrays (temperatures,).

    ``made``: what all parts that carry oil turn into heat, heaters included; ``taken``: what
    walls and coolers take, by part; ``known``: where every step is solved.
    """

    degC: Array
    made: Array
    taken: dict[str, Array]
    known: Bools

    @property
    def net(self) -> Array:
        """What warms the oil [W]; below zero where it cools."""
        return self.made - self.shed

    @property
    def shed(self) -> Array:
        return sum(self.taken.values(), np.zeros_like(self.made))

    def joined(self, other: Balance) -> Balance:
        """Give both in the order of their temperatures."""
        degC, first = np.unique(np.concatenate([self.degC, other.degC]), return_index=True)

        def both(one: Array, two: Array) -> Array:
            found: Array = np.concatenate([one, two])[first]
            return found

        taken = {name: both(row, other.taken[name]) for name, row in self.taken.items()}
        known = np.concatenate([self.known, other.known])[first]
        return Balance(degC, both(self.made, other.made), taken, known)

    def at(self, degC: float) -> tuple[float, dict[str, float]]:
        """Heat made, and taken by part, at a temperature within the range [W]."""
        known = self.known

        def there(row: Array) -> float:
            return float(PchipInterpolator(self.degC[known], row[known])(degC))

        return there(self.made), {name: there(row) for name, row in self.taken.items()}


@dataclass(frozen=True)
class Equilibrium:
    """Where the oil settles: ``degC``, None where it does not; ``balance`` is how it is known.

    ``runs_away``: temperature above which more heat is made than taken again [degC].
    """

    degC: float | None
    runs_away: float | None
    balance: Balance


def with_surroundings(circuit: Circuit) -> tuple[Circuit, list[Part]]:
    """Give the circuit with walls for tanks that have none, and these tanks.

    They are five sides of a cube of their oil; a tank without a volume stays as it is. The
    air that cools a cooler is that round the tank, where the text does not say (as in the
    rule oil-too-hot).
    """
    parts, estimated = dict(circuit.parts), []
    for tank in circuit.of_kind("tank"):
        volume = tank.figure("volume")
        if tank.figure("walls") is None and volume is not None:
            area = Figure(SIDES * volume ** (2.0 / 3.0), "", "area", origin="assumed")
            parts[tank.name] = replace(tank, figures=tank.figures | {"walls": area})
            estimated.append(parts[tank.name])
    airs = [tank.figures["ambient"] for tank in circuit.of_kind("tank") if tank.given("ambient")]
    for cooler in circuit.of_kind("cooler"):
        if airs and not cooler.given("coolant") and not cooler.says("water cooled"):
            air = max(airs, key=lambda figure: figure.value)
            figures = cooler.figures | {"coolant": replace(air, origin="assumed")}
            parts[cooler.name] = replace(cooler, figures=figures)
    return replace(circuit, parts=parts), estimated


def sinks_of(circuit: Circuit) -> list[Part]:
    """Parts that take heat out of the oil: tanks with walls, coolers with a known heat."""
    tanks = [tank for tank in circuit.of_kind("tank") if tank.figure("walls") is not None]
    coolers = circuit.of_kind("cooler")
    return [*tanks, *(part for part in coolers if {"heat", "exchange"} & part.figures.keys())]


def coolest(circuit: Circuit) -> float:
    """Temperature of the coldest air or water round the oil [degC]."""
    found = []
    for part in sinks_of(circuit):
        found.append(part.figure("ambient" if part.kind.word == "tank" else "coolant"))
    return min((value for value in found if value is not None), default=25.0)


def balance(found: Lap) -> Balance:
    """Give the balance of heat at the temperatures of a lap."""
    circuit, case = found.cycle.circuit, found.answer.case
    books = books_of(found)
    dry = {name for name, part in circuit.parts.items() if not part.ports}
    made = summed(books.loss, lambda name: name not in dry, books.input)
    taken = {
        part.name: mean(found, taken_by(part, view_of(found.answer, part)))
        for part in sinks_of(circuit)
    }
    return Balance(case.by_step(found.answer.system.oil.degC)[0], mean(found, made), taken,
                   found.solved)  # fmt: skip


def taken_by(part: Part, view: View) -> Array:
    """Heat that walls or a cooler take in every variant [W].

    A cooler cannot take more than cools the oil that flows through it to its coolant.
    """
    assert part.kind.warms is not None
    taken = -part.kind.warms(part, view)
    if part.kind.word != "cooler":
        return taken
    coolant = view.order_of("coolant", view.value("coolant"))
    flow = np.abs(view.q("in"))
    most = flow * view.oil.rho * view.oil.specific_heat * (view.oil.degC - coolant)
    found: Array = np.minimum(taken, np.maximum(most, 0.0))
    return found


def equilibrium(near: Lap, also: tuple[float, ...] = ()) -> Equilibrium:
    """Find where the heat made and the heat taken are the same, from cold oil upwards.

    Viscosity, leakage, drops, stores and the times of ways follow the temperature: the cycle
    is solved anew at every temperature looked at. ``near`` is the cycle at one temperature,
    to begin with; ``also``: further temperatures to look at.
    """
    cycle = near.cycle
    coarse, fine = (FEW_COARSE, FEW_FINE) if cycle.stores else (COARSE, FINE)
    low = coolest(cycle.circuit)
    grid = np.unique([*np.linspace(low, HOTTEST, coarse), *(t for t in also if t > low)])
    followed = lap(cycle, grid, near)
    found = balance(followed)
    for _ in range(2):
        pair = _crossing(found)
        if pair is None:
            break
        left, right = found.degC[pair], found.degC[pair + 1]
        followed = lap(cycle, np.linspace(left, right, fine + 2)[1:-1], followed)
        found = found.joined(balance(followed))
    pair = _crossing(found)
    settles = None if pair is None else _zero(found, pair)
    return Equilibrium(settles, _runaway(found, settles), found)


def _crossing(found: Balance) -> int | None:
    """Number of the first temperature after which the oil no longer warms."""
    net = np.where(found.known, found.net, np.nan)
    if len(net) and net[0] <= 0.0:
        return 0  # nothing warms the oil: it stays as warm as its surroundings
    for i in range(len(net) - 1):
        if not net[i] > 0.0:
            return None
        if net[i + 1] <= 0.0:
            return i
    return None


def _zero(found: Balance, i: int) -> float:
    net, degC = found.net, found.degC
    if net[i] <= 0.0:
        return float(degC[i])
    share = net[i] / (net[i] - net[i + 1])
    return float(degC[i] + share * (degC[i + 1] - degC[i]))


def _runaway(found: Balance, settles: float | None) -> float | None:
    if settles is None:
        return None
    above = found.known & (found.degC > settles + 1.0) & (found.net > 0.0)
    return float(found.degC[above][0]) if above.any() else None
