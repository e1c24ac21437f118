"""Sizes that can be bought: series of the standards by part and figure, and what is next."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from circuitcheck.basics.quantities import System, number_in, read_unit, show, to_si, unit_for
from circuitcheck.basics.tables import read_csv
from circuitcheck.circuit.varied import Varied
from circuitcheck.components._parts import Part

INCH = 0.0254
MM, CC_REV, LITRE, KW = 1e-3, 1e-6, 1e-3, 1e3
SAME = 1e-6
"""Sizes nearer than this share are one."""


@dataclass(frozen=True)
class Size:
    """One size [SI], as it is ordered; ``second`` where the standard has it as second choice."""

    value: float
    text: str
    second: bool = False


@dataclass(frozen=True)
class Series:
    """Sizes in rising order, with the standard that lists them."""

    source: str
    sizes: tuple[Size, ...]

    def up(self, value: float) -> Size | None:
        """Give the smallest size that is not below a value [SI]; None above the largest."""
        return next((s for s in self.sizes if s.value >= value * (1.0 - SAME)), None)

    def down(self, value: float) -> Size | None:
        """Give the largest size that is not above a value [SI]; None below the smallest."""
        below = [s for s in self.sizes if s.value <= value * (1.0 + SAME)]
        return below[-1] if below else None


def series_of(part: Part | None, varied: Varied, units: System = "metric") -> Series | Rounded:
    """Give the sizes in which a figure can be had; rounded figures where no standard has any.

    ``units`` are those of the answers; a figure that the text gives in inches or horsepower
    has the series in inches or horsepower.
    """
    if part is None:
        return Rounded(varied.quantity, units)
    given = part.figures.get(varied.name)
    said = given.text.rsplit(" ", 1)[-1] if given is not None and given.origin == "given" else ""
    make = _MAKERS.get((part.kind.word, varied.name))
    if part.kind.word == "line" and varied.name == "bore":
        make = _LINES[part.choices.get("make", "hose")]
    if make is None:
        return Rounded(varied.quantity, units)
    return make(said or _unit_text(varied, units))


def _unit_text(varied: Varied, units: System) -> str:
    unit = unit_for(varied.quantity, units)
    return "" if unit is None else unit.canonical


# ---- series of the standards --------------------------------------------------------------


def _bores(unit: str) -> Series:
    return _inches("bore") if unit == "in" else _diameters("parts/bores.csv", "bore_mm")


def _rods(unit: str) -> Series:
    return _inches("rod") if unit == "in" else _diameters("parts/rods.csv", "rod_mm")


def _diameters(file: str, column: str) -> Series:
    sizes = [
        Size(float(row[column]) * MM, f"{row[column]} mm", row.get("choice") == "2")
        for row in read_csv(file)
    ]
    return Series("ISO 3320, from memory", tuple(sizes))


def _inches(of: str) -> Series:
    rows = [row["inch"] for row in read_csv("parts/cylinders_inch.csv") if row["of"] == of]
    sizes = [Size(_inch(text) * INCH, f"{text} in") for text in rows]
    return Series("ISO 3321 and common stock, from memory", tuple(sizes))


def _inch(text: str) -> float:
    return float(sum(Fraction(piece) for piece in text.split()))


def _hoses(_: str) -> Series:
    dashes = {row["hose_bore_mm"]: row for row in read_csv("lines/dash_sizes.csv")}
    sizes = []
    for row in read_csv("lines/hoses.csv"):
        dash = dashes.get(row["bore_mm"])
        inch = f" ({dash['inch']} in, dash {dash['dash']})" if dash else ""
        sizes.append(Size(float(row["bore_mm"]) * MM, f"hose {row['bore_mm']} mm{inch}"))
    return Series("bores of ISO 4397 and SAE J517, from memory", tuple(sizes))


def _tubes(_: str) -> Series:
    found: dict[float, list[str]] = {}
    for row in read_csv("lines/tubes.csv"):
        found.setdefault(float(row["bore_mm"]), []).append(
            f"{row['outside_mm']} x {row['wall_mm']} mm"
        )
    sizes = [Size(bore * MM, f"tube {' or '.join(found[bore])}") for bore in sorted(found)]
    return Series("ISO 4397 and ISO 8434-1, walls of common stock; from memory", tuple(sizes))


def _pipes(_: str) -> Series:
    found = {
        float(row[schedule]): f"pipe {row['inch']} in {schedule.replace('_', ' ')}"
        for row in read_csv("lines/pipes.csv")
        for schedule in ("schedule_40", "schedule_80", "schedule_160")
        if row[schedule]
    }
    sizes = [Size(bore * MM, found[bore]) for bore in sorted(found)]
    return Series("ASME B36.10M", tuple(sizes))


def _powers(unit: str) -> Series:
    if unit not in ("hp", "PS"):
        rows = [row["power"] for row in read_csv("parts/motor_powers.csv") if row["unit"] == "kW"]
        sizes = [Size(float(power) * KW, f"{power} kW") for power in rows]
        return Series("IEC 60072-1, from memory", tuple(sizes))
    horse = read_unit("hp")
    assert horse is not None
    rows = [row["power"] for row in read_csv("parts/motor_powers.csv") if row["unit"] == "hp"]
    sizes = [Size(to_si(float(power), horse), f"{power} hp") for power in rows]
    return Series("NEMA MG 1, from memory", tuple(sizes))


def _displacements(_: str) -> Series:
    sizes = [
        Size(float(row["cc_rev"]) * CC_REV, f"{row['cc_rev']} cc/rev", row["choice"] == "2")
        for row in read_csv("parts/displacements.csv")
    ]
    return Series("ISO 3662, from memory", tuple(sizes))


def _volumes(of: str, source: str) -> Callable[[str], Series]:
    def make(_: str) -> Series:
        rows = [row["litres"] for row in read_csv("parts/volumes.csv") if row["of"] == of]
        return Series(source, tuple(Size(float(x) * LITRE, f"{x} L") for x in rows))

    return make


def _drills(_: str) -> Series:
    steps = [*_steps(0.3, 3.0, 0.05), *_steps(3.1, 10.0, 0.1), *_steps(10.5, 50.0, 0.5)]
    sizes = [Size(x * MM, f"{x:g} mm") for x in steps]
    return Series("drills of ISO 235 in common steps, from memory", tuple(sizes))


def _steps(first: float, last: float, size: float) -> Iterator[float]:
    for number in range(round((last - first) / size) + 1):
        yield round(first + number * size, 3)


_MAKERS: dict[tuple[str, str], Callable[[str], Series]] = {
    ("cylinder", "bore"): _bores,
    ("cylinder", "rod"): _rods,
    ("electric motor", "power"): _powers,
    ("pump", "displacement"): _displacements,
    ("motor", "displacement"): _displacements,
    ("accumulator", "volume"): _volumes("accumulator", "ISO 5596, from memory"),
    ("tank", "volume"): _volumes("tank", "ISO 3, series R10; common practice, no source"),
    ("orifice", "diameter"): _drills,
    ("throttle", "diameter"): _drills,
}
_LINES = {"hose": _hoses, "tube": _tubes, "pipe": _pipes}


# ---- figures that are set, or have no standard ----------------------------------------------


@dataclass(frozen=True)
class Rounded:
    """Figures of two digits, as one sets or orders them where no standard lists any."""

    quantity: str
    units: System
    source: str = "no standard sizes: rounded to two digits"

    def up(self, value: float) -> Size | None:
        """Give the next figure of two digits that is not below a value [SI]."""
        return self._near(value, math.ceil)

    def down(self, value: float) -> Size | None:
        """Give the next figure of two digits that is not above a value [SI]."""
        return self._near(value, math.floor)

    def _near(self, value: float, way: Callable[[float], int]) -> Size | None:
        number = number_in(value, self.quantity, self.units)
        if number == 0.0:
            return Size(value, show(value, self.quantity, self.units))
        step = 10.0 ** (math.floor(math.log10(abs(number))) - 1)
        exact = number / step
        whole = round(exact) if abs(exact - round(exact)) < SAME else way(exact)
        unit = unit_for(self.quantity, self.units)
        si = step * whole if unit is None else to_si(step * whole, unit)
        return Size(si, show(si, self.quantity, self.units))
