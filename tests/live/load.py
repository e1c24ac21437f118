"""Many people edit at once: ``python -m tests.live.load --clients 50 --seconds 300``.

Each client does what a page does while somebody works in it: it asks for the state of the file
every 1.5 s, changes a figure every few seconds and asks for findings and drawing, and at times
drags a slider. Printed are counts, waiting times and the memory of the server's processes.
"""

from __future__ import annotations

import argparse
import asyncio
import random
import shutil
import tempfile
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from tests.live.conftest import EXAMPLES, Served, begin
from tests.live.turning import put

CIRCUITS = ("press", "lift", "feed_slide", "filter_loop", "tipper")
POLL, PAUSE, DRAG = 1.5, (2.0, 6.0), 8
"""Seconds between looks at the file and between changes, and positions of a drag."""
LATE = 120.0
"""After so many seconds a client gives up waiting [s]; it counts as not answered."""


@dataclass
class Told:
    """What was seen: waiting times [s] by question, statuses, memory [MB] as time went on."""

    waits: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    statuses: Counter[str] = field(default_factory=Counter)
    memory: list[float] = field(default_factory=list)

    def worst(self, what: str) -> float:
        return max(self.waits[what], default=0.0)

    def middle(self, what: str, share: float = 0.5) -> float:
        rows = sorted(self.waits[what])
        return rows[int(share * (len(rows) - 1))] if rows else 0.0

    def text(self) -> str:
        """Give a table of everything."""
        rows = [f"{'asked':8}{'answers':>9}{'median s':>10}{'95 % s':>9}{'worst s':>9}"]
        for what in sorted(self.waits):
            rows.append(
                f"{what:8}{len(self.waits[what]):9}{self.middle(what):10.2f}"
                f"{self.middle(what, 0.95):9.2f}{self.worst(what):9.2f}"
            )
        statuses = ", ".join(f"{k}: {n}" for k, n in sorted(self.statuses.items()))
        memory = ", ".join(f"{mb:.0f}" for mb in self.memory)
        return "\n".join([*rows, f"answers by status: {statuses}", f"memory [MB]: {memory}"])


async def load(served: Served, clients: int, seconds: float, seed: int = 0) -> Told:
    """Let many clients work for some time."""
    told = Told()
    end = time.monotonic() + seconds
    rows = [_client(served, number, end, told, random.Random(f"{seed} {number}"))
            for number in range(clients)]  # fmt: skip
    await asyncio.gather(*rows, _watch(served.process.pid, end, seconds, told))
    return told


async def _client(served: Served, number: int, end: float, told: Told, dice: random.Random) -> None:
    name = f"{CIRCUITS[number % len(CIRCUITS)]}.hyc"
    headers = {"x-circuitcheck-token": served.token, "origin": f"http://127.0.0.1:{served.port}"}
    address = f"http://127.0.0.1:{served.port}"
    async with httpx.AsyncClient(base_url=address, headers=headers, timeout=LATE) as client:

        async def ask(what: str, **asked: Any) -> dict[str, Any]:
            start = time.monotonic()
            try:
                got = await client.post(
                    f"/ask/{what}", json={"name": name, "tab": f"client {number}", **asked}
                )
            except httpx.HTTPError as problem:
                told.statuses[type(problem).__name__] += 1
                return {}
            told.waits[what].append(time.monotonic() - start)
            told.statuses[str(got.status_code)] += 1
            return dict(got.json() or {})  # a text not understood has no figures

        async def polls() -> None:
            while time.monotonic() < end:
                await ask("state")
                await asyncio.sleep(POLL)

        async def edits() -> None:
            text = (await ask("open"))["text"]
            looked = await ask("look", text=text)
            while time.monotonic() < end:
                knob = dice.choice([k for k in looked["knobs"] if k["unit"]])
                for turn in range(DRAG if dice.random() < 0.3 else 0):
                    figure = f"{knob['value'] * (1 + 0.01 * turn):.4g}"
                    await ask("trial", text=put(text, knob["place"], figure))
                text = put(text, knob["place"], f"{knob['value'] * dice.uniform(0.9, 1.1):.4g}")
                found = await ask("look", text=text)
                looked = found if found.get("knobs") else looked
                await ask("sheet", text=text, colours=True)
                if not found.get("understood"):  # a figure that cannot be: back to the file
                    text = (await ask("open"))["text"]
                    looked = await ask("look", text=text)
                await asyncio.sleep(dice.uniform(*PAUSE))

        await asyncio.gather(polls(), edits())


async def _watch(server: int, end: float, seconds: float, told: Told) -> None:
    while time.monotonic() < end:
        told.memory.append(memory_of(server))
        await asyncio.sleep(max(seconds / 12, 1.0))


def memory_of(pid: int) -> float:
    """Give the resident memory of a process and all below it [MB]; Linux only."""
    parents: dict[int, list[int]] = defaultdict(list)
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            fields = (folder / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue  # it has ended in the meantime
        parents[int(fields[1])].append(int(folder.name))
    family, todo = [], [pid]
    while todo:
        family.append(todo.pop())
        todo += parents[family[-1]]
    pages = 0
    for one in family:
        try:
            pages += int((Path("/proc") / str(one) / "statm").read_text().split()[1])
        except OSError:
            continue
    return pages * 4096 / 1e6


def main() -> None:
    """Serve some examples and print what was seen."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--clients", type=int, default=50)
    words.add_argument("--seconds", type=float, default=300.0)
    asked = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        for name in CIRCUITS:
            shutil.copy(EXAMPLES / f"{name}.hyc", folder)
        served = begin(Path(folder) / "press.hyc")
        try:
            print(asyncio.run(load(served, asked.clients, asked.seconds)).text())
        finally:
            served.end()


if __name__ == "__main__":
    main()
