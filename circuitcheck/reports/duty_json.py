"""The duty cycle for programs: SI, the unit in every key, as `json_format.md` has it."""

from __future__ import annotations

import json
import math
from dataclasses import fields
from typing import Any

from circuitcheck.reports.result_json import key
from circuitcheck.studies.duty import Duty
from circuitcheck.studies.energy import Flow

FORMAT, VERSION = "circuitcheck-duty", 1

QUANTITIES = {
    "time": "time", "input": "power", "useful": "power", "loss": "power", "stored": "power",
    "mean": "power", "rms": "power", "peak": "power", "rated": "power", "electrical": "power",
    "rms_torque": "torque", "peak_torque": "torque", "load": "share", "heating": "share",
    "start": "volume", "least": "volume", "most": "volume", "turned": "volume",
    "gain": "volume", "low": "pressure", "high": "pressure", "allowed_least": "volume",
    "allowed_most": "volume", "returning": "flow", "made": "power",
    "ambient": "temperature", "missing": "power", "walls": "area", "volume": "volume",
}  # fmt: skip
"""Quantities of the figures, by their names in the studies."""


def dump_duty(duty: Duty, file: str, version: str) -> str:
    """Give a duty cycle as JSON text; what is not known is null."""
    data = {
        "format": FORMAT,
        "version": VERSION,
        "program": {"name": "circuitcheck", "version": version},
        "file": file,
        "oil_temperature_degC": duty.degC,
        "oil_temperature_is": duty.origin,
        "viscosity_m2_per_s": duty.nu,
        "cycle_time_s": duty.time,
        "pieces": duty.pieces,
        "steps": [_row(step) for step in duty.steps],
        "energy": {
            "in": [_flow(flow, duty) for flow in duty.flows.into],
            "out": [_flow(flow, duty) for flow in duty.flows.out],
            "open_share_1": duty.flows.error,
        },
        "drives": [_row(drive) for drive in duty.drives],
        "strokes": [
            {"step": s.step, "part": s.part, key("way", s.quantity): s.way, "time_s": s.time}
            for s in duty.strokes
        ],
        "stores": [_row(store) for store in duty.stores],
        "tanks": [_row(tank) for tank in duty.tanks],
        "heat": _heat(duty),
        "remarks": list(duty.remarks),
    }
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _heat(duty: Duty) -> dict[str, Any]:
    rows, warming = duty.heat.balance, duty.warming
    return {
        "settles_degC": duty.heat.degC,
        "runs_away_degC": duty.heat.runs_away,
        "made_W": _figure(duty.made),
        "taken_W": duty.taken,
        "walls_estimated_m2": duty.estimated,
        "balance": {
            "oil_degC": [float(v) for v in rows.degC],
            "made_W": [_figure(float(v)) if k else None for v, k in _known(rows.made, rows)],
            "taken_W": [_figure(float(v)) if k else None for v, k in _known(rows.shed, rows)],
        },
        "warming": None
        if warming is None
        else {
            "capacity_J_per_K": warming.capacity,
            "half_of_the_rise_s": warming.share(0.5),
            "nine_tenths_of_the_rise_s": warming.share(0.9),
        },
        "to_hold": None
        if duty.needed is None
        else _row(duty.needed) | {"exchange_W_per_K": duty.needed.exchange},
    }


def _known(row: Any, rows: Any) -> Any:
    return zip(row, rows.known, strict=True)


def _flow(flow: Flow, duty: Duty) -> dict[str, Any]:
    return {
        "part": flow.part,
        "as": flow.kind,
        "mean_power_W": flow.power,
        "energy_J": flow.power * duty.time,
    }


def _row(thing: Any) -> dict[str, Any]:
    """Give a row of a study; figures get the SI unit into their key."""
    found: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if field.name == "degC":
            found["oil_degC"] = value
        elif field.name in QUANTITIES:
            found[key(field.name, QUANTITIES[field.name])] = _figure(value)
        elif isinstance(value, str):
            found[field.name] = value
        elif isinstance(value, dict):
            found[f"{field.name}_W"] = value
    return found


def _figure(value: float | None) -> float | None:
    return float(value) if value is not None and math.isfinite(value) else None
