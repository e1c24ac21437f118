"""What pumps and motors share: constructions, their usual losses, lost torque."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import NU_RATED
from circuitcheck.components._parts import Parameter
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array

TORQUE_SPLIT = (0.3, 0.6, 0.1)
"""How lost torque at the rated point divides into drag, rubbing, constant; own choice."""


@dataclass(frozen=True)
class Construction:
    """Usual losses of one construction: efficiencies at a rated pressure [Pa], and the
    share of the slip that leaves by the case."""

    volumetric: float
    mechanical: float
    rated: float
    to_case: float


CONSTRUCTIONS = MappingProxyType(
    {
        str(row["words"]): Construction(
            row["volumetric"], row["mechanical"], row["rated"] * BAR, row["to_case"]
        )
        for row in read_toml("parts/efficiencies.toml").values()
    }
)


def usual(word: str, what: str, rated: float | None) -> dict[str, tuple[float, str]]:
    """Defaults of a pump or motor (``what``) of a construction, with their source."""
    kind = CONSTRUCTIONS[word]
    source = f"usual for a {what} ({word}); common practice, no source"
    return {
        "volumetric": (kind.volumetric, source),
        "mechanical": (kind.mechanical, source),
        "test pressure": (rated or kind.rated, f"rated pressure of the {what}"),
    }


def lost_torque(full: Array, lost: Array, dp: Value, w: Value, thick: Array) -> dict[str, Array]:
    """Coefficients of the lost torque; ``lost`` is its share of D dp at the test point.

    ``thick`` is viscosity over that of the test, ``dp`` [Pa] and ``w`` [rad/s] the test
    point. Form of the law: Wilson 1949, from memory.
    """
    drag, rub, stick = TORQUE_SPLIT
    at_test = lost * full * np.asarray(dp)
    return {
        "drag": drag * at_test * thick / np.asarray(w),
        "rub": rub * lost * full,
        "stick": stick * at_test,
    }


def split_slip(net: Net, whole: Array, to_case: float) -> tuple[Array, Array]:
    """Split the slip [m3/(s Pa)] into what stays inside and what leaves by the case.

    A ``case drain`` given by the text settles the case's part, else the usual share does;
    without a case port all of it stays inside.
    """
    if not net.joined("L"):
        return whole, np.zeros_like(whole)
    given = net.value_of("case drain")
    if given is None:
        return whole * (1.0 - to_case), whole * to_case
    thin = np.asarray(net.value("test oil")) / net.oil.nu
    case = np.asarray(given) / np.asarray(net.value("case drain pressure")) * thin
    return np.maximum(whole - case, 0.0), np.broadcast_to(case, whole.shape)


TEST_POINT = (
    Parameter(
        "volumetric", "share", "%", "volumetric efficiency at the test point", least=0.3, most=1.0
    ),
    Parameter(
        "mechanical", "share", "%", "mechanical efficiency at the test point", least=0.3, most=1.0
    ),
    Parameter("test pressure", "pressure", "bar", "where the efficiencies hold", least=1.0),
    Parameter(
        "test oil",
        "viscosity",
        "cSt",
        "viscosity where the efficiencies hold",
        default=NU_RATED,
        least=1e-6,
    ),
    Parameter(
        "case drain",
        "flow",
        "L/min",
        "case flow of the sound unit",
        at=Parameter(
            "case drain pressure", "pressure", "bar", "pressure of that flow", default=200 * BAR
        ),
    ),
    Parameter("wear limit", "flow", "L/min", "case flow at which the unit is worn"),
    Parameter("case limit", "pressure", "bar", "highest pressure in the case"),
    Parameter("speed limit", "rotation", "rpm", "highest speed"),
    Parameter("shaft limit", "torque", "Nm", "highest torque of the shaft end"),
    Parameter("flange", "code", "", "mounting flange, SAE J744 code"),
    Parameter("shaft", "code", "", "shaft end, SAE J744 code"),
)
