"""``circuitcheck live`` as a command: address, ports, ends, and what it says when it cannot."""

from __future__ import annotations

import shutil
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.live.conftest import EXAMPLES, begin

pytestmark = pytest.mark.xdist_group("live")


@pytest.mark.parametrize("way", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_cleanly_and_frees_its_port(tmp_path: Path, way: signal.Signals) -> None:
    shutil.copy(EXAMPLES / "filter_loop.hyc", tmp_path)
    served = begin(tmp_path / "filter_loop.hyc")
    assert len(served.token) >= 43  # 32 bytes, in base 64
    with socket.create_connection(("127.0.0.1", served.port), 10.0):
        pass
    assert served.end(way) == 0
    with socket.socket() as again:
        again.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        again.bind(("127.0.0.1", served.port))


def told(*words: str) -> tuple[int, str]:
    ran = subprocess.run(
        [sys.executable, "-m", "circuitcheck", "live", *words],
        capture_output=True, text=True, timeout=60, cwd=Path(__file__).parents[2], check=False,
    )  # fmt: skip
    return ran.returncode, ran.stderr


def test_what_cannot_be_is_said_in_words(tmp_path: Path) -> None:
    status, said = told(str(tmp_path / "none.hyc"))
    assert status == 2
    assert "there is no file" in said
    shutil.copy(EXAMPLES / "filter_loop.hyc", tmp_path)
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        status, said = told(str(tmp_path / "filter_loop.hyc"), "--no-browser", "--port", str(port))
    assert status == 2
    assert f"port {port} cannot be used" in said
    (tmp_path / "not_text.hyc").write_bytes(b"\xff\xfe\x00")
    status, said = told(str(tmp_path / "not_text.hyc"), "--no-browser")
    assert status == 2
    assert "UTF-16" in said
