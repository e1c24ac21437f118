"""Findings as JUnit XML, the form in which build servers read tests: a case per rule."""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.etree import ElementTree as Xml

from circuitcheck.basics.findings import Finding, Severity
from circuitcheck.reports.result import Result
from circuitcheck.reports.sarif import flat
from circuitcheck.rules import catalogue

_FORBIDDEN = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def as_junit(results: Sequence[Result]) -> str:
    """Give a suite per file: a case per rule, failed where it found an error or warning.

    Rules that could not be judged for want of data are skipped; advice and accepted
    findings stand as output of a case that passes.
    """
    root = Xml.Element("testsuites", name="circuitcheck")
    for result in results:
        root.append(_suite(result))
    Xml.indent(root)
    text: str = Xml.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'


def _suite(result: Result) -> Xml.Element:
    found: dict[str, list[Finding]] = {}
    for finding in flat(result.findings):
        found.setdefault(finding.slug, []).append(finding)
    accepted: dict[str, list[str]] = {}
    for one in result.accepted:
        text = f"accepted: {one.finding.message}: {one.reason}"
        accepted.setdefault(one.finding.slug, []).append(text)
    missing: dict[str, list[str]] = {}
    for left in result.not_checked:
        missing.setdefault(left.slug, []).append(f"{left.component} {left.missing}".strip())
    slugs = dict.fromkeys(catalogue()) if result.circuit is not None else {}
    suite = Xml.Element("testsuite", name=clean(result.file or "text"))
    counts = {"tests": 0, "failures": 0, "errors": 0, "skipped": 0}
    for slug in dict.fromkeys((*slugs, *found)):
        case = Xml.SubElement(suite, "testcase", name=slug, classname=suite.get("name", ""))
        counts["tests"] += 1
        grave = [f for f in found.get(slug, ()) if f.severity is not Severity.ADVICE]
        light = [f for f in found.get(slug, ()) if f.severity is Severity.ADVICE]
        for finding in grave[:1]:
            worst = min(grave, key=lambda f: f.severity.rank)
            failure = Xml.SubElement(
                case, "failure", type=worst.severity.value, message=clean(finding.message)
            )
            failure.text = clean("\n".join(_told(f) for f in grave))
            counts["failures"] += 1
        if not grave and slug in missing:
            Xml.SubElement(case, "skipped", message=clean("; ".join(missing[slug])))
            counts["skipped"] += 1
        said = [*map(_told, light), *accepted.get(slug, ())]
        if said:
            Xml.SubElement(case, "system-out").text = clean("\n".join(said))
    for name, count in counts.items():
        suite.set(name, str(count))
    return suite


def _told(finding: Finding) -> str:
    where = f"{finding.place}: " if finding.place.line else ""
    return f"{where}{finding.severity.value}: {finding.message}"


def clean(text: str) -> str:
    """Leave out letters that XML 1.0 forbids."""
    return _FORBIDDEN.sub("", text)
