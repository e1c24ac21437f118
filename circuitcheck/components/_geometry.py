"""Displacement from dimensions: pistons on a swash plate, bent axis, eccentric; gears; vanes."""

from __future__ import annotations

import math

from circuitcheck.components._parts import Parameter, Part

PARAMETERS = (
    Parameter("pistons", "count", "", "number of pistons", least=1.0, most=50.0),
    Parameter("piston diameter", "length", "mm", "diameter of a piston", least=1e-3, most=0.5),
    Parameter(
        "pitch circle", "length", "mm", "diameter of the piston circle", least=1e-3, most=2.0
    ),
    Parameter(
        "swash angle",
        "angle",
        "deg",
        "swash plate, or bend of the axis, at full stroke; 15 to 21 and 25 to 45 deg are usual",
        least=0.01,
        most=0.9,
    ),
    Parameter(
        "offset", "length", "mm", "offset of the eccentric or cam ring", least=1e-5, most=0.2
    ),
    Parameter(
        "piston stroke",
        "length",
        "mm",
        "stroke of a radial piston, in place of an offset",
        least=1e-5,
        most=0.5,
    ),
    Parameter(
        "lobes",
        "count",
        "",
        "strokes of a radial piston a turn: lobes of its cam ring",
        default=1.0,
        least=1.0,
        most=30.0,
        source="one unless given: an eccentric or a crank",
    ),
    Parameter("gear outer", "length", "mm", "tip circle of a gear", least=1e-3, most=1.0),
    Parameter("gear inner", "length", "mm", "root circle of a gear", least=1e-3, most=1.0),
    Parameter("ring", "length", "mm", "bore of the cam ring", least=1e-3, most=1.0),
    Parameter("width", "length", "mm", "width of the gears or vanes", least=1e-4, most=1.0),
)

NEEDS = {
    "axial piston": ("pistons", "piston diameter", "pitch circle", "swash angle"),
    "bent axis": ("pistons", "piston diameter", "pitch circle", "swash angle"),
    "radial piston": ("pistons", "piston diameter", "offset"),
    "gear": ("gear outer", "gear inner", "width"),
    "vane": ("ring", "offset", "width"),
}
"""Dimensions that give the displacement of a construction."""

RADIAL = ("pistons", "piston diameter", "piston stroke")
"""The same of radial pistons of which the stroke is given."""

AGREES = 0.02
"""Share by which displacement and dimensions may differ; own choice, rounding of figures."""


def displacement(part: Part, word: str) -> float | None:
    """Displacement a turn [m3] from the dimensions given, None where some are missing.

    Swash plate: z (pi d^2/4) D tan(alpha); bent axis: sin; eccentric: z (pi d^2/4) 2 e;
    cam ring: z (pi d^2/4) s times its lobes; gears: pi b (Do^2 - Di^2)/4; vanes: 2 pi b D e,
    thickness of the vanes left out.
    """
    names = _needs(part, word)
    values = [part.figure(name) for name in names]
    known = [value for value in values if value is not None]
    if not names or len(known) < len(names):
        return None
    if word in ("axial piston", "bent axis"):
        count, diameter, circle, angle = known
        reach = math.tan(angle) if word == "axial piston" else math.sin(angle)
        return count * 0.25 * math.pi * diameter**2 * circle * reach
    if word == "radial piston":
        count, diameter, reach = known
        way = reach if names is RADIAL else 2.0 * reach
        return count * 0.25 * math.pi * diameter**2 * way * (part.figure("lobes") or 1.0)
    if word == "gear":
        outer, inner, width = known
        return 0.25 * math.pi * width * (outer**2 - inner**2)
    ring, offset, width = known
    return 2.0 * math.pi * width * ring * offset


def assumes(part: Part, word: str) -> dict[str, tuple[float, str]]:
    """Displacement, where the text gives dimensions in its place."""
    found = displacement(part, word)
    if found is None or part.given("displacement"):
        return {}
    return {"displacement": (found, f"from {', '.join(_needs(part, word))}")}


def _needs(part: Part, word: str) -> tuple[str, ...]:
    if word == "radial piston" and part.given("piston stroke"):
        return RADIAL
    return NEEDS.get(word, ())


def mistakes(part: Part, word: str, text: str) -> list[tuple[str, str, str]]:
    """Neither displacement nor dimensions, or two that contradict each other."""
    own, dimensions = part.figure("displacement"), displacement(part, word)
    gear = part.figure("gear outer"), part.figure("gear inner")
    if gear[0] is not None and gear[1] is not None and gear[0] <= gear[1]:
        message = f"'gear outer' of {part.name} is not larger than 'gear inner'"
        return [("gear outer", message, "look at the two figures")]
    if part.given("piston stroke") and part.given("offset"):
        message = f"{part.name} has its stroke twice: 'piston stroke' and 'offset'"
        return [("piston stroke", message, "the stroke is twice the offset; take one away")]
    if own is None:
        names = _needs(part, word)
        given = [name for name in names if part.given(name)]
        if given:
            missing = [name for name in names if not part.given(name)]
            message = f"{part.name} has no displacement, and its dimensions are not complete"
            return [(given[0], message, f"give {', '.join(missing)} too")]
        message = f"{part.name} needs 'displacement' ({text})"
        return [("displacement", message, "write, for example:  16 cc/rev")]
    if dimensions is not None and abs(dimensions - own) > AGREES * own:
        cc = f"{dimensions * 1e6:.4g} cc/rev"
        message = f"{part.name} has {part.figures['displacement'].text}, its dimensions give {cc}"
        return [("displacement", message, "one of them is wrong")]
    return []
