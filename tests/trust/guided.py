"""Fuzzing led by what code an input reaches, by atheris.

    python -m tests.trust.guided read corpus -runs=100000
    python -m tests.trust.guided whole corpus -max_total_time=600

``read`` goes from bytes to findings, ``whole`` through every form of the answer. What follows
is for libFuzzer: a folder for inputs worth keeping and its options. The first run puts
circuits of the project there. A failure leaves its input in a file ``crash-...`` or
``timeout-...`` and ends with a status that is not 0.
"""

from __future__ import annotations

import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["circuitcheck"]):
    from tests.trust.inputs import corpus
    from tests.trust.stages import LEVELS, go

    go(corpus()[0].encode(), "whole")  # what is loaded late is loaded here

LIMITS = {
    "read": ("-timeout=2", "-rss_limit_mb=500"),
    "solve": ("-timeout=10", "-rss_limit_mb=2000"),
    "whole": ("-timeout=10", "-rss_limit_mb=2000"),
}
"""Seconds by the clock and memory of an input. What follows the program on its way makes it about
five times as slow, and keeps memory of its own; `fuzz` has the limits that people were promised."""

LONGEST = 1500
"""Bytes of an input: about ten parts."""


def main() -> None:
    """Read the level, give the rest to the fuzzer."""
    if len(sys.argv) < 3 or sys.argv[1] not in LEVELS:
        sys.exit(f"{__doc__}\nThe level is one of: {', '.join(LEVELS)}")
    level, folder = sys.argv[1], Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    if not any(folder.iterdir()):
        for number, text in enumerate(corpus()[::12]):
            if len(text) <= LONGEST:
                (folder / f"circuit-{number}").write_text(text, encoding="utf-8")

    def one(data: bytes) -> None:
        go(data, level)

    options = [f"-max_len={LONGEST}", *LIMITS[level]]
    atheris.Setup([sys.argv[0], *options, *sys.argv[2:]], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
