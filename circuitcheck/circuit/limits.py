"""The chapter ``limits``: thresholds of rules that hold for this circuit."""

from __future__ import annotations

from circuitcheck.basics.limits import Limit, limited_rules, limits_of, own_limit
from circuitcheck.circuit.desk import Desk
from circuitcheck.language.text import Amount, Clause, Sentence, Text, Word

EXAMPLE = "pressure-line-fast advise above 6 m/s"
ORIGIN = "limit of this circuit"


def read_limits(desk: Desk, text: Text) -> dict[str, dict[str, Limit]]:
    """Give the thresholds by rule and name; what is wrong goes to the desk.

    ``RULE NAME FIGURE``, several after commas: ``relief-gap-small gap 20 bar, share 8 %``.
    """
    found: dict[str, dict[str, Limit]] = {}
    for sentence in text.sentences("limits"):
        rule = _rule(desk, sentence)
        for clause in sentence.clauses if rule else ():
            limit = _limit(desk, rule, clause)
            if limit is not None:
                found.setdefault(rule, {})[limit[0]] = limit[1]
    return found


def _rule(desk: Desk, sentence: Sentence) -> str:
    """Slug of the rule, empty where there is none of that name with a threshold."""
    said = sentence.names[0]
    slug = said.text.replace("_", "-")
    if slug in limited_rules():
        return slug
    near = desk.ask(slug, limited_rules())
    message = f"no rule '{said.text}' has a threshold"
    desk.error("unknown-rule", said.place, message, near or f"write:  {EXAMPLE}")
    return ""


def _limit(desk: Desk, rule: str, clause: Clause) -> tuple[str, Limit] | None:
    words, figure = clause.words(), clause.items[-1]
    name = "_".join(words).replace("-", "_")
    known = limits_of(rule)
    if name not in known:
        names = ", ".join(word.replace("_", " ") for word in known)
        first = clause.items[0]
        place = first.place if isinstance(first, Word) else clause.place
        message = f"{rule} has no threshold '{name.replace('_', ' ')}'"
        desk.error("unknown-limit", place, message, f"it has: {names}")
        return None
    if not isinstance(figure, Amount) or len(words) + 1 != len(clause.items):
        message = f"'{clause.text}' does not end with a figure"
        desk.error("clause-unread", clause.place, message, f"write:  {EXAMPLE}")
        return None
    try:
        return name, own_limit(rule, name, figure.value, figure.unit, ORIGIN)
    except ValueError as problem:
        desk.error("unit-wrong", figure.place, str(problem), f"as in {known[name].text}")
        return None
