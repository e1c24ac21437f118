"""The list of findings as people get it from Python: a tuple that shows itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from circuitcheck.basics.findings import Finding
from circuitcheck.basics.frames import frame
from circuitcheck.basics.shown import Shown


class Findings(Shown, tuple[Finding, ...]):
    """Findings in their order, with the texts that they speak of, by the names of the files."""

    texts: Mapping[str, str]

    def __new__(
        cls, found: Iterable[Finding] = (), texts: Mapping[str, str] | None = None
    ) -> Findings:
        """Make the list; without ``texts`` findings are shown without their lines."""
        made = super().__new__(cls, found)
        made.texts = {} if texts is None else texts
        return made

    def only(self, wanted: Callable[[Finding], bool]) -> Findings:
        """Give those that are ``wanted``."""
        return Findings(filter(wanted, self), self.texts)

    def to_pandas(self) -> Any:
        """Give a row for each finding as a ``pandas.DataFrame``, those under others left out.

        Raises
        ------
        circuitcheck.basics.frames.PandasMissingError
            If pandas is not installed.
        """
        return frame(
            {
                "severity": [one.severity.value for one in self],
                "rule": [one.slug for one in self],
                "file": [one.place.file for one in self],
                "line": [one.place.line for one in self],
                "part": [one.component for one in self],
                "step": [one.step for one in self],
                "message": [one.message for one in self],
                "do": [one.remedy for one in self],
                "source": [one.source for one in self],
            }
        )
