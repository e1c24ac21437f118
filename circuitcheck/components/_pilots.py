"""What moves a spool: pilot pressure that must suffice, a detent that pressure releases."""

from __future__ import annotations

import numpy as np

from circuitcheck.components._parts import Choice, Parameter, Part, Port, PortKind
from circuitcheck.laws._law import BAR
from circuitcheck.laws.net import Bools, Net
from circuitcheck.laws.smoothing import Array
from circuitcheck.laws.view import View

INTERNAL, EXTERNAL, LINES = "internal pilot", "external pilot", "pilots X and Y"
EXTERNAL_DRAIN = "external drain"

HOLD = 0.7
"""Share of the least pilot pressure under which a shifted spool falls back; common
practice, no source."""

CHOICES = (
    Choice("pilot supply", (INTERNAL, EXTERNAL, LINES)),
    Choice("pilot drain", ("internal drain", EXTERNAL_DRAIN)),
)

PARAMETERS = (
    Parameter("pilot", "pressure", "bar", "least pilot pressure that shifts it", least=1e4),
    Parameter("kick-out", "pressure", "bar", "pressure at P that releases the detent", least=BAR),
)


def supply(part: Part) -> str:
    """Where the pilot pressure comes from, empty for a valve that needs none."""
    said = part.choices.get("pilot supply", "")
    return said or (INTERNAL if part.given("pilot") else "")


def ports(part: Part) -> tuple[Port, ...]:
    """Pilot ports X and Y, where the valve has them."""
    found: list[Port] = []
    source = supply(part)
    if source in (EXTERNAL, LINES):
        text = "pilot that shifts to a" if source == LINES else "pilot supply"
        found.append(Port("X", PortKind.PILOT, text))
    if source == LINES:
        found.append(Port("Y", PortKind.PILOT, "pilot that shifts to b"))
    elif part.says(EXTERNAL_DRAIN):
        found.append(Port("Y", PortKind.DRAIN, "pilot drain"))
    return tuple(found)


def assumes(part: Part) -> dict[str, tuple[float, str]]:
    if not supply(part):
        return {}
    return {"pilot": (6.0 * BAR, "5 to 8 bar; common practice, no source")}


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    found: list[tuple[str, str, str]] = []
    if part.given("kick-out"):
        if supply(part):
            found.append(
                (
                    "kick-out",
                    f"{part.name} has a detent to kick out and is worked by pilot pressure",
                    "a kick-out belongs to a valve worked by hand: take one of the two away",
                )
            )
        elif not any(p.startswith("detent") for p in part.many.get("actuation", ())):
            found.append(
                ("kick-out", f"{part.name} has no detent to release", "add, for example:  detent")
            )
    if not any(port.letter == "P" for port in part.ports):
        needing = "kick-out" if part.given("kick-out") else "pilot supply"
        if part.given("kick-out") or supply(part) == INTERNAL:
            message = f"{part.name} has no port P to take pressure from"
            found.append((needing, message, f"say  {EXTERNAL}  and join port X"))
    if part.says(EXTERNAL_DRAIN) and supply(part) not in (INTERNAL, EXTERNAL):
        found.append(
            (
                "pilot drain",
                f"{part.name} has a pilot drain but no pilot stage",
                f"add  {INTERNAL}  or  {EXTERNAL}",
            )
        )
    return found


def pressure(part: Part, view: View) -> Array:
    """Pilot pressure that can shift the spool where it is ordered to, over its drain [Pa]."""
    if supply(part) == LINES:
        over = view.p("X") - view.p("Y")
        return np.where(np.array(view.position) == "b", -over, over)
    source = view.p("X") if supply(part) == EXTERNAL else view.p("P")
    if part.says(EXTERNAL_DRAIN):
        return source - view.p("Y")
    tanks = [view.p(letter) for letter in ("T", "T1", "T2") if letter in view.pressures]
    return source - (np.max(tanks, axis=0) if tanks else 0.0)


def away(part: Part, view: View) -> Bools:
    """Where the spool is ordered away from its rest."""
    rest = part.rest
    found: Bools = np.array([name != rest for name in view.position], dtype=bool)
    return found


def latch(part: Part, view: View) -> tuple[Bools, Bools]:
    """Shifted by its pilot pressure; for a valve with kick-out: kicked out."""
    kick = view.value_of("kick-out")
    if kick is None and not supply(part):
        never = np.zeros(view.variants, dtype=bool)
        return never, ~never
    ordered = away(part, view)
    if kick is not None:
        released = ordered & ((view.p("P") >= kick) | view.latched)
        return released, ~ordered
    there, least = pressure(part, view), np.asarray(view.value("pilot"))
    # once shifted, the fall of pressure that comes with shifting does not let it fall back
    return ordered & (there >= np.where(view.latched, HOLD * least, least)), ~ordered | (
        there < HOLD * least
    )


def shifted(part: Part, of: Net | View) -> Bools:
    """Where the spool can leave its rest."""
    if of.value_of("kick-out") is not None:
        return ~of.latched
    if supply(part):
        return of.latched
    everywhere: Bools = np.ones(of.variants, dtype=bool)
    return everywhere


def word(part: Part, view: View, i: int) -> str:
    """Where the spool stands in one variant, with what keeps it from its ordered position."""
    there = f"at {view.position[i]}"
    if view.position[i] == part.rest:
        if supply(part) == LINES:
            over = view.p("X")[i] - view.p("Y")[i]
            if abs(over) >= np.broadcast_to(view.value("pilot"), (view.variants,))[i]:
                return f"{there}, but pilot {'X' if over > 0.0 else 'Y'} shifts it"
        return there
    if shifted(part, view)[i]:
        return there
    if supply(part):
        return "not shifted: pilot short"
    return f"kicked out, at {part.rest}"
