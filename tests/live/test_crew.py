"""Work is done beside the server: the newest question first, no job without an end."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Iterator
from typing import Any

import pytest

from circuitcheck.live import crew as crews
from circuitcheck.live.crew import BusyError, Crew, FaultError, OutdatedError, TooLongError
from tests.live.conftest import run

TEXT = "parts\n  T1  tank, 60 L\n"


def about(text: str = TEXT) -> dict[str, Any]:
    return {"file": "/nowhere/one.hyc", "text": text, "tab": "1", "step": "", "result": "C1 speed",
            "curve": "", "positions": False, "colours": False, "sheet": 0}  # fmt: skip


@pytest.fixture
def crew() -> Iterator[Crew]:
    made = Crew(1, 60.0)
    yield made
    made.end()


def test_of_what_one_page_asks_only_the_newest_is_done(crew: Crew) -> None:
    async def asked() -> list[Any]:
        rows = [crew.ask("tab", "look", about(TEXT + f"# {k}\n")) for k in range(4)]
        rows.append(crew.ask("another", "look", about()))
        return await asyncio.gather(*rows, return_exceptions=True)

    *mine, last, other = run(asked())
    assert any(isinstance(one, OutdatedError) for one in mine)
    assert last["understood"]
    assert other["understood"]


def test_a_fault_is_told_and_the_next_question_answered(crew: Crew) -> None:
    async def asked() -> Any:
        with pytest.raises(FaultError, match="KeyError"):
            await crew.ask("tab", "no such job", about())
        return await crew.ask("tab", "look", about())

    assert run(asked())["understood"]


def test_a_job_without_an_end_is_ended_and_the_next_one_done(crew: Crew) -> None:
    async def asked() -> Any:
        await crew.ask("tab", "look", about())  # begins the process
        process = crew._workers[0]._process
        assert process is not None
        assert process.pid is not None
        os.kill(process.pid, 19)  # it stands still
        crew._limit = 0.5
        with pytest.raises(TooLongError, match="longer than"):
            await crew.ask("tab", "look", about())
        crew._limit = 60.0
        return await crew.ask("tab", "look", about())

    assert run(asked())["understood"]


def test_a_process_that_is_killed_is_told_and_replaced(crew: Crew) -> None:
    async def asked() -> Any:
        await crew.ask("tab", "look", about())
        process = crew._workers[0]._process
        assert process is not None
        process.kill()
        process.join()
        return await crew.ask("tab", "look", about())

    assert run(asked())["understood"]


def test_more_than_can_be_done_is_refused(crew: Crew, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crews, "MOST_WAITING", 2)

    async def asked() -> list[Any]:
        rows = [crew.ask(f"tab {k}", "look", about()) for k in range(4)]
        return await asyncio.gather(*rows, return_exceptions=True)

    answers = run(asked())
    assert sum(isinstance(one, BusyError) for one in answers) == 2


def test_ending_does_not_wait_for_work(crew: Crew) -> None:
    async def asked() -> None:
        await crew.ask("tab", "look", about())
        process = crew._workers[0]._process
        assert process is not None
        assert process.pid is not None
        os.kill(process.pid, 19)
        waiting = asyncio.ensure_future(crew.ask("tab", "look", about()))
        await asyncio.sleep(0.1)
        crew.end()
        with pytest.raises(TooLongError):
            await waiting

    start = time.monotonic()
    run(asked())
    assert time.monotonic() - start < 30.0
