"""The oil of a circuit: viscosity, density and stiffness at any temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from circuitcheck.basics.tables import read_csv
from circuitcheck.fluid import stiffness
from circuitcheck.fluid import viscosity as law
from circuitcheck.fluid.families import USUAL, Fluid, fluid

Array = np.ndarray[Any, np.dtype[np.float64]]


REACH = 40.0
"""How far outside the known temperatures the viscosity law is trusted [K] (common practice)."""


class Assumed(NamedTuple):
    """A property that the circuit did not give."""

    name: str
    value: float
    quantity: str
    source: str


class Density(NamedTuple):
    """A density [kg/m3] and the temperature [degC] at which it holds."""

    value: float
    degC: float


@dataclass(frozen=True)
class Given:
    """What a text gives of an oil beside its viscosity; None or 0 where it says nothing.

    ``air``: undissolved air as a share of the volume at no pressure; ``modulus``: bulk
    modulus without air [Pa], taken for every pressure and temperature; ``specific_heat``
    [J/(kg K)]; ``window``: least and most viscosity that is wanted [m2/s].
    """

    density: Density | None = None
    air: float = 0.0
    modulus: float | None = None
    specific_heat: float | None = None
    window: tuple[float, float] | None = None


NOTHING = Given()


@dataclass(frozen=True)
class Oil:
    """An oil; made with `of_grade`, `of_viscosity`, `of_points` or `of_kind`.

    ``A`` and ``B`` are the constants of ASTM D341, ``known_degC`` the coldest and hottest
    temperature for which the viscosity is known and not extended by the law. ``fluid`` holds
    the figures of its family, ``given`` those of the text, which win.
    """

    name: str
    fluid: Fluid
    A: float
    B: float
    known_degC: tuple[float, float]
    density: Density
    given: Given = NOTHING
    assumed: tuple[Assumed, ...] = ()

    @classmethod
    def of_grade(
        cls,
        grade: int,
        viscosity_index: float | None = None,
        given: Given = NOTHING,
        kind: str = USUAL,
    ) -> Oil:
        """Give the oil of an ISO viscosity grade: its middle viscosity at 40 degC.

        ``kind`` is a family of fluids or the letters of a standard ("HFC"). The point at
        100 degC follows from the viscosity index; below 2 mm2/s there the index is extended
        and the point listed as assumed. Raises ``ValueError`` for a number that is no grade,
        for an index that no oil of the grade has, for a fluid that has no grades.
        Sources: ISO 3448, ASTM D2270, ASTM D341.
        """
        middles = {int(row["grade"]): float(row["middle"]) for row in read_csv(_GRADES)}
        if grade not in middles:
            near = sorted(sorted(middles, key=lambda known: abs(known - grade))[:2])
            raise ValueError(
                f"there is no grade ISO VG {grade}; the nearest are {near[0]} and {near[1]}"
            )
        of = fluid(kind)
        assumed: list[Assumed] = []
        index = _index(viscosity_index, of, assumed)
        at_40 = middles[grade]
        at_100 = law.at_100_from_index(at_40, index)
        if at_100 < law.LEAST_AT_100:
            assumed.append(Assumed("viscosity at 100 degC", at_100 * 1e-6, "viscosity", _EXTENDED))
        A, B = law.walther_lines((40, at_40), (100, at_100))
        name = f"{of.code} {grade}" if of.code else f"{_words(of)} ISO VG {grade}".strip()
        return cls._make(name, of, A, B, (40, 100), given, assumed)

    @classmethod
    def of_viscosity(
        cls,
        nu: float,
        degC: float,
        viscosity_index: float | None = None,
        given: Given = NOTHING,
        kind: str = USUAL,
    ) -> Oil:
        """Give the oil of viscosity ``nu`` [m2/s] at ``degC``; other temperatures by index.

        Raises ``ValueError`` where no oil of that index has such a viscosity.
        """
        assumed: list[Assumed] = []
        of = fluid(kind)
        index = _index(viscosity_index, of, assumed)
        A, B = law.line_through(nu * 1e6, degC, index)
        name = f"{of.code or _words(of)} {nu * 1e6:.4g} cSt at {degC:.4g} degC".strip()
        return cls._make(name, of, A, B, (degC, degC), given, assumed)

    @classmethod
    def of_points(
        cls,
        first: tuple[float, float],
        second: tuple[float, float],
        given: Given = NOTHING,
        kind: str = USUAL,
    ) -> Oil:
        """Give the oil through two points (temperature [degC], viscosity [m2/s]).

        Raises ``ValueError`` where the two cannot belong to one oil.
        """
        low, high = sorted([first, second])
        of = fluid(kind)
        A, B = law.walther_lines((low[0], low[1] * 1e6), (high[0], high[1] * 1e6))
        points = " and ".join(f"{nu * 1e6:.4g} cSt at {T:.4g} degC" for T, nu in (low, high))
        return cls._make(
            f"{of.code or _words(of)} {points}".strip(), of, A, B, (low[0], high[0]), given, []
        )

    @classmethod
    def of_kind(cls, kind: str, given: Given = NOTHING) -> Oil:
        """Give a fluid that has no grades ("HFA"), with the viscosity of its family.

        Raises ``ValueError`` for a fluid whose viscosity its name does not say.
        """
        of = fluid(kind)
        cold, warm = of.get("viscosity_20"), of.get("viscosity_50")
        if cold is None or warm is None:
            name = of.code or of.words
            raise ValueError(f"{name} is sold in many viscosities; write the grade too: {name} 46")
        A, B = law.walther_lines((20, cold.value), (50, warm.value))
        assumed = [Assumed("viscosity at 50 degC", warm.value * 1e-6, "viscosity", warm.source)]
        return cls._make(of.code or of.words, of, A, B, (20, 50), given, assumed)

    @classmethod
    def _make(
        cls,
        name: str,
        of: Fluid,
        A: float,
        B: float,
        known_degC: tuple[float, float],
        given: Given,
        assumed: list[Assumed],
    ) -> Oil:
        density = given.density
        if density is None:
            value, source = of["density_15"]
            density = Density(value, 15.0)
            assumed.append(Assumed("density at 15 degC", value, "density", source))
        if given.modulus is None:
            value, source = of["bulk_modulus"]
            assumed.append(Assumed("bulk modulus at 50 degC", value, "pressure", source))
        if given.specific_heat is None:
            value, source = of["specific_heat"]
            assumed.append(Assumed("specific heat", value, "specific_heat", source))
        if density.value <= 0:
            raise ValueError(f"a density of {density.value:g} kg/m3 is not possible")
        return cls(name, of, A, B, known_degC, density, given, tuple(assumed))

    @property
    def family(self) -> str:
        """Name of its family in the shared table."""
        return self.fluid.family

    def nu(self, degC: Array | float) -> Array:
        """Give the kinematic viscosity [m2/s] at temperatures [degC], same shape.

        Validity: between and 40 K around ``known_degC``, not below the pour point; `stretched`
        says where that is left. Source: ASTM D341.
        """
        T = _temperatures(degC)
        return law.viscosity(self.A, self.B, T) * 1e-6

    def stretched(self, degC: float) -> bool:
        """Whether the viscosity at a temperature [degC] is far from what is known of the oil."""
        low, high = self.known_degC
        return not low - REACH <= degC <= high + REACH

    def rho(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the density [kg/m3]; straight line about 15 degC.

        With a gauge pressure [Pa] it grows by the bulk modulus of air-free oil. Ordinary
        use leaves the pressure out: 1.5 % at 250 bar.
        """
        T = _temperatures(degC)
        expansion = self.fluid["expansion"].value
        at_15 = self.density.value / (1 - expansion * (self.density.degC - 15))
        loose = at_15 * (1 - expansion * (T - 15))
        return np.asarray(loose / (1 - np.asarray(pressure) / self.bulk_modulus(T, pressure)))

    def mu(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the dynamic viscosity [Pa s]; with a gauge pressure [Pa] by Barus' law.

        Source of the exponent: families of fluids in the shared tables. Ordinary use
        leaves the pressure out.
        """
        barus = self.fluid["barus"].value
        return np.asarray(self.nu(degC) * self.rho(degC) * np.exp(barus * np.asarray(pressure)))

    def bulk_modulus(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the isothermal secant bulk modulus of air-free oil [Pa] at gauge pressure [Pa]."""
        loose, growth = self._bulk(degC)
        return np.asarray(loose + growth * np.asarray(pressure))

    def _bulk(self, degC: Array | float) -> tuple[Array, float]:
        """Bulk modulus at no pressure [Pa] and its growth with pressure."""
        T = _temperatures(degC)
        if self.given.modulus is not None:
            return np.full(T.shape, self.given.modulus), 0.0
        warm = np.exp(self.fluid["bulk_per_kelvin"].value * (T - 50))  # never below zero
        return self.fluid["bulk_modulus"].value * warm, self.fluid["bulk_per_pressure"].value

    def secant_modulus(self, degC: Array | float, pressure: Array | float) -> Array:
        """Give the mean bulk modulus [Pa] from no pressure to a gauge pressure, air and all.

        See `stiffness.secant_with_air`.
        """
        return stiffness.secant_with_air(
            self.bulk_modulus(degC, pressure), pressure, self.given.air
        )

    def tangent_modulus(self, degC: Array | float, pressure: Array | float) -> Array:
        """Give the bulk modulus [Pa] at a gauge pressure [Pa], air and all.

        That of the air-free oil follows from its secant modulus K = K0 + s p by
        -V dp/dV = (1 - p/K) K^2/K0; see `stiffness.with_air`.
        """
        p = np.asarray(pressure)
        loose, growth = self._bulk(degC)
        secant = loose + growth * p
        tangent = (1 - p / secant) * secant**2 / loose
        return stiffness.with_air(tangent, p, self.given.air)

    @property
    def specific_heat(self) -> float:
        """Specific heat [J/(kg K)]."""
        given = self.given.specific_heat
        return self.fluid["specific_heat"].value if given is None else given

    @property
    def conductivity(self) -> float:
        """Conductivity of heat [W/(m K)]."""
        return self.fluid["conductivity"].value

    @property
    def viscosity_index(self) -> float:
        """Viscosity index by ASTM D2270 of the oil as the law has it.

        Raises ``ValueError`` for oils below 2 mm2/s at 100 degC.
        """
        at_40, at_100 = self.nu(np.array([40.0, 100.0])) * 1e6
        return law.viscosity_index(float(at_40), float(at_100))


_GRADES = "fluids/viscosity_grades.csv"

_EXTENDED = "own choice: equations of ASTM D2270 extended below 2 mm2/s; take the data sheet"


def _words(of: Fluid) -> str:
    """Trade words of a fluid that is not the usual one."""
    return "" if of.family == USUAL else of.words


def _index(given: float | None, of: Fluid, assumed: list[Assumed]) -> float:
    if not of.graded:
        name = of.code or of.words
        raise ValueError(f"{name} has no viscosity grades; write {name} alone or two viscosities")
    if given is not None:
        return given
    value, source = of["viscosity_index"]
    assumed.append(Assumed("viscosity index", value, "count", source))
    return value


def _temperatures(degC: Array | float) -> Array:
    T = np.asarray(degC, dtype=np.float64)
    if np.any(-law.ZERO_DEGC >= T):
        raise ValueError("a temperature is below absolute zero")
    return T
