"""Pressure switch: makes at its setting, breaks a differential below it; takes no oil."""

from __future__ import annotations

import numpy as np

from circuitcheck.components import _instruments
from circuitcheck.components._common import pressure_data
from circuitcheck.components._parts import Choice, Figures, Kind, Parameter, Part, Result
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Bools
from circuitcheck.laws.view import View

DIFFERENTIAL = 0.1
"""Switching differential as a share of the setting; 5 to 15 %, common practice, no source."""


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    setting = part.figure("set")
    if setting is None:
        return {}
    return {
        "differential": (
            DIFFERENTIAL * setting,
            "10 % of the setting; 5 to 15 %, common practice, no source",
        )
    }


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    gap, setting = part.figures.get("differential"), part.figures.get("set")
    if gap and setting and gap.value >= setting.value:
        return [
            (
                "differential",
                f"{part.name} would never break: it makes at {setting.text} and breaks "
                f"{gap.text} lower",
                "the differential is less than the setting",
            )
        ]
    return []


def latch(part: Part, view: View) -> tuple[Bools, Bools]:
    """It makes at the setting and breaks below setting less differential."""
    setting = np.asarray(view.value("set"))
    breaks = setting - np.asarray(view.value("differential"))
    return view.p("M") >= setting, view.p("M") < breaks


def results(part: Part, view: View) -> dict[str, Figures]:
    setting = np.broadcast_to(np.asarray(view.value("set"), dtype=float), (view.variants,))
    breaks = setting - np.asarray(view.value("differential"))
    return {
        "pressure": view.p("M"),
        "switches at": np.where(view.latched, breaks, setting),
    }


def state(part: Part, view: View) -> list[str]:
    breaking = part.says("breaks at setting")
    return view.words(lambda i: "contact made" if view.latched[i] != breaking else "contact broken")


KINDS = (
    Kind(
        word="pressure switch",
        text="Changes its contact when the pressure reaches the setting, and back when it has "
        "fallen by the differential; it stays as it is between.",
        ports=_instruments.PORTS,
        parameters=(
            Parameter(
                "set",
                "pressure",
                "bar",
                "rising pressure at which it switches",
                needed=True,
                bare=True,
                least=0.05 * BAR,
                most=2000 * BAR,
            ),
            Parameter(
                "differential",
                "pressure",
                "bar",
                "how far the pressure falls until it switches back",
                least=0.01 * BAR,
                most=1000 * BAR,
                source="5 to 15 % of the setting; common practice, no source",
            ),
            *pressure_data(),
        ),
        choices=(Choice("contact", ("makes at setting", "breaks at setting")),),
        assumes=assumes,
        mistakes=mistakes,
        results=results,
        state=state,
        latch=latch,
        measures=(
            Result("pressure", "pressure", "pressure at the switch"),
            Result("switches at", "pressure", "pressure at which it switches next"),
        ),
        law_text=(
            "q = 0",
            "on in the step after its upper pressure is reached, off after its lower one is passed",
        ),
        sources=("two switching pressures; no flow",),
    ),
)
