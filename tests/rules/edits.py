"""Small edits of a circuit text, by the name of a part."""

from __future__ import annotations

import re


def parts(text: str, kind: str) -> list[str]:
    """Names of the parts of a kind that a text writes down, one to a line."""
    chapter = text[text.index("\nparts") : text.index("\nlines")]
    return re.findall(rf"^  (\w+) +{kind}(?=[ ,\n])", chapter, re.M)


def sentence(text: str, part: str) -> re.Match[str]:
    """The sentence of a part in the chapter of parts, over all its lines."""
    chapter = text.index("\nparts")
    found = re.compile(rf"^  {part} +(?:[^\n]*,[ ]*(?:#[^\n]*)?\n)*[^\n]*", re.M).search(
        text, chapter
    )
    assert found is not None, f"{part} is not in the text"
    return found


def within(text: str, part: str, pattern: str, new: str) -> str:
    """Replace a pattern in the sentence of a part; the text as it is where it has none."""
    said = sentence(text, part)
    return text[: said.start()] + re.sub(pattern, new, said[0], count=1) + text[said.end() :]


def said_of(text: str, part: str, clause: str) -> str:
    """Say one clause more of a part, right behind its kind."""
    return within(text, part, rf"^(  {part} +[^,\n#]*[^,\n# ])", rf"\1, {clause}")


def with_part(text: str, sentence_of_it: str) -> str:
    """Write one part more into a text."""
    return text.replace("\nparts\n", f"\nparts\n  {sentence_of_it}\n", 1)


def swapped(text: str, old: str, new: str) -> str:
    """Replace one piece of a text; the text as it is where it has none."""
    return text.replace(old, new, 1)
