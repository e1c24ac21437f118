"""Marks that the language does not have, or that stand where they cannot: = ; -> " ( ."""

from __future__ import annotations

import re

from circuitcheck.basics.findings import Finding
from circuitcheck.language.broken import Broken, outside_quotes
from circuitcheck.language.faults import Instead
from circuitcheck.language.tree import inch_mark

_STRANGE = {
    "“": 'texts stand in straight quotes: "..."',
    "”": 'texts stand in straight quotes: "..."',
    "„": 'texts stand in straight quotes: "..."',
    "'": 'texts stand in double quotes: "..."',
    "–": "write a plain hyphen: -",
    "—": "write a plain hyphen: -",
    "−": "write a plain hyphen as minus: -",
    "½": "write 1/2",
    "¼": "write 1/4",
    "¾": "write 3/4",
    "⅜": "write 3/8",
    "⅝": "write 5/8",
    "•": "sentences need no mark in front",
    "{": "sums stand in round brackets: (1.1 * work_pressure)",
    "}": "sums stand in round brackets: (1.1 * work_pressure)",
    "[": "sums stand in round brackets: (1.1 * work_pressure)",
    "]": "sums stand in round brackets: (1.1 * work_pressure)",
    "Ø": "write the name: bore 80 mm",
    "ø": "write the name: bore 80 mm",
    "⌀": "write the name: bore 80 mm",
    "@": "write 'at'",
    "&": "write 'and'",
    "<": "write 'at most'",
    ">": "write 'at least'",
    "~": "a figure is written as it is claimed; add  within 5 %",
}


_WRITTEN = {
    **dict.fromkeys("“”„'", '"'), **dict.fromkeys("–—−", "-"),
    "@": "at", "&": "and", "•": "",
}  # fmt: skip
"""What to write in place of a mark, where that is sure."""


def arrow(broken: Broken) -> Finding | None:
    """An arrow in place of from and to."""
    match = re.search(r"-->|->|=>|→|⟶", outside_quotes(broken.text))
    if match is None:
        return None
    before = re.split(r",", broken.text[: match.start()])[-1].split()
    after = re.split(r",|->|=>|→", broken.text[match.end() :])[0].split()
    remedy = f"write:  from {' '.join(before[-2:])} to {' '.join(after)}"
    if broken.chapter != "lines":
        remedy = "lines stand under the heading lines:  from P1 P to V1 P"
    return broken.find(
        "arrow",
        *match.span(),
        "lines are written in words, not arrows",
        remedy,
    )


def equals(broken: Broken) -> Finding | None:
    """An equals sign before a figure."""
    if broken.text[broken.at : broken.at + 1] != "=":
        return None
    start = broken.text.rfind(",", 0, broken.at) + 1
    clause = re.split(r"[,;]", broken.text[start:])[0].replace("=", " ")
    return broken.find(
        "equals-sign",
        broken.at,
        broken.at + 1,
        "'=' is not used",
        Instead(f"write the name, a space and the value: {' '.join(clause.split())}", " "),
    )


def semicolon(broken: Broken) -> Finding | None:
    """A semicolon as in a programming language."""
    at = outside_quotes(broken.text).find(";")
    if at < 0:
        return None
    return broken.find(
        "semicolon",
        at,
        at + 1,
        "a sentence ends with its line; clauses are parted by commas",
        Instead("replace ; by , or by a new line", "," if broken.text[at + 1 :].strip() else ""),
    )


def quote_mark(broken: Broken) -> Finding | None:
    """A quote mark that means inches, or a text that is not closed."""
    if broken.text[broken.at : broken.at + 1] != '"':
        return None
    figure = re.search(r"([0-9][0-9./-]*)$", broken.text[: broken.at])
    if figure is not None:
        where = broken.find("inch-mark", broken.at, broken.at + 1, "").place
        return inch_mark(figure.group(), where)
    if '"' not in broken.text[broken.at + 1 :]:
        return broken.find(
            "open-text",
            broken.at,
            broken.at + 1,
            "this text is not closed",
            'a text stands between two " on one line',
        )
    return None


def strange_mark(broken: Broken) -> Finding | None:
    """A mark that the language does not have."""
    mark = broken.text[broken.at : broken.at + 1]
    if mark in _STRANGE:
        words, written = _STRANGE[mark], _WRITTEN.get(mark)
        remedy = words if written is None else Instead(words, written)
        return broken.find(
            "strange-mark", broken.at, broken.at + 1, f"'{mark}' is not used", remedy
        )
    if mark and not mark.isprintable():
        return broken.find(
            "strange-mark",
            broken.at,
            broken.at + 1,
            f"a mark that cannot be printed (character {ord(mark)})",
            "delete it; a circuit file holds plain text only",
        )
    return None


def empty_clause(broken: Broken) -> Finding | None:
    """Two commas and nothing between them."""
    before = broken.text[: broken.at].rstrip()
    if broken.text[broken.at : broken.at + 1] != "," or not before.endswith(","):
        return None
    return broken.find(
        "empty-clause",
        broken.at,
        broken.at + 1,
        "nothing stands between these two commas",
        Instead("take one of them away", ""),
    )


def colon(broken: Broken) -> Finding | None:
    """A colon behind a name."""
    if broken.text[broken.at : broken.at + 1] != ":":
        return None
    return broken.find(
        "colon",
        broken.at,
        broken.at + 1,
        "a colon stands only behind a chapter's heading",
        Instead("write a space instead", " "),
    )


def dot(broken: Broken) -> Finding | None:
    """A dot between part and port."""
    before = re.search(r"\w+$", broken.text[: broken.at])
    after = re.match(r"\.(\w+)", broken.text[broken.at :])
    if before is None or after is None:
        return None
    return broken.find(
        "dot",
        broken.at,
        broken.at + 1,
        "a space stands between part and port, not a dot",
        Instead(f"write:  {before.group()} {after.group(1)}", " "),
    )


def bracket(broken: Broken) -> Finding | None:
    """A bracket without its fellow, or a sum that cannot be read."""
    text = outside_quotes(broken.text)
    opened = [match.start() for match in re.finditer(r"\(", text)]
    closed = [match.start() for match in re.finditer(r"\)", text)]
    if len(opened) > len(closed):
        return broken.find(
            "open-bracket", opened[-1], opened[-1] + 1, "this bracket is not closed", "add )"
        )
    if len(closed) > len(opened):
        return broken.find(
            "open-bracket", closed[-1], closed[-1] + 1, "this bracket was not opened", "add ("
        )
    inside = text[: broken.at].count("(") > text[: broken.at].count(")")
    if inside:
        return broken.find(
            "sum",
            broken.at,
            broken.at + 1,
            "this sum cannot be read",
            "brackets hold figures, names of values, + - * / : (1.1 * work_pressure)",
        )
    return None
