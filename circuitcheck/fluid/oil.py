"""The oil of a circuit: viscosity, density and stiffness at any temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from circuitcheck.basics.findings import Finding, Number, Severity
from circuitcheck.basics.places import NOWHERE, Place
from circuitcheck.basics.tables import read_csv, read_toml
from circuitcheck.fluid import stiffness
from circuitcheck.fluid import viscosity as law

Array = np.ndarray[Any, np.dtype[np.float64]]

REACH = 40.0
"""How far outside the known temperatures the viscosity law is trusted [K] (common practice)."""
THIN = 2e-6
"""Below this the ordinary form of D341 ends and the long one is a fit [m2/s]."""


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
class Oil:
    """An oil; made with `of_grade`, `of_viscosity` or `of_points`.

    ``A`` and ``B`` are the constants of ASTM D341, ``known_degC`` the coldest and hottest
    temperature for which the viscosity is known and not extended by the law.
    """

    name: str
    family: str
    A: float
    B: float
    known_degC: tuple[float, float]
    density: Density
    expansion: float
    assumed: tuple[Assumed, ...] = ()

    @classmethod
    def of_grade(
        cls,
        grade: int,
        viscosity_index: float | None = None,
        density: Density | None = None,
        family: str = "mineral",
    ) -> Oil:
        """Give the oil of an ISO viscosity grade: its middle viscosity at 40 degC.

        The point at 100 degC follows from the viscosity index. Raises ``ValueError`` for a
        number that is no grade, or a grade so thin that the index is not defined.
        Sources: ISO 3448, ASTM D2270, ASTM D341.
        """
        middles = {int(row["grade"]): float(row["middle"]) for row in read_csv(_GRADES)}
        if grade not in middles:
            near = sorted(sorted(middles, key=lambda known: abs(known - grade))[:2])
            raise ValueError(
                f"there is no grade ISO VG {grade}; the nearest are {near[0]} and {near[1]}"
            )
        assumed: list[Assumed] = []
        index = _index(viscosity_index, family, assumed)
        at_40 = middles[grade]
        A, B = law.walther_lines((40, at_40), (100, law.at_100_from_index(at_40, index)))
        return cls._make(f"ISO VG {grade}", family, A, B, (40, 100), density, assumed)

    @classmethod
    def of_viscosity(
        cls,
        nu: float,
        degC: float,
        viscosity_index: float | None = None,
        density: Density | None = None,
        family: str = "mineral",
    ) -> Oil:
        """Give the oil of viscosity ``nu`` [m2/s] at ``degC``; other temperatures by index.

        Raises ``ValueError`` where no oil of that index has such a viscosity.
        """
        assumed: list[Assumed] = []
        index = _index(viscosity_index, family, assumed)
        A, B = _line_through(nu * 1e6, degC, index)
        name = f"{nu * 1e6:.4g} cSt at {degC:.4g} degC"
        return cls._make(name, family, A, B, (degC, degC), density, assumed)

    @classmethod
    def of_points(
        cls,
        first: tuple[float, float],
        second: tuple[float, float],
        density: Density | None = None,
        family: str = "mineral",
    ) -> Oil:
        """Give the oil through two points (temperature [degC], viscosity [m2/s]).

        Raises ``ValueError`` where the two cannot belong to one oil.
        """
        low, high = sorted([first, second])
        A, B = law.walther_lines((low[0], low[1] * 1e6), (high[0], high[1] * 1e6))
        name = " and ".join(f"{nu * 1e6:.4g} cSt at {T:.4g} degC" for T, nu in (low, high))
        return cls._make(name, family, A, B, (low[0], high[0]), density, [])

    @classmethod
    def _make(
        cls,
        name: str,
        family: str,
        A: float,
        B: float,
        known_degC: tuple[float, float],
        density: Density | None,
        assumed: list[Assumed],
    ) -> Oil:
        if density is None:
            value, source = _property(family, "density_15")
            density = Density(value, 15.0)
            assumed.append(Assumed("density at 15 degC", value, "density", source))
        if density.value <= 0:
            raise ValueError(f"a density of {density.value:g} kg/m3 is not possible")
        expansion = _property(family, "expansion")[0]
        return cls(name, family, A, B, known_degC, density, expansion, tuple(assumed))

    def nu(self, degC: Array | float) -> Array:
        """Give the kinematic viscosity [m2/s] at temperatures [degC], same shape.

        Validity: between and 40 K around ``known_degC``, not below the pour point; see
        `concerns`. Source: ASTM D341.
        """
        T = _temperatures(degC)
        return law.viscosity(self.A, self.B, T) * 1e-6

    def rho(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the density [kg/m3]; straight line about 15 degC.

        With a gauge pressure [Pa] it grows by the bulk modulus of air-free oil. Ordinary
        use leaves the pressure out: 1.5 % at 250 bar.
        """
        T = _temperatures(degC)
        at_15 = self.density.value / (1 - self.expansion * (self.density.degC - 15))
        loose = at_15 * (1 - self.expansion * (T - 15))
        return np.asarray(loose / (1 - np.asarray(pressure) / self.bulk_modulus(T, pressure)))

    def mu(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the dynamic viscosity [Pa s]; with a gauge pressure [Pa] by Barus' law.

        Source of the exponent: families of fluids in the shared tables. Ordinary use
        leaves the pressure out.
        """
        barus = _property(self.family, "barus")[0]
        return np.asarray(self.nu(degC) * self.rho(degC) * np.exp(barus * np.asarray(pressure)))

    def bulk_modulus(self, degC: Array | float, pressure: Array | float = 0.0) -> Array:
        """Give the isothermal secant bulk modulus of air-free oil [Pa] at gauge pressure [Pa]."""
        at_50 = _property(self.family, "bulk_modulus")[0]
        per_kelvin = _property(self.family, "bulk_per_kelvin")[0]
        per_pressure = _property(self.family, "bulk_per_pressure")[0]
        warm = np.exp(per_kelvin * (_temperatures(degC) - 50))  # never below zero
        return np.asarray(at_50 * warm + per_pressure * np.asarray(pressure))

    def bulk_modulus_with_air(
        self,
        degC: Array | float,
        pressure: Array | float,
        air: Array | float = 0.005,
        exponent: float = 1.4,
    ) -> Array:
        """Give the bulk modulus [Pa] of oil with a share of undissolved air at no pressure.

        See `stiffness.with_air`; half a per cent of air is usual, common practice, no
        source.
        """
        stiff = self.bulk_modulus(degC, pressure)
        return stiffness.with_air(stiff, pressure, air, exponent)

    @property
    def specific_heat(self) -> float:
        """Specific heat [J/(kg K)]."""
        return _property(self.family, "specific_heat")[0]

    @property
    def viscosity_index(self) -> float:
        """Viscosity index by ASTM D2270 of the oil as the law has it.

        Raises ``ValueError`` for oils below 2 mm2/s at 100 degC.
        """
        at_40, at_100 = self.nu(np.array([40.0, 100.0])) * 1e6
        return law.viscosity_index(float(at_40), float(at_100))

    def concerns(self, degC: float, step: str = "", place: Place = NOWHERE) -> list[Finding]:
        """Say where the viscosity law is stretched at a temperature [degC]."""
        found = []
        low, high = self.known_degC
        nu = float(self.nu(degC))
        numbers = (
            Number("oil temperature", degC, "temperature"),
            Number("viscosity", nu, "viscosity"),
        )
        if degC < low - REACH or degC > high + REACH:
            known = f"{low:g} degC" if low == high else f"{low:g} and {high:g} degC"
            found.append(
                Finding(
                    "viscosity-far-from-data",
                    Severity.WARNING,
                    f"the viscosity at {degC:g} degC is extended more than {REACH:g} K beyond"
                    f" what is known of {self.name} ({known})",
                    place,
                    remedy="give the viscosity at two temperatures that enclose the work",
                    source="ASTM D341; 40 K is common practice, no source",
                    step=step,
                    numbers=numbers,
                )
            )
        if nu < THIN:
            found.append(
                Finding(
                    "viscosity-below-law",
                    Severity.WARNING,
                    f"at {degC:g} degC {self.name} is thinner than 2 cSt, where the viscosity"
                    " law is only a fit",
                    place,
                    remedy="check the oil and its temperature",
                    source="ASTM D341",
                    step=step,
                    numbers=numbers,
                )
            )
        return found


_GRADES = "fluids/viscosity_grades.csv"


def families() -> dict[str, str]:
    """Give the families of fluids: name and trade words."""
    return {name: row["words"] for name, row in read_toml("fluids/families.toml").items()}


def _property(family: str, name: str) -> tuple[float, str]:
    known = read_toml("fluids/families.toml")
    if family not in known:
        raise ValueError(f"there is no family of fluids '{family}'; there are {', '.join(known)}")
    entry = known[family][name]
    return float(entry["value"]), str(entry["source"])


def _index(given: float | None, family: str, assumed: list[Assumed]) -> float:
    if given is not None:
        return given
    value, source = _property(family, "viscosity_index")
    assumed.append(Assumed("viscosity index", value, "count", source))
    return value


def _temperatures(degC: Array | float) -> Array:
    T = np.asarray(degC, dtype=np.float64)
    if np.any(-law.ZERO_DEGC >= T):
        raise ValueError("a temperature is below absolute zero")
    return T


def _line_through(nu: float, degC: float, index: float) -> tuple[float, float]:
    """Give the D341 line of the oil of that index with viscosity ``nu`` [mm2/s] at ``degC``."""

    def line(at_100: float) -> tuple[float, float]:
        at_40 = law.at_40_from_index(at_100, index)
        return law.walther_lines((40, at_40), (100, at_100))

    def reached(at_100: float) -> float:
        return float(law.viscosity(*line(at_100), _temperatures(degC)))

    low, high = law.LEAST_AT_100, 1e4
    if not reached(low) <= nu <= reached(high):
        raise ValueError(
            f"no oil of viscosity index {index:g} has {nu:.4g} cSt at {degC:g} degC;"
            " give two viscosities"
        )
    for _ in range(60):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if reached(middle) < nu else (low, middle)
    return line((low * high) ** 0.5)
