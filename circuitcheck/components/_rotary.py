"""What pumps and motors share: constructions with their usual losses, the test point."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType

from circuitcheck.basics.tables import read_toml
from circuitcheck.components._common import NU_RATED
from circuitcheck.components._parts import Parameter
from circuitcheck.laws._law import BAR


@dataclass(frozen=True)
class Construction:
    """Usual losses of one construction: efficiencies at a rated pressure [Pa] and speed
    [rad/s], coefficients of slip, drag, friction and constant torque [-], the share of the
    slip that leaves by the case."""

    volumetric: float
    mechanical: float
    rated: float
    speed: float
    slip: float
    drag: float
    friction: float
    constant: float
    to_case: float


CONSTRUCTIONS = MappingProxyType(
    {
        str(row["words"]): Construction(
            volumetric=row["volumetric"],
            mechanical=row["mechanical"],
            rated=row["rated"] * BAR,
            speed=row["speed"] * math.pi / 30.0,
            slip=row["C_s"],
            drag=row["C_v"],
            friction=row["C_f"],
            constant=row["C_c"],
            to_case=row["to_case"],
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
        least=0.0,
        at=Parameter(
            "case drain pressure",
            "pressure",
            "bar",
            "pressure of that flow",
            default=200 * BAR,
            least=1.0,
        ),
    ),
    Parameter("wear limit", "flow", "L/min", "case flow at which the unit is worn", least=0.0),
    Parameter("case limit", "pressure", "bar", "highest pressure in the case", least=0.0),
    Parameter("speed limit", "rotation", "rpm", "highest speed", least=0.1),
    Parameter("shaft limit", "torque", "Nm", "highest torque of the shaft end", least=0.1),
    Parameter("flange", "code", "", "mounting flange, SAE J744 code"),
    Parameter("shaft", "code", "", "shaft end, SAE J744 code"),
)
