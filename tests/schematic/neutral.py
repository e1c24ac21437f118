"""Neutral netlists (JSON) to netlists of ours, and our drawings back to the neutral form."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from circuitcheck.basics.shapes import rectangle
from circuitcheck.schematic import Drawing, Item, Net, Netlist
from circuitcheck.symbols import Anchor, Symbol

CASES = Path(__file__).parent / "cases"
KIND = {
    "tank": "tank",
    "prime_mover": "electric motor",
    "pump": "pump",
    "pump_ls": "pump",
    "relief": "relief",
    "check": "check",
    "gauge": "gauge",
    "filter_return": "filter",
    "cooler": "cooler",
    "orifice": "orifice",
    "compensator": "compensator",
    "valve43": "valve",
    "valve32": "valve",
    "valve_ls": "valve",
    "shuttle": "shuttle",
    "oneway": "throttle",
    "cbv_dual": "counterbalance",
    "cylinder": "cylinder",
    "motor": "motor",
}
KIND_OF_ROLE = {
    "tank": "tank",
    "prime_mover": "electric motor",
    "pump": "pump",
    "relief": "relief",
    "check": "check",
    "gauge": "gauge",
    "filter": "filter",
    "cooler": "cooler",
    "accumulator": "accumulator",
    "compensator": "compensator",
    "valve": "valve",
    "shuttle": "shuttle",
    "flow_control": "throttle",
    "counterbalance": "counterbalance",
}
"""For types that are not listed: what a symbol of that role is drawn as."""


def kind_of(raw: dict[str, Any]) -> str:
    """Give the kind of a neutral symbol; an actuator without ports at its sides is a cylinder."""
    if raw["type"] in KIND:
        return KIND[raw["type"]]
    if raw["role"] == "actuator":
        sides = {p["side"] for p in raw["ports"].values()}
        return "motor" if sides & {"E", "W"} else "cylinder"
    return KIND_OF_ROLE.get(raw["role"], "orifice")


def load(name: str) -> dict[str, Any]:
    return json.loads((CASES / f"{name}.json").read_text(encoding="utf-8"))


def to_netlist(case: dict[str, Any]) -> Netlist:
    items = []
    for order, raw in enumerate(case["symbols"]):
        ports = {name: Anchor(p["x"], p["y"], p["side"]) for name, p in raw["ports"].items()}
        may = raw.get("may", [])
        symbol = Symbol(
            (rectangle(0, 0, raw["w"], raw["h"]),),
            ports,
            (0, 0, raw["w"], raw["h"]),
            may_mirror="mirror" in may,
            may_turn="turn" in may,
        )
        items.append(Item(raw["id"], kind_of(raw), symbol, (), order, labelled=False))
    nets = [
        Net(n["id"], n["kind"], tuple(tuple(p.rsplit(".", 1)) for p in n["pins"]))
        for n in case["nets"]
    ]
    return Netlist(tuple(items), tuple(nets))


def to_neutral(drawing: Drawing, case: dict[str, Any]) -> dict[str, Any]:
    layout = drawing.layout
    raw = {s["id"]: s for s in case["symbols"]}
    symbols, wires = [], []
    for body in layout.bodies.values():
        symbols.append(_symbol(body.id, body.symbol, raw[body.id]))
        for mark in body.marks:
            key = f"{mark.tank}@{body.id}.{mark.port}"
            first = not any(s["id"] == mark.tank for s in symbols)
            copy = _symbol(mark.tank if first else key, mark.symbol, raw[mark.tank])
            if not first:
                copy["copy_of"] = mark.tank
            symbols.append(copy)
            net = next(n["id"] for n in case["nets"] if f"{body.id}.{mark.port}" in n["pins"])
            wires.append({"net": net, "points": [list(p) for p in mark.line]})
    for line in layout.lines:
        wires += [{"net": line.net.id, "points": [list(p) for p in way]} for way in line.ways]
    wires += [{"net": net.id, "points": [list(a), list(b)]} for net, a, b in layout.shafts]
    return {
        "name": case["name"],
        "module": 1,
        "symbols": symbols,
        "nets": case["nets"],
        "pairs": case.get("pairs", []),
        "wires": wires,
    }


def _symbol(key: str, symbol: Symbol, raw: dict[str, Any]) -> dict[str, Any]:
    x0, y0, x1, y1 = symbol.frame
    ports = {
        name: {"x": a.x - x0, "y": a.y - y0, "side": a.side} for name, a in symbol.anchors.items()
    }
    kept = {k: raw[k] for k in ("role", "rank", "repeatable") if k in raw}
    return {"id": key, "x": x0, "y": y0, "w": x1 - x0, "h": y1 - y0, "ports": ports, **kept}
