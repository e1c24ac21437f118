"""Sentences that do not have the shape of their chapter: a line without to, a name alone."""

from __future__ import annotations

import re

from circuitcheck.basics.findings import Finding
from circuitcheck.language.broken import Broken
from circuitcheck.language.chapters import FORMS


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
    if form.rule not in ("part", "value", "claim", "hint"):
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
