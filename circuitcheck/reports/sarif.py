"""Findings as SARIF 2.1.0, the form in which code hosts and editors read them."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Sequence
from pathlib import PurePath
from typing import Any

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.basics.places import Place
from circuitcheck.reports.result import Result
from circuitcheck.rules import catalogue, told

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.ADVICE: "note"}

Json = dict[str, Any]


def as_sarif(results: Sequence[Result]) -> str:
    """Give the findings of several files as one run; accepted ones are marked suppressed."""
    found = [(finding, "") for result in results for finding in flat(result.findings)]
    found += [(one.finding, one.reason) for result in results for one in result.accepted]
    slugs = sorted({finding.slug for finding, _ in found})
    run = {
        "tool": {
            "driver": {
                "name": "circuitcheck",
                "version": results[0].version if results else "",
                "rules": [_rule(slug) for slug in slugs],
            }
        },
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, reason, slugs) for finding, reason in found],
    }
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def flat(findings: Sequence[Finding]) -> Iterator[Finding]:
    """Give findings with those that follow from them."""
    for finding in findings:
        yield finding
        yield from flat(finding.consequences)


def _rule(slug: str) -> Json:
    rule = catalogue().get(slug)
    if rule is None:  # a mistake of the text, or what the solver says
        other = told().get(slug)
        if other is None:
            return {"id": slug}
        return {"id": slug, "shortDescription": {"text": other.title}, "help": {"text": other.do}}
    return {
        "id": slug,
        "shortDescription": {"text": rule.title},
        "fullDescription": {"text": rule.section("What is checked")},
        "help": {"text": rule.section("What to do")},
        "defaultConfiguration": {"level": LEVELS[rule.severity]},
    }


def _result(finding: Finding, reason: str, slugs: Sequence[str]) -> Json:
    remedy = f" {finding.remedy}" if finding.remedy else ""
    found: Json = {
        "ruleId": finding.slug,
        "ruleIndex": slugs.index(finding.slug),
        "level": LEVELS[finding.severity],
        "message": {"text": _plain(f"{finding.message}.{remedy}")},
        "partialFingerprints": {
            "finding/v1": "|".join((finding.slug, finding.component, finding.port, finding.step))
        },
    }
    if finding.place.file:
        location = _location(finding.place)
        if finding.component:
            location["logicalLocations"] = [{"name": finding.component, "kind": "component"}]
        found["locations"] = [location]
    notes = [note for note in finding.notes if note.place.line and note.place.file]
    if notes:
        found["relatedLocations"] = [
            {"id": i, "message": {"text": _plain(note.message)}, **_location(note.place)}
            for i, note in enumerate(notes)
        ]
    if reason:
        found["suppressions"] = [{"kind": "inSource", "justification": reason}]
    return found


def _plain(text: str) -> str:
    """Keep viewers from making links of square brackets (SARIF 2.1.0, 3.11.6, from memory)."""
    return re.sub(r"([\\\[\]])", r"\\\1", text)


def _location(place: Place) -> Json:
    physical: Json = {"artifactLocation": {"uri": uri(place.file)}}
    if place.line:
        physical["region"] = {
            "startLine": place.line,
            "startColumn": max(place.column, 1),
            "endLine": max(place.end_line, place.line),
            "endColumn": max(place.end_column, 1),
        }
    return {"physicalLocation": physical}


def uri(file: str) -> str:
    """Give a file's name as a URI: relative to where the command ran, where it is below."""
    from urllib.parse import quote

    path = PurePath(file)
    return path.as_uri() if path.is_absolute() else quote(os.fsencode(path.as_posix()))
