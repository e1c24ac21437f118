"""Forms that other programs read: SARIF by its schema, JUnit, CSV, Markdown."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from xml.etree import ElementTree as Xml

import jsonschema
import pytest

from circuitcheck import pipeline, reports
from circuitcheck.reports.result import Result
from tests.press_text import PRESS

SCHEMA = Path(__file__).parent / "schemas" / "sarif-2.1.0.json"

TEXT = PRESS + """\
claims within 3 %
  C1 speed 100 mm/s, in out
accepted
  idle-over-relief on P1, because "=five | seconds"
"""


@pytest.fixture(scope="module")
def result() -> Result:
    return pipeline.parse(TEXT, "my circuits/press.hyc").check()


@pytest.fixture(scope="module")
def wrong() -> Result:
    return pipeline.parse(TEXT.replace("16 cc/rev", "16"), "wrong.hyc").check()


def test_sarif_is_valid_by_its_schema(result: Result, wrong: Result) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    validator = jsonschema.Draft4Validator(schema)
    for results in ([result], [wrong], [result, wrong], []):
        data = json.loads(reports.as_listed(results, "sarif"))
        assert [error.message for error in validator.iter_errors(data)] == []


def test_sarif_points_to_the_line_and_marks_what_is_accepted(result: Result) -> None:
    (run,) = json.loads(reports.as_listed([result], "sarif"))["runs"]
    ids = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    for one in run["results"]:
        assert ids[one["ruleIndex"]] == one["ruleId"]
    accepted = [one for one in run["results"] if "suppressions" in one]
    assert [one["ruleId"] for one in accepted] == ["idle-over-relief"]
    assert accepted[0]["suppressions"][0]["justification"] == "=five | seconds"
    off = next(one for one in run["results"] if one["ruleId"] == "claim-off")
    place = off["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "my%20circuits/press.hyc"
    assert TEXT.splitlines()[place["region"]["startLine"] - 1].strip().startswith("C1 speed")


def test_junit_counts_what_it_lists(result: Result, wrong: Result) -> None:
    root = Xml.fromstring(reports.as_listed([result, wrong], "junit"))
    suites = root.findall("testsuite")
    assert [suite.get("name") for suite in suites] == ["my circuits/press.hyc", "wrong.hyc"]
    for suite in suites:
        assert suite.get("tests") == str(len(suite.findall("testcase")))
        assert suite.get("failures") == str(len(suite.findall("testcase/failure")))
        assert suite.get("skipped") == str(len(suite.findall("testcase/skipped")))
    failed = {case.get("name") for case in suites[0].findall("testcase[failure]")}
    assert "closed-centre-on-fixed-pump" in failed
    assert "idle-over-relief" not in failed
    assert suites[1].get("failures") != "0"


def test_csv_gives_a_line_per_finding_and_no_formula(result: Result) -> None:
    rows = list(csv.DictReader(io.StringIO(reports.as_listed([result], "csv"))))
    assert {"closed-centre-on-fixed-pump", "claim-off", "idle-over-relief"} <= {
        row["rule"] for row in rows
    }
    (accepted,) = [row for row in rows if row["rule"] == "idle-over-relief"]
    assert accepted["accepted because"] == "'=five | seconds"


def test_markdown_keeps_its_tables_whole(result: Result) -> None:
    text = reports.as_listed([result], "markdown")
    assert "# my circuits/press.hyc" in text
    assert "=five \\| seconds" in text
    table = [row for row in text.splitlines() if row.startswith("| C1 speed")]
    assert table
    assert "OFF" in table[0]
