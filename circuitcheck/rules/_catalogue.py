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
from circuitcheck.rules._pages import circuits
from circuitcheck.rules._rule import HEADINGS, Rule
from circuitcheck.rules._told import page, told, under_other_names

_FOLDER = "circuitcheck.rules"


@cache
def catalogue() -> Mapping[str, Rule]:
    """Give every rule by its slug, in the order of the slugs.

    Raises
    ------
    ValueError
        If the slug of a rule that has a module to itself is not the module's name, or if a
        slug stands twice.
    """
    package = importlib.import_module(_FOLDER)
    found: dict[str, Rule] = {}
    for info in sorted(pkgutil.iter_modules(package.__path__), key=lambda info: info.name):
        if info.name.startswith("_"):
            continue
        for rule in _rules_of(info.name):
            if rule.slug in found:
                raise ValueError(f"the rule '{rule.slug}' stands in two modules")
            found[rule.slug] = rule
    found = dict(sorted(found.items()))
    return MappingProxyType(found)


def _rules_of(name: str) -> tuple[Rule, ...]:
    """Rules of a module: several of one subject (``RULES``), or one (``RULE``) of its name."""
    module = importlib.import_module(f"{_FOLDER}.{name}")
    several: tuple[Rule, ...] | None = getattr(module, "RULES", None)
    if several is not None:
        return several
    rule: Rule = module.RULE
    if rule.slug != name.replace("_", "-"):
        raise ValueError(f"the module {name} holds the rule '{rule.slug}'")
    return (rule,)


def explained() -> list[str]:
    """Give every name that can be explained: rules and what is told beside them."""
    return sorted({*catalogue(), *told(), *under_other_names()})


def explain(slug: str) -> str:
    """Give the page of a rule as plain text: severity, default thresholds, two circuits.

    What is told beside the rules (mistakes of the text, words of the solver) has one, too.

    Raises
    ------
    KeyError
        If there is no such rule; the message names the nearest.
    """
    rules = catalogue()
    slug = slug.strip().replace("_", "-")
    if slug not in rules:
        if slug in told() or slug in under_other_names():
            return page(slug)
        near = difflib.get_close_matches(slug, explained(), 1, 0.5)
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
    for heading, text in zip(("A circuit that it finds", "One that is clean"), circuits(slug),
                             strict=True):  # fmt: skip
        if text:
            lines += ["", heading, "", text.rstrip()]
    return "\n".join(lines).rstrip() + "\n"


def _indented(text: str) -> list[str]:
    return textwrap.wrap(text, 76, initial_indent="  ", subsequent_indent="  ")
