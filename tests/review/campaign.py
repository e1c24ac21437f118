"""Proof of the diagnosis: faults put into machines, readings with noise, who is named first.

``python tests/review/campaign.py --cases 300`` prints the shares and the table of confusion
that the documentation keeps. The truth is solved anew at sizes between those of the
signatures; noise is normal, its standard deviation half of the meter's tolerance. Sizes are
drawn at random, those left out that no reading shows (every one within its tolerance).
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from circuitcheck import pipeline
from circuitcheck.circuit.model import Circuit, Claim
from circuitcheck.review.diagnosis import Bench, deviation
from circuitcheck.review.faults import faults
from circuitcheck.review.meters import places
from circuitcheck.review.pairs import can_meet
from circuitcheck.review.signatures import Sizes, shown, signatures, sound

HERE = Path(__file__).resolve().parent
EXAMPLES = HERE.parents[1] / "examples"
CIRCUITS = {
    "press": EXAMPLES / "press.hyc",
    "lift": EXAMPLES / "lift.hyc",
    "clamps": EXAMPLES / "clamps.hyc",
    "flow_sharing": EXAMPLES / "flow_sharing.hyc",
    "bale_fork": HERE / "circuits" / "bale_fork.hyc",
}
NARROW = "too narrow, kinked or blocked"
SEED = 20240611
SHOWS = 2.0
"""Standard deviations by which at least one reading must be off: its tolerance."""


@dataclass(frozen=True)
class Outcome:
    """One case: the fault put in ("" for a sound machine), its place in the ranking."""

    circuit: str
    true: str
    named: str
    rank: int
    sound: bool


def meters(circuit: Circuit) -> list[Claim]:
    """Give a full set of readings; the values are filled in later."""
    return [meter for meter in places(circuit) if meter.what != "power"]


def filled(some: Sequence[Claim], values: np.ndarray) -> list[Claim]:
    """Give the readings with these values [SI]."""
    return [
        replace(meter, figure=replace(meter.figure, value=float(value)))
        for meter, value in zip(some, values, strict=True)
    ]


def read(some: Sequence[Claim], values: np.ndarray, noise: np.random.Generator) -> list[Claim]:
    """Give the readings of a machine, with the noise of their meters."""
    true = filled(some, np.nan_to_num(values))
    spread = np.array([deviation(reading) for reading in true])
    return filled(some, np.nan_to_num(values) + spread * noise.standard_normal(len(true)))


def cases(name: str, count: int, healthy: int, seed: int = SEED) -> Iterator[Outcome]:
    """Run ``count`` faulty and ``healthy`` sound machines of one circuit of the examples."""
    noise = np.random.default_rng([seed, *name.encode()])
    circuit = pipeline.load(CIRCUITS[name]).circuit
    some = meters(circuit)
    known = faults(circuit, circuit.oil_degC)
    shows = sound(circuit, some, {})
    some = [m for m, value in zip(some, shows, strict=True) if not np.isnan(value)]
    bench = Bench(circuit, some, known=known)
    for _ in range(healthy):
        found = bench.diagnose(read(some, bench.sound, noise))
        yield Outcome(name, "", "" if found.sound else found.candidates[0].fault.name, 0,
                      found.sound)  # fmt: skip
    spread = np.array([deviation(one) for one in filled(some, bench.sound)])
    done = tried = 0
    while done < count and tried < 20 * count:
        tried += 1
        fault = known[int(noise.integers(len(known)))]
        way = noise.uniform(0.0, len(fault.figures) - 1.0)
        size = float(np.interp(way, np.arange(len(fault.figures)), fault.figures))
        shown = signatures(circuit, some, {}, [replace(fault, figures=np.array([size]))])
        if not shown or np.isnan(shown[0].shown).any():
            continue
        if np.max(np.abs(shown[0].shown[0] - bench.sound) / spread) < SHOWS:
            continue
        done += 1
        found = bench.diagnose(read(some, shown[0].shown[0], noise))
        names = [one.fault.name for one in found.candidates]
        rank = names.index(fault.name) + 1 if fault.name in names else 99
        yield Outcome(name, fault.name, names[0], rank, found.sound)


@dataclass(frozen=True)
class TwoFaults:
    """One machine with two faults: whether one fault alone explained it, place of the pair."""

    circuit: str
    by_one: bool
    sound: bool
    rank: int


def twos(name: str, count: int, seed: int = SEED) -> Iterator[TwoFaults]:
    """Run machines with two faults, each of which alone would show clearly."""
    noise = np.random.default_rng([seed, 2, *name.encode()])
    circuit = pipeline.load(CIRCUITS[name]).circuit
    known = faults(circuit, circuit.oil_degC)
    some = meters(circuit)
    some = [m for m, v in zip(some, sound(circuit, some, {}), strict=True) if not np.isnan(v)]
    bench = Bench(circuit, some, known=known)
    spread = np.array([deviation(one) for one in filled(some, bench.sound)])
    done = tried = 0
    while done < count and tried < 40 * count:
        tried += 1
        one, other = (known[int(i)] for i in noise.choice(len(known), 2, replace=False))
        if not can_meet(one, other):
            continue
        both: Sizes = tuple(
            (fault, float(fault.figures[int(noise.integers(3, len(fault.figures)))]))
            for fault in (one, other) if len(fault.figures) > 3
        )  # fmt: skip
        if len(both) < 2:
            continue
        rows = shown(circuit, some, {}, [both, both[:1], both[1:]])
        if np.isnan(rows).any():
            continue
        if np.min(np.max(np.abs(rows[1:] - bench.sound) / spread, axis=1)) < 3.0 * SHOWS:
            continue
        done += 1
        found = bench.diagnose(read(some, rows[0], noise))
        named = [{fault.name for fault in pair.faults} for pair in found.pairs]
        true = {one.name, other.name}
        yield TwoFaults(name, found.explains, found.sound, named.index(true) + 1
                        if true in named else 99)  # fmt: skip


def told_of_twos(found: Sequence[TwoFaults]) -> Iterator[str]:
    """Give the shares of machines with two faults as a table in Markdown."""
    left = [one for one in found if not one.by_one and not one.sound]
    yield "| Asked of machines with two faults | Result |"
    yield "|---|---:|"
    yield f"| machines | {len(found)} |"
    yield f"| called sound | {sum(one.sound for one in found)} |"
    yield f"| explained by one fault as well | {sum(one.by_one for one in found)} |"
    yield f"| of the others: the true pair first | {np.mean([one.rank == 1 for one in left]):.1%} |"
    yield f"| ... in the first three | {np.mean([one.rank <= 3 for one in left]):.1%} |"


def sort(fault: str) -> str:
    """Give a fault without the part that has it, for the table of confusion."""
    if NARROW in fault:  # a line without a name is called by its ends, of several words
        return NARROW
    return fault.split(" ", 1)[1].split(":")[0].replace(" ...", "") if fault else "nothing"


def told(found: Sequence[Outcome]) -> Iterator[str]:
    """Give shares, the table of confusion and the single mistakes as a page in Markdown."""
    faulty = [one for one in found if one.true]
    healthy = [one for one in found if not one.true]
    yield "| Asked | Result |"
    yield "|---|---:|"
    yield f"| faulty machines | {len(faulty)} |"
    yield f"| true fault first | {np.mean([one.rank == 1 for one in faulty]):.1%} |"
    yield f"| true fault in the first three | {np.mean([one.rank <= 3 for one in faulty]):.1%} |"
    yield f"| faulty machine called sound | {np.mean([one.sound for one in faulty]):.1%} |"
    yield f"| sound machines | {len(healthy)} |"
    yield f"| of them called sound | {np.mean([one.sound for one in healthy]):.1%} |"
    yield ""
    yield "| Fault put in | Cases | Named first | Else named first |"
    yield "|---|---:|---:|---|"
    for true in sorted({sort(one.true) for one in faulty}):
        here = [one for one in faulty if sort(one.true) == true]
        right = sum(one.rank == 1 for one in here)
        others = Counter(
            sort(one.named) + (" (of another part)" if sort(one.named) == true else "")
            for one in here
            if one.rank > 1
        )
        rest = "; ".join(f"{count} x {name}" for name, count in others.most_common())
        yield f"| {true} | {len(here)} | {right} | {rest} |"


def main() -> None:
    """Print the page that the documentation keeps."""
    reader = argparse.ArgumentParser()
    reader.add_argument("--cases", type=int, default=300)
    reader.add_argument("--healthy", type=int, default=300)
    reader.add_argument("--twos", type=int, default=100)
    asked = reader.parse_args()
    per, healthy = -(-asked.cases // len(CIRCUITS)), -(-asked.healthy // len(CIRCUITS))
    found = [one for name in CIRCUITS for one in cases(name, per, healthy)]
    print("\n".join(told(found)))
    if asked.twos:
        per = -(-asked.twos // len(CIRCUITS))
        both = [one for name in CIRCUITS for one in twos(name, per)]
        print("\n" + "\n".join(told_of_twos(both)))


if __name__ == "__main__":
    main()
