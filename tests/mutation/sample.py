"""Names of mutants drawn by lot from what mutmut made: python -m tests.mutation.sample laws 400."""

from __future__ import annotations

import argparse
import random

from tests.mutation.found import ROOMS, belongs, names


def drawn(room: str, size: int, seed: int) -> list[str]:
    """Names of mutants, the same ones for a seed as long as the code is the same."""
    among = sorted(name for name in names() if belongs(name, room))
    if not among:
        raise SystemExit("no mutants in the folder 'mutants' here: let mutmut make them first")
    return random.Random(seed).sample(among, min(size, len(among)))


if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.mutation.sample", description=__doc__)
    asked.add_argument("room", choices=ROOMS)
    asked.add_argument("size", type=int)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    print("\n".join(drawn(given.room, given.size, given.seed)))
