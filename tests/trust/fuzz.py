"""Fuzzing: many inputs through the program, each within limits of time and memory.

    python -m tests.trust.fuzz --inputs 1000000 --seed 1 --minutes 60

An input is known by its number: ``--only N`` runs one again. Of 1000 inputs about 80 go as
far as operating points and rules, if they are understood, and 4 through every form of the
answer; the others are read. Inputs run in a process of their own. A traceback, a warning,
more than 2 s of processor time for a stage (reading, operating points, rules, drawing, lists,
duty cycle, page), more than 500 MB, or the end of that process is a failure.
"""

from __future__ import annotations

import argparse
import multiprocessing
import resource
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from multiprocessing.connection import Connection
from pathlib import Path
from types import FrameType

from tests.trust.inputs import EVERY_FORM, corpus, made
from tests.trust.stages import go

SECONDS = 2.0
"""Processor time that one stage of an input may take [s]."""
BYTES = 500 * 1024**2
"""Memory that the process may have beside its programs."""
SILENCE = 60.0
"""A process that has said nothing for so long is ended [s]."""
BATCH, PROGRESS = 200, 20_000


class TooSlowError(BaseException):
    """An input that took too long; no handler of the program catches it."""


def level_of(number: int, sort: str) -> str:
    """How far an input goes; circuits made of the dictionary are most often understood."""
    if number % EVERY_FORM == 0:
        return "whole"
    return "solve" if number % (4 if sort == "registry" else 20) == 0 else "read"


def attempt(seed: int, number: int, beside: Path) -> tuple[str, str]:
    """Run one input; give what it came to and, of a failure, the traceback."""
    sort, data = made(seed, number)
    level = level_of(number, sort)
    signal.signal(signal.SIGPROF, _too_slow)
    try:
        # one in five is a file, as its bytes are; the others come as a text
        reached = go(data, level, beside if number % 5 == 0 else None, _clock)
    except (Exception, TooSlowError):  # noqa: BLE001 - what is looked for
        return f"{sort} FAILED", traceback.format_exc()
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
    return f"{sort} {reached}", ""


def _clock() -> None:
    """Start the clock of a stage; it strikes again and again, as Python drops an exception
    that meets a clean-up."""
    signal.setitimer(signal.ITIMER_PROF, SECONDS, 0.05)


def _too_slow(_signal: int, _frame: FrameType | None) -> None:
    raise TooSlowError


def _work(seed: int, start: int, stop: int, told: Connection) -> None:
    """Run inputs; what came of them is told batch by batch, a failure at once."""
    resource.setrlimit(resource.RLIMIT_DATA, (BYTES, resource.RLIM_INFINITY))
    warnings.simplefilter("error", RuntimeWarning)  # people would see it beside the answer
    found: Counter[str] = Counter()
    go(corpus()[0].encode(), "whole")  # libraries are loaded before the clock runs
    with tempfile.TemporaryDirectory() as folder:
        for number in range(start, stop):
            reached, failure = attempt(seed, number, Path(folder) / "input.hyc")
            found[reached] += 1
            if failure or number % BATCH == 0 or number == stop - 1:
                told.send((number, dict(found), failure))
                found.clear()


def campaign(
    seed: int, start: int, inputs: int, minutes: float = 0.0
) -> tuple[Counter[str], list[tuple[int, str]]]:
    """Run inputs; give how many came to what, and the failures by number."""
    context = multiprocessing.get_context("fork")
    total: Counter[str] = Counter()
    failures: list[tuple[int, str]] = []
    end = time.monotonic() + minutes * 60 if minutes else float("inf")
    last = start - 1
    while last < start + inputs - 1 and time.monotonic() < end:
        ours, theirs = context.Pipe(duplex=False)
        worker = context.Process(target=_work, args=(seed, last + 1, start + inputs, theirs))
        worker.start()
        theirs.close()
        try:
            while time.monotonic() < end and ours.poll(SILENCE):
                last, found, failure = ours.recv()
                total.update(found)
                if last % PROGRESS == 0:
                    print(f"{sum(total.values())} inputs, {len(failures)} failures", flush=True)
                if failure:
                    failures.append((last, failure))
                    print(f"input {last} failed:\n{failure}", flush=True)
        except EOFError:
            if last < start + inputs - 1:
                last = _died(seed, last, failures)
        else:
            if time.monotonic() < end:
                last = _died(seed, last, failures)
        worker.kill()
        worker.join()
    return total, failures


def _died(seed: int, last: int, failures: list[tuple[int, str]]) -> int:
    """The process ended, or hung, within a batch: say so; go on behind it."""
    upto = (last // BATCH + 1) * BATCH
    text = f"the process ended or hung between inputs {last + 1} and {upto}"
    failures.append((upto, text))
    print(text, flush=True)
    return upto


def main() -> None:
    """Read the options, run, say what came of it."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--inputs", type=int, default=10_000)
    options.add_argument("--first", type=int, default=0, help="number of the first input")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--minutes", type=float, default=0.0, help="stop after so long")
    options.add_argument("--only", type=int, help="run this input, and show it")
    asked = options.parse_args()
    if asked.only is not None:
        sys.stdout.write(made(asked.seed, asked.only)[1].decode("utf-8", "replace"))
        with tempfile.TemporaryDirectory() as folder:
            began = time.process_time()
            print(*attempt(asked.seed, asked.only, Path(folder) / "input.hyc"), sep="\n")
            print(f"{time.process_time() - began:.2f} s")
        return
    began = time.monotonic()
    total, failures = campaign(asked.seed, asked.first, asked.inputs, asked.minutes)
    for reached, count in sorted(total.items()):
        print(f"{count:9d}  {reached}")
    took = time.monotonic() - began
    print(f"{sum(total.values())} inputs, {len(failures)} failures, {took:.0f} s")
    sys.exit(bool(failures))


if __name__ == "__main__":
    main()
