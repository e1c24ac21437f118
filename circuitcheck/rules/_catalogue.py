"""The list of rules, and their pages as people read them."""

from __future__ import annotations

import difflib
import importlib
import pkgutil
import textwrap
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from circuitcheck.basics.limits import limits_of
from circuitcheck.rules._rule import HEADINGS, Rule

_FOLDER = "circuitcheck.rules"


@cache
def catalogue() -> Mapping[str, Rule]:
    """Give every rule by its slug, in the order of the slugs.

    Raises
    ------
    ValueError
        If a rule's slug is not the name of its module, stands twice, or its page lacks a
        heading.
    """
    package = importlib.import_module(_FOLDER)
    found: dict[str, Rule] = {}
    for info in sorted(pkgutil.iter_modules(package.__path__), key=lambda info: info.name):
        if info.name.startswith("_"):
            continue
        rule: Rule = importlib.import_module(f"{_FOLDER}.{info.name}").RULE
        if rule.slug in found:
            raise ValueError(f"the rule '{rule.slug}' stands in two modules")
        if rule.slug != info.name.replace("_", "-"):
            raise ValueError(f"the module {info.name} holds the rule '{rule.slug}'")
        missing = [heading for heading in HEADINGS if not rule.section(heading)]
        if missing:
            raise ValueError(f"the page of '{rule.slug}' lacks: {', '.join(missing)}")
        found[rule.slug] = rule
    return MappingProxyType(found)


def explain(slug: str) -> str:
    """Give the page of a rule as plain text, with severity and default thresholds.

    Raises
    ------
    KeyError
        If there is no such rule; the message names the nearest.
    """
    rules = catalogue()
    slug = slug.strip().replace("_", "-")
    if slug not in rules:
        near = difflib.get_close_matches(slug, rules, 1, 0.5)
        hint = f"; did you mean '{near[0]}'?" if near else ""
        raise KeyError(f"there is no rule '{slug}'{hint}")
    rule = rules[slug]
    lines = [f"{slug} ({rule.severity.value})", rule.title, ""]
    for heading in HEADINGS:
        lines += [heading, *_indented(rule.section(heading)), ""]
    limits = limits_of(slug)
    if limits:
        lines.append("Default thresholds (a part's own limit always wins)")
        for name, limit in limits.items():
            text = f"{name.replace('_', ' ')}: {limit.text} ({limit.source})"
            lines += _indented(text)
        lines.append("")
    if rule.explains:
        lines += ["Findings listed under this one as consequences"]
        lines += _indented(", ".join(rule.explains))
    return "\n".join(lines).rstrip() + "\n"


def _indented(text: str) -> list[str]:
    return textwrap.wrap(text, 76, initial_indent="  ", subsequent_indent="  ")
