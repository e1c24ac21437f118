"""Operating points: what every point of the circuit does in one step."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.quantities import System, quantity_object
from circuitcheck.basics.shown import Shown
from circuitcheck.circuit.model import Circuit, Step

if TYPE_CHECKING:
    from circuitcheck.solver.answer import Answer

COMPUTED = "computed"
KNOWN = "known"
HELD = "held by leakage"
INDETERMINATE = "indeterminate"


@dataclass(frozen=True)
class PortState:
    """Pressure [Pa, gauge] at a port and flow into the part there [m3/s]."""

    pressure: float
    flow: float


@dataclass(frozen=True)
class JunctionState:
    """Pressure [Pa, gauge] and how far it can be trusted.

    ``status``: "computed"; "known" (a tank); "held by leakage": a closed volume whose
    pressure only leakage (and seal friction) decides; "indeterminate": nothing at all
    decides it, the pressure is NaN.
    """

    pressure: float
    status: str


@dataclass(frozen=True)
class ShaftState:
    """Speed [rad/s], torque given to the shaft by its drive [N m], power [W]."""

    speed: float
    torque: float
    power: float


@dataclass(frozen=True)
class Totals:
    """Power in over shafts and heaters, useful at the loads, lost to heat of the oil [W].

    ``cooled``: heat that coolers and the walls of tanks take out of the oil.
    """

    input: float
    useful: float
    loss: float
    cooled: float = 0.0


@dataclass(frozen=True)
class PartState:
    """One part in one step; ``values`` in SI by name, ``quantities`` their kind.

    A named value is also an attribute that gives a pint quantity: ``state.speed``.
    """

    name: str
    kind: str
    state: str
    ports: dict[str, PortState]
    values: dict[str, float]
    quantities: dict[str, str]
    loss: float

    def __getattr__(self, name: str) -> Any:
        values = self.__dict__.get("values", {})
        spaced = name.replace("_", " ")
        if spaced not in values:
            known = ", ".join(sorted(values)) or "nothing"
            raise AttributeError(f"{self.__dict__.get('name')} has no '{spaced}'; it has {known}")
        return quantity_object(values[spaced], self.quantities[spaced])


@dataclass(frozen=True)
class OperatingPoint(Shown):
    """One solved step.

    ``success`` is false where the step could not be solved; then the figures are not
    shown and ``message`` names the part to look at. ``imbalance`` is the worst sum of
    flows at a junction [m3/s], ``power_error`` the share of input power that is not
    accounted for, ``step_norm`` the last natural step [bar], ``method`` the road taken.
    ``others`` are further operating points of the same step, where there are any: the
    figures given are those from the natural start (a drive that ran before it was loaded).
    ``units`` are those of the text, in which it shows itself; all figures are in SI.
    """

    step: Step
    success: bool
    message: str
    method: str
    iterations: int
    step_norm: float
    imbalance: float
    power_error: float
    junctions: dict[str, JunctionState]
    parts: dict[str, PartState]
    shafts: dict[str, ShaftState]
    totals: Totals
    oil_degC: float
    nu: float
    rho: float
    duration: float | None = None
    others: tuple[OtherPoint, ...] = ()
    units: System = "metric"

    def __getitem__(self, name: str) -> PartState:
        return self.parts[name]


@dataclass(frozen=True)
class OtherPoint:
    """A second operating point of a step, at which all balances hold as well.

    ``part`` has two starts: the point of the step is where ``given_start`` leads ("from its
    idle speed"), this one where ``start`` does. ``stable`` and ``given_stable``: whether it
    comes back to the point when disturbed (all but what is led follows at once).
    """

    part: str
    start: str
    given_start: str
    stable: bool
    given_stable: bool
    point: OperatingPoint


@dataclass(frozen=True)
class PartSeries:
    """A part over all steps; attributes give pint quantities, scalar for a single step."""

    states: tuple[PartState, ...]

    def __getattr__(self, name: str) -> Any:
        states = self.__dict__["states"]
        found = [getattr(state, name) for state in states]
        if len(found) == 1:
            return found[0]
        unit = found[0].units
        return type(found[0])(np.array([f.to(unit).magnitude for f in found]), unit)


@dataclass
class Solution(Shown):
    """Operating points of all steps of a circuit, in order, with what the solver found.

    ``answer`` keeps the equations, for what is asked of them later (sensitivities).
    """

    circuit: Circuit
    points: list[OperatingPoint]
    findings: list[Finding] = field(default_factory=list)
    answer: Answer | None = field(default=None, repr=False, compare=False)

    def __iter__(self) -> Iterator[OperatingPoint]:
        return iter(self.points)

    def step(self, name: str) -> OperatingPoint:
        """Give the operating point of a step by its name.

        Raises
        ------
        KeyError
            If there is no such step.
        """
        for point in self.points:
            if point.step.name == name:
                return point
        raise KeyError(name)

    def __getitem__(self, part: str) -> PartSeries:
        return PartSeries(tuple(point.parts[part] for point in self.points))

    @property
    def solved(self) -> bool:
        return all(point.success for point in self.points)

    def to_pandas(self, units: System | None = None) -> Any:
        """Give every figure of every part in every step as a ``pandas.DataFrame``.

        Its columns are step, part, kind, state, what, value, unit and trust; ``units`` are
        those of the text if left out. Figures that are not known are NaN.

        Raises
        ------
        circuitcheck.basics.frames.PandasMissingError
            If pandas is not installed.
        """
        from circuitcheck.solver.frames import points_frame

        return points_frame(self, self.circuit.units if units is None else units)
