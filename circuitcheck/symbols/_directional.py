"""Draws the squares of a directional valve from its positions, and its actuators."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from circuitcheck.symbols._parts import Anchor, Look, port

_BELOW = ("P", "LS", "T", "in", "R")
_SIX = {"P": (-3, 1), "N": (0, 1), "T": (2, 1), "A": (-3, -1), "NO": (0, -1), "B": (2, -1)}
"""Places of the six ports of an open-centre section: NO fits between two of them."""
_FIVE = {"T1": (-2, 1), "P": (0, 1), "T2": (2, 1), "A": (-1, -1), "B": (1, -1)}
"""Places of a valve with a tank port on either side of its supply."""
_SELECTOR = {
    "A": (-2, 1), "B": (2, 1), "A1": (-4, -1), "A2": (-1, -1), "B2": (1, -1), "B1": (4, -1),
}  # fmt: skip
"""Places of a selector: the pair of lines below, the two consumers above."""
_WIDTHS = {"LS": 6, "NO": 8, "T1": 6, "A1": 10}
"""Squares that are wider than 4 M, by a port that tells them."""
_LETTERED = 2
"""What a square with LS needs more where letters stand at its leads [M]."""
_DASHED = ("LS", "X", "Y")
_PILOTS = ("X", "Y")
_COILS = {"SO": (1.5, 1.75), "PS": (0.75, 1.75)}
"""Elements of a solenoid, and how far out and above its middle its letter stands [M]."""
_BETWEEN = ("open in transit", "closed in transit")
"""What joins the ports while the spool passes from one position to the next."""
Places = dict[str, tuple[float, int]]
"""Port -> x about the middle of its square, and +1 below or -1 above."""
Positions = Mapping[str, tuple[tuple[str, ...], ...]]


def directional(look: Look, *, leads: bool = True, reach: int = 4) -> tuple[str, dict[str, Anchor]]:
    """Give build string and anchors of a valve, its rest square about the origin.

    With two positions the other square is on the left, with three the rest is the middle
    one, a fourth stands on the far right. ``reach`` is where leads downwards end.
    ValueError if there are not two to four positions.
    """
    if len(look.positions) not in (2, 3, 4):
        raise ValueError(f"a valve has 2 or 3 positions, not {len(look.positions)}")
    names = list(look.positions)
    rest = look.rest if look.rest in names else names[len(names) // 2]
    wide = max([4, *(w for port, w in _WIDTHS.items() if port in look.ports)])
    wide += _LETTERED if leads and "LS" in look.ports else 0
    places = port_places((name for name in look.ports if name not in _PILOTS), wide)
    between = next((b for b in _BETWEEN if look.chosen(b)), "")
    pitch = 2 * wide if between else wide
    shift = spool_shift(look.positions, rest, look.shown, pitch)
    middles = {n: x + shift for n, x in _middles(look.positions, rest, pitch).items()}
    left_edge, right_edge = min(middles.values()) - wide / 2, max(middles.values()) + wide / 2
    text = [_square(x, wide, places, look.positions[n]) for n, x in middles.items()]
    if between:
        every = (tuple(places),) if between == _BETWEEN[0] else ()
        text += [
            _square(x + wide, wide, places, every, passing=True)
            for x in sorted(middles.values())[:-1]
        ]
    actuators = _actuators(_stages(look), left_edge, right_edge, len(names))
    text += actuators
    if leads and "servo" not in look.actuation:
        text += _coil_letters(actuators)
    anchors: dict[str, Anchor] = {}
    for name, (x, side) in places.items():
        dashed = name in _DASHED
        end = reach if side > 0 else -4
        if leads:
            text.append(f"{'D' if dashed else 'L'} {x},{2 * side} {x},{end}")
            anchors[name] = port(x, end, "S" if side > 0 else "N", dashed)
    if leads:
        text += _pilot_leads(look, left_edge, right_edge, reach, anchors)
    return "; ".join(text), anchors


def _middles(positions: Positions, rest: str, pitch: int) -> dict[str, int]:
    """Place the squares: the rest one in the middle, a fourth one on the far right."""
    others = [name for name in positions if name != rest]
    return dict(zip([rest, *others], (0, -pitch, pitch, 2 * pitch), strict=False))


def spool_shift(positions: Positions, rest: str, shown: str, wide: int) -> int:
    """Give how far the squares are pushed to the right for a position to stand at the lines."""
    return -_middles(positions, rest, wide).get(shown, 0)


def vented(positions: Positions, rest: str) -> Positions:
    """Join the sensing port to tank in the rest position."""
    if rest not in positions or any("LS" in group for group in positions[rest]):
        return positions
    return {**positions, rest: (*positions[rest], ("LS", "T"))}


def _stages(look: Look) -> tuple[str, ...]:
    """How the valve is operated, pilot stages among it."""
    piloted = look.chosen("internal pilot") or look.chosen("external pilot")
    if look.chosen("pilots X and Y"):
        return (*look.actuation, "pilots")
    if piloted or "pilot" in look.has:
        return (*look.actuation, "stages")
    return look.actuation


def _pilot_leads(
    look: Look, left: float, right: float, reach: int, anchors: dict[str, Anchor]
) -> list[str]:
    """Lead the pilot ports out: sideways where they shift the spool, else downwards."""
    text: list[str] = []
    if look.chosen("pilots X and Y"):
        for name, x, way in (("X", left, -1), ("Y", right, 1)):
            anchors[name] = port(x + 5 * way, -1, "W" if way < 0 else "E", dashed=True)
            text.append(f"D {x + 2 * way},-1 {x + 5 * way},-1")
        return text
    if "X" in look.ports:
        anchors["X"] = port(left - 1, reach, "S", dashed=True)
        text.append(f"D {left - 1},0 {left - 1},{reach}")
    if "Y" in look.ports:
        anchors["Y"] = port(right + 1, reach, "S", dashed=True)
        text.append(f"D {right + 1},1.5 {right + 1},{reach}")
    return text


def port_places(ports: Iterable[str], wide: int = 6) -> Places:
    """Put the ports on the sides of a square: supply and tank below, work ports above.

    With LS between supply and tank the outer ones stand 1 M inside a square so ``wide``.
    """
    listed = list(ports)
    for telling, known in (("NO", _SIX), ("T1", _FIVE), ("A1", _SELECTOR)):
        if telling in listed:
            return {name: known[name] for name in listed}
    below = [p for p in listed if p in _BELOW]
    above = [p for p in listed if p not in _BELOW]
    alone = len(below) == 1 and len(above) == 1
    places: Places = {}
    for row, side in ((below, 1), (above, -1)):
        half = wide // 2 - 1 if "LS" in listed else 1
        outer = max(half, 2)
        xs = [0] if alone else [-half, half] if len(row) < 3 else [-outer, 0, outer]
        order = sorted(row, key=lambda p: (_BELOW.index(p) if p in _BELOW else 0, p))
        places.update({name: (x, side) for name, x in zip(order, xs, strict=False)})
    return places


def _square(
    x: float,
    wide: int,
    places: Places,
    groups: tuple[tuple[str, ...], ...],
    *,
    passing: bool = False,
) -> str:
    """Draw a square with its paths; one that the spool only passes has dashed lines."""
    low, high = x - wide / 2, x + wide / 2
    text = [f"R {low},-2 {wide} 4"]
    if passing:
        text = [f"D {low},-2 {high},-2", f"D {low},2 {high},2"]
    sensing = next((g for g in groups if "LS" in g), ())
    joined: set[str] = set(sensing)
    for group in groups:
        hydraulic = tuple(p for p in group if p in places and p != "LS")
        if len(hydraulic) >= 2:
            joined.update(hydraulic)
            text.append(_joined(x, places, hydraulic))
    if "LS" in places:
        joined.add("LS")
        text.append(_sensed(x, places, groups, vented="T" in sensing))
        if "T" in sensing:
            joined.add("T")
    for name, (px, side) in places.items():
        if name not in joined:
            text.append(f"XP({x + px},{2 * side}{'' if side > 0 else ',180'})")
    return "; ".join(text)


def _joined(x: float, places: Places, group: tuple[str, ...]) -> str:
    """Draw the path that joins the ports of one group inside a square at ``x``."""
    spots = [(x + places[p][0], 2 * places[p][1]) for p in group]
    if len(group) == 2:
        (ax, ay), (bx, by) = spots if group[0] != "T" else spots[::-1]
        if ay == by:
            return f"L {ax},{ay} {ax},{0.4 * ay} {bx},{0.4 * by} {bx},{by}"
        return f"V {ax},{ay} {bx},{by}"
    text = [f"L {px},{py} {px},0" for px, py in spots]
    xs = sorted({px for px, _ in spots})
    if len(xs) > 1:
        text.append(f"L {xs[0]},0 {xs[-1]},0")
    for px in xs:
        arms = sum(spot[0] == px for spot in spots) + (len(xs) > 1) + (xs[0] < px < xs[-1])
        if arms >= 3:
            text.append(f"jd({px},0)")
    return "; ".join(text)


def _sensed(x: float, places: Places, groups: tuple[tuple[str, ...], ...], *, vented: bool) -> str:
    """Draw the load-sensing path: to tank, or tapped off the supplied work line."""
    at, tank = x + places["LS"][0], x + places["T"][0]
    if vented:
        return f"L {at},2 {at},.75 {tank},.75 {tank},2"
    supplied = next((g for g in groups if "P" in g and len(g) >= 2), None)
    if supplied is None:
        return f"XP({at},2)"
    start = x + places["P"][0]
    end = x + places[next(p for p in supplied if p not in ("P", "LS"))][0]
    y = 0.75 if start == end else 1.33
    tap = start + (end - start) * (2 - y) / 4
    return f"L {tap:.2f},{y} {at},{y} {at},2; jd({tap:.2f},{y})"


def _actuators(actuation: tuple[str, ...], left: float, right: float, positions: int) -> list[str]:
    """Put the actuators against the ends; those that act in parallel stand one above another."""
    phrases = " | ".join(actuation)
    proportional = "proportional" in phrases or "servo" in phrases
    coil = "PS" if proportional else "SO"
    at_left: list[str] = []
    at_right: list[str] = []
    text: list[str] = []
    if proportional:
        text += [f"L {left},-2.5 {right},-2.5", f"L {left},2.5 {right},2.5"]
        if "solenoid" not in phrases:
            at_left.append(coil)
            if "servo" in phrases:
                # one coil pair; the place of the spool is measured and fed back
                text.append(f"SH({right},0); R {right + 2},-1 3 2; T {right + 3.5},0 S")
            elif positions >= 3:
                at_right.append(coil)
    both = "solenoids a and b" in phrases
    if both or "solenoid a" in phrases:
        at_left.append(coil)
    if both or "solenoid b" in phrases:
        at_right.append(coil)
    if "stages" in phrases:
        text += _staged(at_left, left, -1)
        if positions >= 3 or at_right:
            text += _staged(at_right, right, 1)
        return text + _springs(phrases, left, right, positions)
    if "pilot a" in phrases or "pilots" in phrases:
        at_left.append("HP")
    if "pilot b" in phrases or "pilots" in phrases:
        at_right.append("HP")
    for word, name in (("lever", "LV"), ("pedal", "PD"), ("push button", "PB"), ("roller", "RO")):
        if word in phrases:
            (at_right if positions >= 3 else at_left).append(name)
    if "detent" in phrases:
        at_left.append("DT")
    if "spring" in phrases and "detent" not in phrases:
        at_right.append("SP")
        if positions >= 3:
            at_left.append("SP")
    for stack, x, ending in ((at_left, left, ",m"), (at_right, right, "")):
        for name, y in zip(stack, _levels(stack), strict=True):
            text.append(f"{name}({x},{y}{ending})")
    return text


def _coil_letters(actuators: list[str]) -> Iterable[str]:
    """Write a and b above the solenoids, as the list of steps names them (ISO 9461, in part)."""
    for placed in actuators:
        name, _, where = placed.partition("(")
        if name in _COILS:
            x, y, *mirrored = where.rstrip(")").split(",")
            way, letter = (-1, "a") if mirrored else (1, "b")
            along, up = _COILS[name]
            yield f"T {float(x) + along * way},{float(y) - up} {letter}"


def _staged(coils: list[str], x: float, way: int) -> list[str]:
    """Draw a pilot stage between the square and its coil, or a stage alone."""
    ending = ",m" if way < 0 else ""
    found = [f"HP({x},-.5{ending})"]
    return found + [f"{coil}({x + 2 * way},-.5{ending})" for coil in coils]


def _springs(phrases: str, left: float, right: float, positions: int) -> list[str]:
    """Draw the springs under the pilot stages."""
    if "spring" not in phrases or "detent" in phrases:
        return []
    found = [f"SP({right},1.25)"]
    return [*found, f"SP({left},1.25,m)"] if positions >= 3 else found


def _levels(stack: list[str]) -> list[float]:
    if len(stack) < 2:
        return [0.0] * len(stack)
    if len(stack) == 2:
        return [-0.75, 1.25] if stack[0] == "PS" else [-1.0, 1.0]
    step = 3.0 / (len(stack) - 1)
    return [-1.5 + step * k for k in range(len(stack))]
