"""The result as JSON for other programs: one version number, SI, the unit in every key."""

from __future__ import annotations

import json
import math
from typing import Any

from circuitcheck.basics.findings import Finding, Number
from circuitcheck.basics.places import Place
from circuitcheck.basics.quantities import SI_NAME
from circuitcheck.circuit.model import BlockUse, Circuit
from circuitcheck.reports.claims import Verdict
from circuitcheck.reports.result import Result
from circuitcheck.solver.operating import OperatingPoint, PartState

FORMAT, VERSION = "circuitcheck-result", 1
"""Keys may be added within a version; a key that changes or goes makes the next one."""

Json = dict[str, Any]


def dump(result: Result) -> str:
    """Give a result as JSON text; what is not known is null."""
    return json.dumps(as_data(result), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_data(result: Result) -> Json:
    """Give a result as nested dictionaries and lists, ready for `json.dumps`."""
    circuit = result.circuit
    return {
        "format": FORMAT,
        "version": VERSION,
        "program": {"name": "circuitcheck", "version": result.version},
        "file": result.file,
        "understood": circuit is not None,
        "solved": result.solved,
        "circuit": None if circuit is None else _circuit(circuit),
        "steps": [_point(point, result.solution.circuit) for point in result.points]
        if result.solution
        else [],
        "findings": [finding_data(finding) for finding in result.findings],
        "accepted": [
            {"finding": finding_data(one.finding), "reason": one.reason} for one in result.accepted
        ],
        "not_checked": [
            {"slug": left.slug, "component": left.component, "missing": left.missing}
            for left in result.not_checked
        ],
        "claims": [_claim(verdict) for verdict in result.claims],
    }


def key(name: str, quantity: str) -> str:
    """Key of a figure: its name, then its SI unit."""
    return f"{name.replace(' ', '_')}_{SI_NAME[quantity]}"


def _figure(value: float | None) -> float | None:
    return value if value is not None and math.isfinite(value) else None


def _circuit(circuit: Circuit) -> Json:
    return {
        "title": circuit.title,
        "issue": circuit.issue,
        "oil": {"name": circuit.oil.name, "family": circuit.oil.family},
        "assumptions": [
            {"component": a.part, "name": a.name, "text": a.text, "origin": a.origin,
             "source": a.source}
            for a in circuit.assumptions
        ],
        "blocks": [_block(use) for use in circuit.blocks],
        "not_used": [
            {"chapter": unused.chapter, "text": unused.text, "place": _place(unused.place)}
            for unused in circuit.unused
        ],
    }  # fmt: skip


def _block(use: BlockUse) -> Json:
    return {
        "name": use.name,
        "block": use.block,
        "components": list(use.parts),
        "ports": [{"port": port, "junction": name or None} for port, name in use.ports.items()],
        "place": _place(use.place),
    }


def _point(point: OperatingPoint, circuit: Circuit) -> Json:
    shown = point.success
    return {
        "name": point.step.name,
        "solved": shown,
        "message": point.message,
        "duration_s": _figure(point.duration),
        "oil": {
            "temperature_degC": point.oil_degC,
            "viscosity_m2_per_s": _figure(point.nu),
            "density_kg_per_m3": _figure(point.rho),
        },
        "junctions": _junctions(point, circuit) if shown else [],
        "components": [_part(state) for state in point.parts.values()] if shown else [],
        "shafts": [
            {
                "name": name,
                "speed_rad_per_s": _figure(shaft.speed),
                "torque_N_m": _figure(shaft.torque),
                "power_W": _figure(shaft.power),
            }
            for name, shaft in point.shafts.items()
        ]
        if shown
        else [],
        "totals": {
            "input_W": _figure(point.totals.input),
            "useful_W": _figure(point.totals.useful),
            "loss_W": _figure(point.totals.loss),
            "cooled_W": _figure(point.totals.cooled),
        }
        if shown
        else None,
        "balance": {
            "worst_imbalance_m3_per_s": _figure(point.imbalance),
            "power_error_1": _figure(point.power_error),
        },
        "solver": {
            "method": point.method,
            "iterations": point.iterations,
            "last_step_Pa": _figure(point.step_norm * 1e5),
        },
        "others": [
            {
                "component": other.part,
                "start": other.start,
                "given_start": other.given_start,
                "stable": other.stable,
                "given_stable": other.given_stable,
                "point": _point(other.point, circuit),
            }
            for other in point.others
        ],
    }


def _junctions(point: OperatingPoint, circuit: Circuit) -> list[Json]:
    return [
        {
            "name": name,
            "ports": [str(end) for end in circuit.junctions[name].ends],
            "pressure_Pa": _figure(state.pressure),
            "status": state.status,
        }
        for name, state in point.junctions.items()
    ]


def _part(state: PartState) -> Json:
    return {
        "name": state.name,
        "kind": state.kind,
        "state": state.state,
        "ports": [
            {
                "port": letter,
                "pressure_Pa": _figure(port.pressure),
                "flow_m3_per_s": _figure(port.flow),
            }
            for letter, port in state.ports.items()
        ],
        "values": {
            key(name, state.quantities[name]): _figure(value)
            for name, value in state.values.items()
        },
        "loss_W": _figure(state.loss),
    }


def finding_data(finding: Finding) -> Json:
    """Give a finding with those that it explains."""
    return {
        "slug": finding.slug,
        "severity": finding.severity.value,
        "message": finding.message,
        "why": finding.why,
        "remedy": finding.remedy,
        "source": finding.source,
        "component": finding.component,
        "port": finding.port,
        "step": finding.step,
        "place": _place(finding.place),
        "numbers": [_number(number) for number in finding.numbers],
        "notes": [{"message": n.message, "place": _place(n.place)} for n in finding.notes],
        "consequences": [finding_data(below) for below in finding.consequences],
    }


def _number(number: Number) -> Json:
    return {"name": number.name, key("value", number.quantity): _figure(number.value)}


def _place(place: Place) -> Json | None:
    if not place.line:
        return None
    return {
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "end_line": place.end_line,
        "end_column": place.end_column,
    }


def _claim(verdict: Verdict) -> Json:
    return {
        "chapter": verdict.chapter,
        "subject": verdict.subject,
        "what": verdict.what,
        "step": verdict.step,
        key("claimed", verdict.quantity): _figure(verdict.claimed),
        key("computed", verdict.quantity): _figure(verdict.computed),
        "wish": verdict.wish,
        "verdict": verdict.word,
        "formula": verdict.formula,
        "place": _place(verdict.place),
    }
