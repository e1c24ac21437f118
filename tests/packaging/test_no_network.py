"""No command reaches for the network: sockets are barred, and the work is done all the same."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from circuitcheck.cli import COMMANDS

# In a process of its own, because an audit hook cannot be taken off again. The hook is told of
# every socket of the process, whichever library opens it.
BAR = """
import sys
REACHED = []
def bar(event, arguments):
    if event in {"socket.connect", "socket.bind", "socket.sendto", "socket.getaddrinfo",
                 "socket.gethostbyname", "urllib.Request"}:
        REACHED.append(f"{event} {arguments}")
        raise ConnectionError("barred by the test")
sys.addaudithook(bar)
"""
RUN = (
    BAR
    + """
import json
from click.testing import CliRunner
from circuitcheck.cli import group
told = {}
for name, words in json.loads(sys.argv[1]).items():
    done = CliRunner().invoke(group, [name, *words])
    told[name] = (done.exit_code, done.output, list(REACHED))
    REACHED.clear()
sys.stdout.write(json.dumps(told))
"""
)
PRESS = "examples/press.hyc"
FEED = "examples/feed_slide.hyc"
ASKED: dict[str, list[str]] = {
    "check": [PRESS],
    "solve": [PRESS],
    "sweep": [PRESS, "--vary", "R1 set = 150 to 170 bar, 3 points"],
    "sensitivity": [PRESS, "C1 speed", "R1 set"],
    "size": [PRESS, "--find", "C1 bore", "--target", "C1 speed 60 mm/s, in press"],
    "spread": [PRESS, "--runs", "20"],
    "variants": ["examples/planer.hyc"],
    "duty": [PRESS],
    "curves": [PRESS],
    "draw": [PRESS, "-o", "{out}/press.svg"],
    "report": [FEED, "-o", "{out}/feed.html"],
    "ladder": [PRESS],
    "startup": [PRESS],
    "diagnose": [PRESS, "--readings", "{out}/readings.csv"],
    "compare": [PRESS, FEED],
    "why": [PRESS, "C1 speed", "--step", "press"],
    "explain": ["relief"],
    "format": [PRESS, "--check"],
}
# They answer on loopback or on a pipe, and have tests of their own.
SERVING = {"live", "lsp"}


@pytest.fixture(scope="module")
def told(project: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[object]]:
    out = tmp_path_factory.mktemp("out")
    (out / "readings.csv").write_text("gauge,value,step\nG1,205 bar,squeeze\n", encoding="utf-8")
    asked = {name: [word.format(out=out) for word in words] for name, words in ASKED.items()}
    done = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(asked)],
        cwd=project,
        capture_output=True,
        text=True,
        check=False,
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    answers: dict[str, list[object]] = json.loads(done.stdout)
    return answers


def test_every_command_is_asked() -> None:
    assert set(COMMANDS) - SERVING == set(ASKED)


@pytest.mark.parametrize("command", ASKED)
def test_no_command_opens_a_connection(command: str, told: dict[str, list[object]]) -> None:
    status, output, reached = told[command]
    assert not reached
    assert status in {0, 1}, output


def test_the_bar_holds() -> None:
    attempt = BAR + (
        "import socket\n"
        "try: socket.create_connection(('127.0.0.1', 9))\n"
        "except ConnectionError: print(REACHED)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", attempt], capture_output=True, text=True, check=False, timeout=60
    )
    assert "127.0.0.1" in done.stdout, done.stderr
