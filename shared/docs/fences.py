"""The fenced blocks of a page, as the manual draws them and the tests run them.

``hyc`` is a whole circuit; where its first line is ``# NAME.hyc`` it is saved under that name for
what follows on the page; ``# NAME.hyc, wrong on purpose`` is one that is not understood.
``hyc added to FILE`` is a piece that belongs to the end of that file, which is one of the page
or of the examples.
``console`` holds commands behind ``$``, and what they print: ``...`` on a line of its own
stands for any lines, inside a line for any letters, ``# exit status N`` behind a command for a
status other than 0. ``pycon`` is Python with its answers. A line ``<!-- not run: REASON -->``
above a block says why it cannot be run.
"""

import re
from dataclasses import dataclass

_FENCE = re.compile(
    r"^(?:<!-- not run: (?P<reason>[^\n]+) -->\n+)?"
    r"^```(?P<about>[^\n`]*)\n(?P<text>.*?)^```$",
    re.M | re.S,
)
_NAME = re.compile(r"# ([\w.-]+\.hyc)(, wrong on purpose)?\n")


@dataclass(frozen=True)
class Fence:
    """One block: what it is, its text, its line on the page, why it is not run."""

    about: str
    text: str
    line: int
    reason: str = ""

    @property
    def name(self) -> str:
        """The name under which a circuit is saved, if it has one."""
        named = _NAME.match(self.text)
        return named[1] if named else ""

    @property
    def wrong(self) -> bool:
        """Whether it is wrong on purpose."""
        named = _NAME.match(self.text)
        return named is not None and named[2] is not None


def fences(page: str) -> list[Fence]:
    """Give the blocks of a page in their order."""
    return [
        Fence(
            found["about"].strip(),
            found["text"],
            page.count("\n", 0, found.start("about")) + 1,
            (found["reason"] or "").strip(),
        )
        for found in _FENCE.finditer(page)
    ]
