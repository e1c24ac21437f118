"""JSON for other programs: it keeps its schema, in SI, with nothing invented."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import jsonschema
import pytest

from circuitcheck.basics.folders import PACKAGE
from circuitcheck.basics.quantities import SI_NAME
from circuitcheck.pipeline import Project, parse
from circuitcheck.reports.result_json import as_data, key

SCHEMA: dict[str, Any] = json.loads((PACKAGE / "reports" / "schema.json").read_text("utf-8"))
PAGE = (PACKAGE / "reports" / "json_format.md").read_text("utf-8")


def whole(made: Project) -> Any:
    return json.loads(made.report("json"))


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("name", ["press", "wrong", "splitter", "small", "broken"])
def test_every_result_keeps_the_schema(name: str, request: pytest.FixtureRequest) -> None:
    jsonschema.Draft202012Validator(SCHEMA).validate(whole(request.getfixturevalue(name)))


def test_the_schema_refuses_a_figure_without_its_unit(press: Project) -> None:
    data = whole(press)
    junction = data["steps"][0]["junctions"][0]
    junction["pressure"] = junction.pop("pressure_Pa")
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(SCHEMA).validate(data)


def test_figures_are_those_of_the_solver_in_si(press: Project) -> None:
    squeeze = next(step for step in whole(press)["steps"] if step["name"] == "squeeze")
    point = press.point("squeeze")
    cylinder = next(part for part in squeeze["components"] if part["name"] == "C1")
    assert cylinder["state"] == "at end stop"
    assert cylinder["values"]["force_N"] == point["C1"].values["force"]
    assert squeeze["totals"]["input_W"] == point.totals.input
    ports = {port["port"]: port for port in cylinder["ports"]}
    assert ports["cap"]["pressure_Pa"] == point["C1"].ports["cap"].pressure


def test_every_figure_has_its_unit_in_its_key(press: Project) -> None:
    units = tuple(f"_{unit}" for unit in SI_NAME.values())
    bare: set[str] = set()

    def walk(data: Any, name: str = "") -> None:
        if isinstance(data, dict):
            for inner, value in data.items():
                walk(value, inner)
        elif isinstance(data, list):
            for value in data:
                walk(value, name)
        elif isinstance(data, float) and not name.endswith(units):
            bare.add(name)

    walk(as_data(press.check()))
    assert bare == set()
    assert key("shaft power", "power") == "shaft_power_W"


def test_what_is_not_known_is_null_and_never_nan(press: Project) -> None:
    idle = press.point("idle")
    assert math.isnan(idle["C1"].values["time"])
    data = whole(press)["steps"][0]
    cylinder = next(part for part in data["components"] if part["name"] == "C1")
    assert cylinder["values"]["time_s"] is None


def test_a_broken_text_gives_its_mistake_with_its_place(broken: Project) -> None:
    data = whole(broken)
    assert data["understood"] is False
    assert data["steps"] == []
    (mistake,) = data["findings"]
    assert mistake["severity"] == "error"
    assert (mistake["place"]["line"], mistake["place"]["file"]) == (6, "broken.hyc")


def test_the_page_about_the_format_names_every_key() -> None:
    names: set[str] = set()

    def walk(schema: Any) -> None:
        if isinstance(schema, dict):
            names.update(schema.get("properties", {}))
            for inner in schema.values():
                walk(inner)
        elif isinstance(schema, list):
            for inner in schema:
                walk(inner)

    walk(SCHEMA)
    missing = [n for n in names if not re.search(rf"[`\"]{re.escape(n)}[`\"]", PAGE)]
    assert sorted(missing) == []


def test_blocks_are_listed_with_their_parts_and_junctions() -> None:
    text = """
block guard, limit 200 bar
  ports P, T, X
  parts
    R1  relief, set (limit), 60 L/min
  lines
    from P to R1 P
    from R1 T to T
    from X to R1 T
end block
parts
  T1  tank, 60 L
  P1  pump, fixed, 16 cc/rev, 1450 rpm
  S1  guard, X plugged
lines
  from T1 to P1 S
  pressure  from P1 P to S1 P
  from S1 T to T1
"""
    data = whole(parse(text, "x.hyc"))
    jsonschema.Draft202012Validator(SCHEMA).validate(data)
    (block,) = data["circuit"]["blocks"]
    assert (block["name"], block["block"]) == ("S1", "guard")
    assert block["components"] == ["S1/R1"]
    ports = {port["port"]: port["junction"] for port in block["ports"]}
    joined = {j["name"]: j["ports"] for step in data["steps"] for j in step["junctions"]}
    assert "S1/R1 P" in joined[ports["P"]]
    assert ports["X"] == ports["T"]  # plugged outside, joined to T inside
    assert block["place"]["line"] == text.split("\n").index("  S1  guard, X plugged") + 1
