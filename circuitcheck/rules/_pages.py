"""The circuits of a rule's page: the smallest one that it finds, and one that is clean."""

from __future__ import annotations

import re
from collections.abc import Iterator

from circuitcheck.basics.folders import folder

WIDTH = 78
_BLOCK = re.compile(r"^```hyc(?P<about>[^\n]*)\n(?P<text>.*?)^```$", re.M | re.S)
_MARK = re.compile(r"[ \t]*#[ \t]*finds:[^\n]*")
FOUND_BELOW = "# the next line is found:"


def circuits(slug: str) -> tuple[str, str]:
    """Give the shortest circuit of a page that its rule finds, and the shortest clean one.

    Both are empty for a rule without a page, each where the page has none; lines longer than
    the page is wide go on after a comma.
    """
    path = folder("rule_pages") / f"{slug}.md"
    if not path.is_file():
        return "", ""
    blocks = [block["text"] for block in _BLOCK.finditer(path.read_text(encoding="utf-8"))
              if not block["about"].strip()]  # fmt: skip
    own = re.compile(rf"#[ \t]*finds:[^\n]*\b{re.escape(slug)}(?![\w-])")
    guilty = [text for text in blocks if own.search(text)]
    clean = [text for text in blocks if not own.search(text)]
    return _printed(guilty), _printed(clean)


def _printed(texts: list[str]) -> str:
    if not texts:
        return ""
    rows = min(texts, key=lambda text: text.count("\n")).splitlines()
    return "\n".join(line for row in rows for line in _lines(row)) + "\n"


def _lines(row: str) -> Iterator[str]:
    bare = _MARK.sub("", row).rstrip()
    if bare != row.rstrip():
        yield f"  {FOUND_BELOW}"
    while len(bare) > WIDTH and (cut := bare.rfind(", ", 0, WIDTH)) > 0:
        yield bare[: cut + 1]
        bare = "      " + bare[cut + 2 :].lstrip()
    yield bare
