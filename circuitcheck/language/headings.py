"""Tells a heading that is misspelt from a sentence of the chapter that is being read."""

from __future__ import annotations

import difflib
import re

from circuitcheck.language.chapters import ALONE, FORMS, first_word
from circuitcheck.language.faults import Instead, meant
from circuitcheck.language.sentences import RawSentence

HEADINGS = tuple(word for word in FORMS if word not in ("end", "ports"))
"""Words that begin a chapter."""

_ABOUT = re.compile(r'[ \t]*(?:$|,|"|:|within\b|at\b|repeats\b)')


def meant_heading(raw: RawSentence, stands_out: bool) -> tuple[str, str, str | Instead] | None:
    """Say which heading a sentence seems to be, if it is none but looks like one.

    ``stands_out``: it begins at the margin while the sentences above it are indented.
    Gives the heading meant (empty if it cannot be told), the message, the remedy.
    """
    word = first_word(raw.text)
    rest = raw.text[len(word) :]
    alone = rest.strip(" \t:") == ""
    if not word or not (alone or stands_out):
        return None
    right = word.lower()
    if right in HEADINGS and (alone or right not in ALONE):
        message = f"'{word}' is not a chapter"
        return right, message, Instead(f"chapter names are in small letters: {right}", right)
    if not (alone or _ABOUT.match(rest)):
        return None
    near = difflib.get_close_matches(right, HEADINGS, 1, 0.7)
    if near:
        return near[0], f"there is no chapter '{word}'", meant(near[0])
    if alone and stands_out:
        return "", f"there is no chapter '{word}'", f"there are: {', '.join(HEADINGS)}"
    return None
