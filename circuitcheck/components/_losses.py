"""Slip and lost torque of pumps and motors, by the deepest model for which there is data."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from circuitcheck.components import _clearances, _pressed_oil
from circuitcheck.components._loss_table import (
    AXES,
    COLUMNS,
    UNITS,
    LossTable,
    TableError,
    read_table,
)
from circuitcheck.components._parts import Caution, Choice, Parameter, Part
from circuitcheck.components._rotary import CONSTRUCTIONS
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Net, Value
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

TORQUE_SPLIT = (0.3, 0.6, 0.1)
"""How lost torque at the rated point divides into drag, rubbing, constant; own choice."""

EVERYWHERE = "constant efficiency"

TABLE = "losses"
"""Figure of a part that names a measured table."""

OUTSIDE = "outside its loss table"

LAW_TEXT = (
    "losses by a table: CSV with the columns " + ", ".join(COLUMNS) + "; every pressure with "
    "every speed and stroke, ascending; lines with # are comments",
    "slip and lost torque multilinear between its points, held at its edge and said so; "
    "slip x test oil/nu where a test oil is given",
    *_pressed_oil.LAW_TEXT,
)

ROUNDING = 1e-6
"""Share by which an end of a table may be passed; rounding of the solver, own choice."""

PARAMETERS = (
    Parameter("slip coefficient", "ratio", "", "C_s of slip C_s D dp/mu", least=0.0, most=1e-5),
    Parameter(
        "turbulent slip coefficient",
        "ratio",
        "",
        "C_t of slip C_t D^(2/3) sqrt(2 dp/rho)",
        least=0.0,
        most=1.0,
    ),
    Parameter(
        "drag coefficient", "ratio", "", "C_v of lost torque C_v D mu w", least=0.0, most=1e8
    ),
    Parameter(
        "friction coefficient", "ratio", "", "C_f of lost torque C_f D dp", least=0.0, most=1.0
    ),
    Parameter("constant torque", "torque", "Nm", "torque lost at any load", least=0.0),
    Parameter(
        "wear",
        "ratio",
        "",
        "gaps over those of the sound unit; slip grows with the cube",
        default=1.0,
        least=0.5,
        most=5.0,
        source="sound unless given; slip with the cube of the gap: textbook form, from memory",
    ),
    Parameter(
        TABLE,
        "file",
        "",
        "measured table of slip and lost torque over pressure, speed and stroke",
        source="measured as in ISO 4409",
    ),
    _pressed_oil.PARAMETER,
    *_clearances.PARAMETERS,
)

CHOICE = Choice("losses", (EVERYWHERE,))

_COEFFICIENTS = ("slip coefficient", "drag coefficient", "friction coefficient")
_ANY = (*_COEFFICIENTS, "turbulent slip coefficient", "constant torque")


def assumes(part: Part, word: str) -> dict[str, tuple[float, str]]:
    """Coefficients usual for the construction, where the text gives one of them."""
    if not any(part.given(name) for name in _ANY):
        return {}
    kind = CONSTRUCTIONS[word]
    source = f"usual for {word}, derived from efficiencies of common practice, no source"
    values = zip(_COEFFICIENTS, (kind.slip, kind.drag, kind.friction), strict=True)
    return {name: (value, source) for name, value in values}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """Two loss models at once contradict each other."""
    found = [*_clearances.mistakes(part), *_table_mistakes(part)]
    efficiencies = [n for n in ("volumetric", "mechanical") if part.given(n)]
    others = [n for n in (*_ANY, *_clearances.GAPS) if part.given(n)]
    pressed = [_pressed_oil.DEAD] * part.given(_pressed_oil.DEAD)
    others += pressed
    if part.says(EVERYWHERE) and others:
        found.append(
            (
                others[0],
                f"{part.name} has a constant efficiency and a '{others[0]}'",
                "take one of the two away",
            )
        )
    slips = [n for n in ("slip coefficient", *_clearances.GAPS) if part.given(n)]
    if "volumetric" in efficiencies and slips:
        found.append(
            (
                slips[0],
                f"{part.name} has its slip twice: 'volumetric' and '{slips[0]}'",
                "take one of the two away",
            )
        )
    if len(slips) > 1 and slips[0] == "slip coefficient":
        found.append(
            (
                slips[1],
                f"{part.name} has its slip twice: 'slip coefficient' and '{slips[1]}'",
                "take one of the two away",
            )
        )
    torque = [n for n in ("drag coefficient", "friction coefficient") if part.given(n)]
    if "mechanical" in efficiencies and torque:
        found.append(
            (
                torque[0],
                f"{part.name} has its lost torque twice: 'mechanical' and '{torque[0]}'",
                "take one of the two away",
            )
        )
    return found


def _table_mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A table that cannot be read, and another loss model beside it."""
    if TABLE not in part.figures:
        return []
    figure = part.figures[TABLE]
    found: list[tuple[str, str, str]] = []
    try:
        read_table(figure.content)
    except TableError as wrong:
        message = f"{figure.text}, line {wrong.line}: {wrong.message}"
        found.append((TABLE, message, wrong.remedy))
    others = ("volumetric", "mechanical", *_ANY, *_clearances.GAPS, _pressed_oil.DEAD)
    beside = [name for name in others if part.given(name)]
    if part.says(EVERYWHERE):
        beside.append(EVERYWHERE)
    if beside:
        message = f"{part.name} has its losses twice: by '{TABLE}' and '{beside[0]}'"
        found.append((TABLE, message, "take one of the two away"))
    return found


def table_of(part: Part) -> LossTable | None:
    """Give the measured losses of a part, if it has a table."""
    figure = part.figures.get(TABLE)
    return None if figure is None else read_table(figure.content)


def unit(
    part: Part,
    net: Net,
    ends: tuple[str, str, int, str | None, str | None],
    word: str,
    back: bool,
    /,
    **coefficients: Value,
) -> None:
    """Write a rotary unit with the losses of its table.

    ``ends``: outlet, inlet, shaft, sensed pressure and partner pump; ``back``: slip goes to
    the case from the inlet, too. The usual share of the slip goes to a joined case. Slip
    is that of the table at the viscosity of the test, where the text gives it.
    """
    table = table_of(part)
    assert table is not None
    grown = np.asarray(net.value("wear")) ** 3 * np.ones(net.variants)
    if part.given("test oil"):
        grown = grown * np.asarray(net.value("test oil")) / net.oil.nu
    share = CONSTRUCTIONS[word].to_case if net.joined("L") else 0.0
    net.measured(
        "unit",
        *ends,
        "L",
        inside=grown * (1.0 - share),
        to_case=grown * share,
        back_to_case=grown * share if back else 0.0,
        **table.coefficients(),
        **coefficients,
    )


def _asked(part: Part, view: View, ends: tuple[str, str]) -> tuple[Array, Array, Array]:
    """Pressure [bar], speed [rpm] and stroke at which a table is asked."""
    out, inlet = (view.p(port) for port in ends)
    pressure = np.abs(out - inlet)
    if "L" in view.pressures:
        pressure = np.maximum(pressure, np.maximum(out, inlet) - view.p("L"))
    speed = view.speed_of(part.driven_by or part.name)
    return pressure / BAR, np.abs(speed) * 30.0 / math.pi, np.abs(view.element("unit", "stroke"))


def beyond(part: Part, view: View, ends: tuple[str, str]) -> Array:
    """How far outside its table a part works: share of the end passed, of the worst axis."""
    table = table_of(part)
    worst = np.zeros(view.variants)
    if table is None:
        return worst
    for axis, asked in zip(table.axes, _asked(part, view, ends), strict=True):
        over = asked / axis[-1] - 1.0 if axis[-1] > 0.0 else np.where(asked > 0.0, 1.0, 0.0)
        under = 1.0 - asked / axis[0] if axis[0] > 0.0 else np.zeros(view.variants)
        worst = np.maximum(worst, np.maximum(over, under))
    return np.where(worst > ROUNDING, worst, 0.0)


def cautions(part: Part, view: View, ends: tuple[str, str]) -> list[tuple[Caution, ...]]:
    """Say where a part works outside its table: there the edge was taken, not more.

    Say as well where oil pressed together takes more than its volumetric efficiency allows.
    """
    table = table_of(part)
    if table is None:
        return _all_by_pressing(part, view)
    outside, asked = beyond(part, view, ends) > 0.0, _asked(part, view, ends)
    found: list[tuple[Caution, ...]] = []
    for i in np.arange(view.variants):
        rows = [
            f"{name.partition('_')[0]} {_figure(one[i], unit)} "
            f"(the table has {axis[0]:g} to {_figure(axis[-1], unit)})"
            for name, unit, axis, one in zip(AXES, UNITS, table.axes, asked, strict=True)
            if one[i] > axis[-1] * (1.0 + ROUNDING) or one[i] < axis[0] * (1.0 - ROUNDING)
        ]
        message = f"{part.name} works {OUTSIDE}: {', '.join(rows)}"
        remedy = "measure there, or change the step; losses are held at the edge of the table"
        caution = Caution("loss-table-exceeded", message, remedy)
        found.append((caution,) if outside[i] else ())
    return found


def _all_by_pressing(part: Part, view: View) -> list[tuple[Caution, ...]]:
    taken = np.broadcast_to(_pressed_oil.share(part, view), (view.variants,))
    lost = 1.0 - np.asarray(view.value("volumetric"))
    if not part.given("volumetric"):
        return [()] * view.variants
    message = f"{part.name} loses more by pressing its oil together than all that"
    message += f" 'volumetric {part.figures['volumetric'].text}' leaves to be lost"
    caution = Caution("loss-by-compression", message, "look at 'dead volume' and 'volumetric'")
    over = taken > lost + ROUNDING
    return [(caution,) if over[i] else () for i in range(view.variants)]


def _figure(value: float, unit: str) -> str:
    return f"{value:.4g} {unit}".rstrip()


@dataclass(frozen=True)
class Losses:
    """What a part writes: coefficients of its rotary unit, leakage [m3/(s Pa)] across the
    unit and to its case, turbulent slip [m3/(s Pa^0.5)]."""

    unit: dict[str, Value]
    across: Array
    to_case: Array
    turbulent: Array


def losses(part: Part, net: Net, word: str, full: Array, speed: Value, motor: bool) -> Losses:
    """Give the losses of a unit without a table; ``full`` [m3/rad], ``speed`` of the test [rad/s].

    In order: clearances, coefficients, efficiencies at a test point (Wilson's form), or
    efficiencies that hold everywhere where the text says so.
    """
    none = np.zeros(net.variants)
    ev, em = np.asarray(net.value("volumetric")), np.asarray(net.value("mechanical"))
    if part.says(EVERYWHERE):
        return Losses({"volumetric": ev, "mechanical": em}, none, none, none)
    worn = np.asarray(net.value("wear")) ** 3
    dp, w = np.asarray(net.value("test pressure")), np.asarray(speed)
    thick = net.oil.nu / np.asarray(net.value("test oil"))
    turbulent = none
    if net.value_of("turbulent slip coefficient") is not None:
        share = np.asarray(net.value("turbulent slip coefficient"))
        turbulent = share * full ** (2 / 3) * np.sqrt(2.0 / net.oil.rho) + none
    unit = _torque(net, part, full, dp, w, thick, 1.0 - em if motor else 1.0 / em - 1.0)
    unit |= _pressed_oil.coefficients(part, net)
    if _clearances.given(part):
        across, to_case = _clearances.leakage(net, part)
        return Losses(unit, across * worn, to_case * worn, turbulent)
    if net.value_of("slip coefficient") is not None and not part.given("volumetric"):
        whole = np.asarray(net.value("slip coefficient")) * full / net.oil.mu
    else:
        lost = 1.0 / ev - 1.0 if motor else 1.0 - ev
        # what pressing the oil together takes is in the efficiency already
        lost = np.maximum(lost - _pressed_oil.share(part, net), 0.0)
        whole = lost * full * w / dp / thick
    across, to_case = split_slip(net, whole * worn, CONSTRUCTIONS[word].to_case, worn)
    return Losses(unit, across, to_case, turbulent)


def _torque(
    net: Net, part: Part, full: Array, dp: Array, w: Array, thick: Array, lost: Array
) -> dict[str, Value]:
    found: dict[str, Value] = {}
    if not _by_coefficients(part, net):
        found |= lost_torque(full, lost, dp, w, thick)
    else:
        found["drag"] = np.asarray(net.value("drag coefficient")) * full * net.oil.mu
        found["rub"] = np.asarray(net.value("friction coefficient")) * full
    constant = net.value_of("constant torque")
    if constant is not None:
        found["stick"] = constant
    return found


def _by_coefficients(part: Part, of: Net | View) -> bool:
    """Whether drag and friction come from coefficients, not from an efficiency."""
    known = [of.value_of(name) is not None for name in ("drag coefficient", "friction coefficient")]
    return all(known) and not part.given("mechanical")


def constant_torque(part: Part, of: Net | View, full: Array, motor: bool) -> Array:
    """Torque lost at any load and speed [N m]; ``full`` [m3/rad]."""
    given = of.value_of("constant torque")
    if given is not None:
        return np.broadcast_to(np.asarray(given, dtype=float), (of.variants,))
    if _by_coefficients(part, of):
        return np.zeros(of.variants)
    em = np.asarray(of.value("mechanical"))
    lost = 1.0 - em if motor else 1.0 / em - 1.0
    share: Array = TORQUE_SPLIT[2] * lost * full * np.asarray(of.value("test pressure"))
    return share


def lost_torque(full: Array, lost: Array, dp: Value, w: Value, thick: Array) -> dict[str, Value]:
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


def split_slip(net: Net, whole: Array, to_case: float, worn: Value = 1.0) -> tuple[Array, Array]:
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
    case = np.asarray(given) / np.asarray(net.value("case drain pressure")) * thin * worn
    return np.maximum(whole - case, 0.0), np.broadcast_to(case, whole.shape)


def per_radian(displacement: Value) -> Array:
    """Displacement per radian [m3/rad] from that per turn."""
    full: Array = np.asarray(displacement, dtype=float) / (2.0 * math.pi)
    return full
