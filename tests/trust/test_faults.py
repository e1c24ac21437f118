"""Disks that are full, folders that cannot be written, programs that are killed, two at once.

Nothing is lost, nothing stands half-written under its name, the exit status says what
happened, and what is said is in words.
"""

from __future__ import annotations

import ctypes
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.basics.writing import write_whole
from circuitcheck.sweeps import store as store_module
from circuitcheck.sweeps.store import Store, StoreError
from tests.cli.conftest import SMALL

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals and limits of POSIX")

SWEEP = ("sweep", "small.hyc", "--vary", "R1 set = 100 to 200 bar, 400 points", "--chunk", "20",
         "--result", "R1 flow", "-o", "out.csv")  # fmt: skip
PR_CAPBSET_DROP, CAP_DAC_OVERRIDE = 24, 1
"""prctl(2) and capabilities(7) of Linux: even root then keeps to the rights of a folder."""


@pytest.fixture
def here(tmp_path: Path) -> Path:
    """A folder with a circuit."""
    (tmp_path / "small.hyc").write_text(SMALL, encoding="utf-8")
    return tmp_path


@pytest.fixture
def run(project: Path, here: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run a command in the folder as a program of its own."""

    def started(*words: str, before: Any = None, **more: Any) -> Any:
        command = [sys.executable, "-m", "circuitcheck", *words]
        return subprocess.run(
            command, cwd=here, env={**os.environ, "PYTHONPATH": str(project)}, text=True,
            preexec_fn=before, check=False, **({"capture_output": True} | more),
        )  # fmt: skip

    return started


def said(done: subprocess.CompletedProcess[str]) -> str:
    """What was said, in one line; never a traceback."""
    assert "Traceback" not in done.stderr + done.stdout
    assert "this is a fault of circuitcheck" not in done.stderr
    return " ".join((done.stdout + done.stderr).split())


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def small_files() -> None:
    """No file may grow beyond 1000 bytes, as on a disk that is full."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))


# ---- disk full -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [("draw", "small.hyc", "-o", "out"), ("startup", "small.hyc", "-o", "out")],
    ids=lambda words: words[0],
)
def test_a_file_that_finds_no_room_leaves_the_old_one(
    run: Any, here: Path, words: tuple[str, ...]
) -> None:
    target = here / ("out.svg" if words[0] == "draw" else "out")
    target.write_text("old", encoding="utf-8")
    done = run(*words[:-1], target.name, before=small_files)
    assert done.returncode == 2
    assert "cannot be written: file too large" in said(done)
    assert target.read_text(encoding="utf-8") == "old"
    assert names(here) == sorted(["small.hyc", target.name])


@pytest.fixture
def small_disk(here: Path) -> Iterator[Path]:
    """A disk of 1 MB below the folder."""
    disk = here / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    made = mount and subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)],
        capture_output=True, check=False,
    )  # fmt: skip
    if not made or made.returncode:
        pytest.skip("a small disk cannot be mounted here (needs root)")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_sweep_that_fills_the_disk_goes_on_when_there_is_room(
    run: Any, here: Path, small_disk: Path
) -> None:
    command = [*SWEEP[:-1], "disk/out.csv"]
    ballast = small_disk / "ballast"
    ballast.write_bytes(bytes(900_000))
    done = run(*command)
    assert done.returncode == 2
    assert said(done) == "Error: out.csv cannot be written: no space left on device"
    assert not (small_disk / "out.csv").exists()
    ballast.unlink()
    done = run(*command)
    assert done.returncode == 0, done.stderr
    assert "by an earlier run" in said(done)
    assert names(small_disk) == ["out.csv"]
    assert run(*SWEEP).returncode == 0
    assert (here / "out.csv").read_bytes() == (small_disk / "out.csv").read_bytes()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full on this system")
def test_streams_that_find_no_room(run: Any) -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        told = {"stderr": subprocess.PIPE, "capture_output": False}
        for words in (("--help",), ("explain", "relief")):
            done = run(*words, stdout=full, **told)
            assert done.returncode == 2
            what = "Error: the answer cannot be written: no space left on device"
            assert done.stderr.strip() == what
        done = run("draw", "none.hyc", stdout=subprocess.PIPE, stderr=full, capture_output=False)
        assert done.returncode == 2  # nobody can be told, the status still says it


def test_an_output_that_is_closed(run: Any) -> None:
    done = run("check", "small.hyc", before=lambda: os.close(1))
    assert done.returncode == 2
    assert said(done) == "Error: the answer cannot be written: the output is closed"


# ---- folders that cannot be written --------------------------------------------------


def keep_to_rights() -> None:
    if os.geteuid() == 0:
        ctypes.CDLL(None).prctl(PR_CAPBSET_DROP, CAP_DAC_OVERRIDE)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="capabilities of Linux")
def test_a_folder_that_is_read_only(run: Any, here: Path) -> None:
    closed = here / "closed"
    closed.mkdir()
    (closed / "old.svg").write_text("old", encoding="utf-8")
    closed.chmod(0o500)
    sweep = [*SWEEP[:-1], "closed/out.csv"]
    for words in (("draw", "small.hyc", "-o", "closed/old.svg"), sweep):
        done = run(*words, before=keep_to_rights)
        assert done.returncode == 2
        assert "cannot be written: permission denied" in said(done)
    assert names(closed) == ["old.svg"]
    assert (closed / "old.svg").read_text(encoding="utf-8") == "old"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="capabilities of Linux")
def test_a_cache_that_cannot_be_written_is_done_without(run: Any, here: Path) -> None:
    cache = here / "cache"
    cache.mkdir(mode=0o500)
    os.environ["XDG_CACHE_HOME"], before = str(cache), os.environ.get("XDG_CACHE_HOME")
    try:
        assert run("check", "small.hyc", before=keep_to_rights).returncode in (0, 1)
    finally:
        os.environ.pop("XDG_CACHE_HOME")
        if before is not None:
            os.environ["XDG_CACHE_HOME"] = before
    assert names(cache) == []


# ---- killed in the middle ------------------------------------------------------------

KILLED = """
import os, signal
from pathlib import Path
def killed(self, other):
    os.kill(os.getpid(), signal.SIGKILL)
Path.replace = killed
from circuitcheck.cli import main
main({words})
"""


def test_a_program_killed_before_the_last_step_leaves_the_old_file(
    project: Path, run: Any, here: Path
) -> None:
    target = here / "out[1].svg"
    target.write_text("old", encoding="utf-8")
    words = ["draw", "small.hyc", "-o", target.name]
    done = subprocess.run(
        [sys.executable, "-c", KILLED.format(words=words)], cwd=here, check=False,
        env={**os.environ, "PYTHONPATH": str(project), "XDG_CACHE_HOME": str(here / "none")},
    )  # fmt: skip
    assert done.returncode == -signal.SIGKILL
    assert target.read_text(encoding="utf-8") == "old"
    assert run(*words).returncode == 0
    assert target.read_text(encoding="utf-8").startswith("<svg")
    assert [name for name in names(here) if name.endswith(".part")] == []  # litter is gone


def test_what_a_running_program_writes_is_no_litter(tmp_path: Path) -> None:
    target = tmp_path / "x"
    other = tmp_path / f".x.{os.getppid()}.part"
    other.write_bytes(b"of a program that runs")
    write_whole(target, b"new")
    assert target.read_bytes() == b"new"
    assert other.exists()


# ---- sweeps: lost runs, stale locks, two at once --------------------------------------


def test_the_lock_of_a_run_that_died_keeps_nobody_out(run: Any, here: Path) -> None:
    parts = here / "out.csv.parts"
    parts.mkdir()
    (parts / "lock").write_text("12345", encoding="utf-8")
    (parts / "sweep.json").write_text('{"finger', encoding="utf-8")
    done = run(*SWEEP)
    assert done.returncode == 2
    assert "--afresh discards it" in said(done)
    assert run(*SWEEP, "--afresh").returncode == 0
    assert names(here) == ["out.csv", "small.hyc"]


def test_afresh_does_not_take_the_pieces_of_a_run_that_runs(here: Path) -> None:
    target = here / "x.csv"
    with Store(target, "one", 2) as first:
        first.put(0, b"piece", {})
        with pytest.raises(StoreError, match="another run is writing"), Store(target, "b", 2, True):
            pass
        assert first.missing == [1]
    with Store(target, "one", 2) as again:
        assert again.missing == [1]


def test_a_run_that_ends_while_another_waits_takes_its_folder_along(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second opened the lock of the first, which is gone when the second has it."""
    true, ended = store_module._locked, []

    def late(file: Any) -> bool:
        if not ended:
            ended.append(shutil.rmtree(tmp_path / "x.csv.parts"))
        return true(file)

    monkeypatch.setattr(store_module, "_locked", late)
    with Store(tmp_path / "x.csv", "one", 2) as second:
        second.put(0, b"piece", {})
        assert second.missing == [1]
        with pytest.raises(StoreError), Store(tmp_path / "x.csv", "one", 2):
            pass


def test_two_sweeps_at_once(project: Path, run: Any, here: Path) -> None:
    command = [sys.executable, "-m", "circuitcheck", *SWEEP]
    env = {**os.environ, "PYTHONPATH": str(project)}
    both = [
        subprocess.Popen(command, cwd=here, env=env, stderr=subprocess.PIPE, text=True,
                         stdout=subprocess.DEVNULL)
        for _ in range(2)
    ]  # fmt: skip
    told = [one.communicate(timeout=120)[1] for one in both]
    statuses = sorted(one.returncode for one in both)
    assert statuses in ([0, 0], [0, 2]), told
    for one, text in zip(both, told, strict=True):
        assert "another run is writing" in text if one.returncode else text == ""
    assert names(here) == ["out.csv", "small.hyc"]
    assert len((here / "out.csv").read_text(encoding="utf-8").splitlines()) == 801


def test_two_writers_of_one_file(tmp_path: Path) -> None:
    """Whoever looks finds one of the two, whole."""
    target = tmp_path / "x"
    contents = {bytes([letter]) * 300_000 for letter in b"ab"}
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from circuitcheck.basics.writing import write_whole\n"
        "for _ in range(40): write_whole(Path(sys.argv[1]), sys.argv[2].encode() * 300_000)"
    )
    writers = [
        subprocess.Popen([sys.executable, "-c", code, str(target), letter], cwd=Path.cwd())
        for letter in "ab"
    ]
    seen, limit = 0, time.monotonic() + 60
    while any(one.poll() is None for one in writers) and time.monotonic() < limit:
        if target.exists():
            assert target.read_bytes() in contents
            seen += 1
    assert [one.wait() for one in writers] == [0, 0]
    assert seen
    assert names(tmp_path) == ["x"]


def test_a_sweep_that_is_interrupted_says_how_it_goes_on(
    project: Path, run: Any, here: Path
) -> None:
    many = [*SWEEP[:3], "R1 set = 100 to 200 bar, 20000 points", *SWEEP[4:]]
    started = subprocess.Popen(
        [sys.executable, "-m", "circuitcheck", *many], cwd=here, stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(project)}, stdout=subprocess.DEVNULL,
        # a shell that runs the tests in the background has it ignored
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip
    parts, limit = here / "out.csv.parts", time.monotonic() + 60
    while len(list(parts.glob("*.piece"))) < 2 and time.monotonic() < limit:
        time.sleep(0.01)
    started.send_signal(signal.SIGINT)
    told = started.communicate(timeout=60)[1]
    assert started.returncode == 130
    assert told.strip() == "interrupted; the same command continues what is in out.csv.parts"
    assert not (here / "out.csv").exists()
    assert len(list(parts.glob("*.piece"))) >= 2
