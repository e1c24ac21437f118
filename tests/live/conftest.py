"""A server of its own for the tests of the live page, and a browser."""

from __future__ import annotations

import asyncio
import shutil
import signal
import subprocess
import sys
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import pytest

T = TypeVar("T")

EXAMPLES = Path(__file__).parents[2] / "examples"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
WAIT = 90_000
"""Longest time for which a browser waits for something [ms]; machines that test are busy."""
BROWSER = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--disable-dev-shm-usage",
)  # fmt: skip


@dataclass
class Served:
    """A running server: its folder, the address of its page, its process."""

    folder: Path
    address: str
    process: subprocess.Popen[str]

    @property
    def port(self) -> int:
        return int(self.address.partition("://127.0.0.1:")[2].partition("/")[0])

    @property
    def token(self) -> str:
        return self.address.partition("#token=")[2]

    def end(self, way: signal.Signals = signal.SIGTERM) -> int:
        if self.process.poll() is None:
            self.process.send_signal(way)
        status = self.process.wait(60)
        assert self.process.stdout is not None
        self.process.stdout.close()
        return status


def begin(file: Path, port: int = 0) -> Served:
    """Start the command as a person would, and read the address that it prints."""
    command = [sys.executable, "-m", "circuitcheck", "live", str(file), "--no-browser"]
    process = subprocess.Popen(
        [*command, "--port", str(port)], stdout=subprocess.PIPE, text=True,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert process.stdout is not None
    process.stdout.readline()
    return Served(file.parent, process.stdout.readline().strip(), process)


def run(work: Coroutine[Any, Any, T]) -> T:
    """Run asynchronous work to its end, beside the loop that a browser may have running here."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server for a folder with a few circuits."""
    folder = tmp_path_factory.mktemp("live")
    for name in ("press", "lift", "feed_slide", "filter_loop"):
        shutil.copy(EXAMPLES / f"{name}.hyc", folder)
    server = begin(folder / "press.hyc")
    yield server
    server.end()


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A browser without a screen; without chromium the tests that need it are skipped."""
    if CHROMIUM is None:
        pytest.skip("chromium is not installed (Debian package chromium)")
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as play:
        shown = play.chromium.launch(executable_path=CHROMIUM, args=list(BROWSER))
        yield shown
        shown.close()


@pytest.fixture
def tab(browser: Any) -> Iterator[Any]:
    """A fresh tab of 1280 by 800; what its page complains of fails the test."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(WAIT)
    page = context.new_page()
    page.complaints = []
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url.partition("://")[2].partition(":")[0]))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on(
        "console",
        lambda said: (
            page.complaints.append(said.text)
            if said.type == "error" and "Failed to load resource" not in said.text
            else None
        ),
    )
    yield page
    context.close()
    assert page.complaints == []
    assert {host for host in asked if "/" not in host and host} <= {"127.0.0.1"}  # no network
