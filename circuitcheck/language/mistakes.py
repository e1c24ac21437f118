"""What is wrong with a sentence that the grammar cannot read, in the words of the trade.

Each mistake is one function: it looks at the broken sentence and says its finding, or
None if the sentence has another fault. The first that speaks is believed.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from circuitcheck.basics.findings import Finding
from circuitcheck.language.chapters import FORMS
from circuitcheck.language.faults import fault
from circuitcheck.language.sentences import Lines, RawSentence
from circuitcheck.language.tree import inch_mark


@dataclass(frozen=True)
class Broken:
    """A sentence, the place in it where reading stopped, what could have stood there."""

    raw: RawSentence
    chapter: str
    at: int
    expected: frozenset[str]
    lines: Lines

    @property
    def text(self) -> str:
        return self.raw.text

    @property
    def words(self) -> list[str]:
        return self.text.split()

    def find(self, slug: str, start: int, end: int, message: str, remedy: str = "") -> Finding:
        """Make a finding about the characters from ``start`` to ``end`` of the sentence."""
        offset = self.raw.start
        place = self.lines.place(offset + start, offset + end)
        return fault(slug, place, message, remedy)


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


def arrow(broken: Broken) -> Finding | None:
    """An arrow in place of from and to."""
    match = re.search(r"-->|->|=>|→|⟶", _outside_quotes(broken.text))
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
        f"write the name, a space and the value: {' '.join(clause.split())}",
    )


def semicolon(broken: Broken) -> Finding | None:
    """A semicolon as in a programming language."""
    at = _outside_quotes(broken.text).find(";")
    if at < 0:
        return None
    return broken.find(
        "semicolon",
        at,
        at + 1,
        "a sentence ends with its line; clauses are parted by commas",
        "replace ; by , or by a new line",
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
        return broken.find(
            "strange-mark", broken.at, broken.at + 1, f"'{mark}' is not used", _STRANGE[mark]
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
        "take one of them away",
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
        "write a space instead",
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
        f"write:  {before.group()} {after.group(1)}",
    )


def bracket(broken: Broken) -> Finding | None:
    """A bracket without its fellow, or a sum that cannot be read."""
    text = _outside_quotes(broken.text)
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


def line_without_from(broken: Broken) -> Finding | None:
    """A sentence among the lines that does not say from where."""
    if broken.chapter != "lines" or re.search(r"\bfrom\b", broken.text):
        return None
    part = re.match(r"\S+[ \t]+[^\s,]+(?=[^,]*,)", broken.text)
    if part is not None and not re.search(r"\bto\b", broken.text):
        kind = broken.text[len(broken.words[0]) :].split(",")[0]
        kind = " ".join(word for word in kind.split() if not word[0].isdigit())
        return broken.find(
            "line-without-from",
            *part.span(),
            "a line needs 'from'",
            f"this looks like a part ({kind or part.group().split()[1]}): move it under parts",
        )
    end = len(broken.words[0].rstrip(","))
    return broken.find(
        "line-without-from", 0, end, "a line needs 'from'", "write:  from P1 P to V1 P"
    )


def line_without_to(broken: Broken) -> Finding | None:
    """A line that does not say to where."""
    if broken.chapter != "lines" or re.search(r"\bto\b", broken.text):
        return None
    start = re.split(r"\bfrom\b", broken.text, maxsplit=1)
    near = start[-1].split(",")[0].split()
    far = start[-1].split(",")[1].split() if "," in start[-1] else []
    known = near and 1 <= len(far) <= 2 and not any(word[0].isdigit() for word in far[:1])
    far_text = " ".join(far) if known else "V1 P"
    end = min(broken.at + 1, len(broken.text)) if broken.at < len(broken.text) else broken.at
    return broken.find(
        "line-without-to",
        broken.at,
        end,
        "this line has no far end: 'to' is missing",
        f"write:  from {' '.join(near) or 'P1 P'} to {far_text}",
    )


def line_end(broken: Broken) -> Finding | None:
    """A line whose ends cannot be read."""
    if broken.chapter != "lines":
        return None
    word = re.match(r"[^\s,]+", broken.text[broken.at :])
    if word is None:
        return broken.find(
            "line-end",
            max(0, broken.at - 1),
            broken.at,
            "an end of this line is missing",
            "write:  from P1 P to V1 P",
        )
    if "COMMA" in broken.expected:
        return broken.find(
            "comma-missing",
            broken.at,
            broken.at + word.end(),
            f"a comma is missing before '{word.group()}'",
        )
    return None


def without_step(broken: Broken) -> Finding | None:
    """A sentence of the cycle that does not begin with step."""
    if broken.chapter != "cycle" or broken.words[0] == "step":
        return None
    text = " ".join(broken.words)
    return broken.find(
        "step-missing",
        0,
        len(broken.words[0]),
        "in a cycle every sentence begins with 'step'",
        f"step {text}",
    )


def without_first_word(broken: Broken) -> Finding | None:
    """A sentence that does not begin with the word of its chapter."""
    wanted = {"defaults": ("'every'",), "variations": ("'vary'", "'show'")}.get(broken.chapter)
    if wanted is None or f"'{broken.words[0]}'" in wanted:
        return None
    form = FORMS[broken.chapter]
    return broken.find(
        "first-word-missing",
        0,
        len(broken.words[0].rstrip(",")) or 1,
        f"under {broken.chapter} every sentence begins with {' or '.join(wanted)}",
        f"for example:  {form.example}",
    )


def name_alone(broken: Broken) -> Finding | None:
    """A name of which nothing is said."""
    form = FORMS[broken.chapter]
    if form.rule not in ("part", "value", "claim", "hint", "accept"):
        return None
    name = re.match(r"\w[\w.-]*", broken.text)
    if name is None or broken.text[name.end() :].lstrip()[:1] not in ("", ","):
        return None
    return broken.find(
        "name-alone",
        0,
        name.end(),
        f"nothing is said of {name.group()}",
        f"a {form.noun} is written:  {form.example}",
    )


def not_a_name(broken: Broken) -> Finding | None:
    """A sentence that begins with something that is no name."""
    form = FORMS[broken.chapter]
    if broken.at or not form.rule:
        return None
    word = re.match(r"[^\s,]+", broken.text)
    if word is None:
        return None
    return broken.find(
        "not-a-name",
        0,
        word.end(),
        f"'{word.group()}' cannot be a name",
        "a name begins with a letter, or is an item code such as 1V2 or 1-H1.3",
    )


def otherwise(broken: Broken) -> Finding:
    """Where reading stopped, and what the chapter's sentences look like."""
    form = FORMS[broken.chapter]
    word = re.match(r"[^\s,]+|,", broken.text[broken.at :])
    if word is None:
        end = len(broken.text)
        message = f"this {form.noun} is not complete"
        return broken.find(
            "sentence-unread", end - 1, end, message, f"it is written:  {form.example}"
        )
    return broken.find(
        "sentence-unread",
        broken.at,
        broken.at + word.end(),
        f"'{word.group()}' does not belong here",
        f"a {form.noun} is written:  {form.example}",
    )


MISTAKES: tuple[Callable[[Broken], Finding | None], ...] = (
    arrow,
    equals,
    semicolon,
    quote_mark,
    strange_mark,
    empty_clause,
    dot,
    line_without_from,
    line_without_to,
    without_step,
    without_first_word,
    colon,
    bracket,
    line_end,
    name_alone,
    not_a_name,
)


def explain(broken: Broken) -> Finding:
    """Give the first mistake that fits, or say where reading stopped."""
    for mistake in MISTAKES:
        finding = mistake(broken)
        if finding is not None:
            return finding
    return otherwise(broken)


def _outside_quotes(text: str) -> str:
    """Blank what stands in quotes, so that places stay."""
    return re.sub(r'"[^"\n]*"', lambda match: " " * len(match.group()), text)
