"""Ports and usual positions of directional valves by their ways and positions: 4/3, 6/2."""

from __future__ import annotations

from circuitcheck.components._parts import Joints, Part, Port, PortKind

LETTERS = {
    "P": (PortKind.PRESSURE, "supply"),
    "T": (PortKind.RETURN, "to tank"),
    "T1": (PortKind.RETURN, "to tank, from A"),
    "T2": (PortKind.RETURN, "to tank, from B"),
    "A": (PortKind.WORK, "work port A"),
    "B": (PortKind.WORK, "work port B"),
}

SELECTED = {
    "A": (PortKind.WORK, "line A of the valve before it"),
    "B": (PortKind.WORK, "line B of the valve before it"),
    "A1": (PortKind.WORK, "line A of the first consumer"),
    "B1": (PortKind.WORK, "line B of the first consumer"),
    "A2": (PortKind.WORK, "line A of the second consumer"),
    "B2": (PortKind.WORK, "line B of the second consumer"),
}
"""Ports of a selector with six ways: one pair of lines to either of two consumers."""

PORTS = {
    2: ("P", "A"),
    3: ("P", "T", "A"),
    4: ("P", "T", "A", "B"),
    5: ("P", "T1", "T2", "A", "B"),
    6: ("A", "B", "A1", "B1", "A2", "B2"),
}

KNOWN = (
    (2, 2),
    (3, 2),
    (3, 3),
    (4, 2),
    (4, 3),
    (4, 4),
    (5, 2),
    (5, 3),
    (6, 2),
    (6, 3),
)
"""Ways and positions that a valve may have; a 4/4 has a float position beside the usual."""

ORDER = ("P", "A", "B", "T", "T1", "T2", "A1", "B1", "A2", "B2")
"""Ports in the order in which a passage names its two ends."""

FOUR_WAY_A: Joints = (("P", "A"), ("B", "T"))
FOUR_WAY_B: Joints = (("P", "B"), ("A", "T"))
FIVE_WAY_A: Joints = (("P", "A"), ("B", "T2"))
FIVE_WAY_B: Joints = (("P", "B"), ("A", "T1"))
FIRST: Joints = (("A", "A1"), ("B", "B1"))
SECOND: Joints = (("A", "A2"), ("B", "B2"))
FLOATING: Joints = (("A", "B", "T"),)


def ports(ways: int) -> tuple[Port, ...]:
    """Hydraulic ports of a valve with so many ways."""
    words = SELECTED if ways == 6 else LETTERS
    return tuple(Port(letter, *words[letter]) for letter in PORTS.get(ways, PORTS[4]))


def standard(ways: int, count: int, centre: Joints, shut_at_rest: bool) -> dict[str, Joints]:
    """Positions of the usual spool; its ``centre`` is written as for four ways."""
    if ways == 2:
        through: Joints = (("P", "A"),)
        return {"rest": () if shut_at_rest else through, "a": through if shut_at_rest else ()}
    if ways == 3:
        to_load: Joints = (("P", "A"),)
        to_tank: Joints = (("A", "T"),)
        if count == 3:
            return {"a": to_load, "centre": (), "b": to_tank}
        rest, other = (to_tank, to_load) if shut_at_rest else (to_load, to_tank)
        return {"rest": rest, "a": other}
    if ways == 6:
        middle: Joints = ()
        both = {"rest": FIRST, "a": SECOND}
        return both if count == 2 else {"a": FIRST, "centre": middle, "b": SECOND}
    one, other = (FIVE_WAY_A, FIVE_WAY_B) if ways == 5 else (FOUR_WAY_A, FOUR_WAY_B)
    if count == 2:
        return {"rest": other, "a": one}
    found = {"a": one, "centre": _with_two_tanks(centre) if ways == 5 else centre, "b": other}
    return found | {"float": FLOATING} if count == 4 else found


def _with_two_tanks(centre: Joints) -> Joints:
    """Give a centre to a valve whose A empties to T1 and whose B empties to T2."""
    found: list[tuple[str, ...]] = []
    for group in centre:
        if group == ("A", "B", "T"):
            found += [("A", "T1"), ("B", "T2")]
        elif group in (("A", "T"), ("B", "T")):
            found.append((group[0], "T1" if group[0] == "A" else "T2"))
        elif "T" in group:
            found.append((*(port for port in group if port != "T"), "T1", "T2"))
        else:
            found.append(group)
    return tuple(found)


def mistakes(part: Part) -> list[tuple[str, str, str]]:
    """A centre or a rest that these ways and positions do not have."""
    ways, count = part.ways or (4, 3)
    found = []
    centred = ways in (4, 5) and count > 2
    if "centre" in part.choices and not centred:
        message = f"{part.name}, a valve {ways}/{count}, has no {part.choices['centre']}"
        found.append(("centre", message, "valves 4/3, 4/4 and 5/3 have one; write  at centre ..."))
    if "rest" in part.choices and (ways > 3 or count > 2):
        message = f"{part.name}, a valve {ways}/{count}, is not {part.choices['rest']}"
        found.append(("rest", message, "that is said of valves 2/2 and 3/2"))
    if "spring centred" in part.many.get("actuation", ()) and count < 3:
        message = f"{part.name} is called spring centred and has two positions, no centre"
        found.append(("actuation", message, "write  spring return"))
    if len(part.positions) != count:
        names = ", ".join(part.positions)
        message = f"{part.name}, a valve {ways}/{count}, has {len(part.positions)} positions"
        found.append(("ways", f"{message}: {names}", "write as many positions as it has"))
    return found
