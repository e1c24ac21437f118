"""Branches of the upper band: which valve heads each, and their order from left to right."""

from __future__ import annotations

from circuitcheck.schematic.bodies import Body
from circuitcheck.schematic.case import Case
from circuitcheck.schematic.netlist import Hint
from circuitcheck.schematic.wishes import reorder_row


def branches(case: Case, hints: tuple[Hint, ...]) -> list[str]:
    """Name the valves that head a branch, from left to right as in the text, then by hints."""
    heads = [
        i
        for i in case.above()
        if case.items[i].role == "valve"
        and case.rows[i] == min(case.rows[k] for k in case.above() if case.items[k].role == "valve")
    ]
    heads = [i for i in heads if not _serves_others(case, i)]
    if not heads:
        heads = [i for i in case.above() if case.items[i].role == "actuator"]
    heads.sort(key=lambda i: case.items[i].order)
    for hint in hints:
        reorder_row(heads, _between_heads(case, heads, hint))
    for hint in sorted((h for h in hints if h.relation == "column"), key=lambda h: int(h.second)):
        moved = head_of(case, heads, hint.first)
        if moved:
            heads.remove(moved)
            heads.insert(int(hint.second) - 1, moved)
    return heads


def _between_heads(case: Case, heads: list[str], hint: Hint) -> Hint:
    """Let a wish about parts of two branches be one about the valves that head them."""
    if hint.relation not in ("left of", "right of") or set(hint.items) <= set(heads):
        return hint
    first, second = (head_of(case, heads, item) for item in hint.items)
    rows = {case.rows.get(item, -1) for item in hint.items}
    if first and second and first != second and len(rows) > 1:
        return Hint(first, hint.relation, second)
    return hint


def head_of(case: Case, heads: list[str], item: str) -> str:
    """Name the head of the branch to which an item of the upper band belongs, empty if none."""
    seen, waiting = {item}, [item]
    while waiting:
        here = waiting.pop(0)
        if here in heads:
            return here
        nets = [n for n in case.nets_of(here) if n.kind != "load_sense" and not case.is_rail(n)]
        for net in [*nets, *(s for s in case.shafts if any(i == here for i, _ in s.pins))]:
            fresh = [i for i, _ in net.pins if i in case.upper and i not in seen]
            seen.update(fresh)
            waiting += fresh
    return ""


def column_of(case: Case, bodies: dict[str, Body], item: str) -> int:
    """Give the column of the finished sheet in which an item stands, counted from the left."""
    heads = sorted(branches(case, ()), key=lambda i: bodies[i].middle()[0])
    own = head_of(case, heads, item)
    nearest = min(
        heads, key=lambda i: abs(bodies[i].middle()[0] - bodies[item].middle()[0]), default=item
    )
    return heads.index(own or nearest) + 1 if heads else 1


def _serves_others(case: Case, valve: str) -> bool:
    """Tell whether a valve has pilot lines only: it stands where the valves are that it shifts."""
    nets = case.nets_of(valve)
    return bool(nets) and all(net.kind in ("pilot", "drain") for net in nets)
