"""Every command and every circuit of the manual is run, and says what the manual says."""

from __future__ import annotations

import contextlib
import doctest
import io
import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fences import Fence, fences

from circuitcheck.basics.findings import Severity
from circuitcheck.cli import COMMANDS, main
from circuitcheck.pipeline import open_file

MANUAL = Path(__file__).resolve().parents[2] / "shared" / "docs"
PAGES = sorted(MANUAL.glob("*.md"))
LEFT_OUT = "..."
STATUS = re.compile(r"\s+# exit status (\d+)$")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_what_a_page_says_is_so(page: Path, workshop: Path) -> None:
    names: dict[str, Any] = {}
    for fence in fences(page.read_text("utf-8")):
        where = f"{page.name}:{fence.line}"
        if fence.reason:
            assert len(fence.reason.split()) > 3, f"{where}: why it is not run"
        elif fence.about.startswith("hyc"):
            _circuit(fence, workshop, where)
        elif fence.about == "console":
            for command, said in _commands(fence.text):
                _command(command, said, where)
        elif fence.about == "pycon":
            _python(fence, names, where)
        else:
            assert fence.about.startswith("{"), f"{where}: '{fence.about}' is never run"


def _circuit(fence: Fence, folder: Path, where: str) -> None:
    """A circuit is understood, solved in every step and without errors, if not wrong on purpose."""
    text, name = fence.text, fence.name
    if fence.about != "hyc":
        name = fence.about.removeprefix("hyc added to ")
        file = folder / name
        if not file.exists():
            shutil.copy(folder / "examples" / name, file)
        text = file.read_text("utf-8") + text
    file = folder / (name or "unnamed.hyc")
    file.write_text(text, encoding="utf-8")
    project = open_file(file)
    if fence.wrong:
        assert not project.understood, f"{where}: it is wrong on purpose"
        return
    assert project.understood, f"{where}: {[m.message for m in project.mistakes]}"
    result = project.check()
    assert result.solved, where
    errors = [f"{f.slug}: {f.message}" for f in result.findings if f.severity is Severity.ERROR]
    assert errors == [], where


def _commands(text: str) -> Iterator[tuple[str, str]]:
    for piece in re.split(r"^\$ ", text, flags=re.M)[1:]:
        command, _, said = piece.partition("\n")
        yield command, said


def _command(command: str, said: str, where: str) -> None:
    expected = STATUS.search(command)
    words = shlex.split(STATUS.sub("", command))
    assert words[0] == "circuitcheck", f"{where}: only our own commands are run"
    out = io.StringIO()
    with (
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(out),
        pytest.raises(SystemExit) as ended,
    ):
        main(words[1:])
    assert int(ended.value.code or 0) == (int(expected[1]) if expected else 0), (
        f"{where}: {command}\n{out.getvalue()}"
    )
    as_told = _pattern(said).fullmatch(_plain(out.getvalue())) is not None
    assert as_told, f"{where}: {command}\n--- it says\n{out.getvalue()}\n--- the page\n{said}"


def _plain(text: str) -> str:
    """Lines without their layout: columns move when a figure far away in the table does."""
    return "".join(f"{' '.join(line.split())}\n" for line in _ruled(text).rstrip().splitlines())


def _ruled(text: str) -> str:
    return re.sub("─+", "─", text)


def _pattern(said: str) -> re.Pattern[str]:
    """Lines as they are; three dots stand for any lines, inside a line for any letters."""
    found = []
    for line in _plain(said).splitlines():
        if line == LEFT_OUT:
            found.append(r"(?:.*\n)*?")
        else:
            found.append(".*?".join(map(re.escape, line.split(LEFT_OUT))) + r"\n")
    return re.compile("".join(found))


def _python(fence: Fence, names: dict[str, Any], where: str) -> None:
    test = doctest.DocTestParser().get_doctest(fence.text, names, where, where, fence.line)
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS)
    told = io.StringIO()
    runner.run(test, out=told.write, clear_globs=False)
    names.update(test.globs)
    assert runner.summarize(verbose=False).failed == 0, told.getvalue()
    assert test.examples, where


# ---- that a page which is wrong would be found ----------------------------------------


@pytest.mark.parametrize(
    ("fence", "message"),
    [
        ("```console\n$ circuitcheck check examples/press.hyc\nno such answer\n```\n", "it says"),
        ("```console\n$ circuitcheck check nothing.hyc\n...\n```\n", "nothing.hyc"),
        ("```console\n$ rm x.hyc\n```\n", "only our own commands"),
        ("```hyc\nparts\n  P1  pump, fixd\n```\n", "fixd"),
        ("```hyc\n# x.hyc, wrong on purpose\nparts\n  T1  tank, 5 L\n```\n", "wrong on purpose"),
        ("```pycon\n>>> 1 + 1\n3\n```\n", "Got:\n      2"),
        ("```sh\nls\n```\n", "never run"),
        ("<!-- not run: no -->\n```sh\nls\n```\n", "why it is not run"),
    ],
)
def test_a_page_that_is_wrong_is_found(
    fence: str, message: str, workshop: Path, tmp_path: Path
) -> None:
    page = tmp_path / "wrong.md"
    page.write_text(f"# Wrong\n\n{fence}", encoding="utf-8")
    with pytest.raises(AssertionError, match=re.escape(message)):
        test_what_a_page_says_is_so(page, workshop)


# ---- commands in running text, and the README -----------------------------------------


def test_commands_named_in_the_text_exist(project: Path) -> None:
    for page in [*PAGES, project / "README.md"]:
        for command in re.findall(r"`circuitcheck ([a-z]\w*)", page.read_text("utf-8")):
            assert command in COMMANDS, f"{page.name}: circuitcheck {command}"


def test_commands_inside_a_sentence_can_be_run(workshop: Path) -> None:
    found = [
        (command, page.name)
        for page in PAGES
        for command in re.findall(r"`(circuitcheck [a-z]+ [^`A-Z]+)`", page.read_text("utf-8"))
    ]
    assert found
    for command, page in found:
        _command(command, LEFT_OUT, page)


def test_the_circuit_of_the_readme_is_understood_and_solved(project: Path, workshop: Path) -> None:
    text = (project / "README.md").read_text("utf-8")
    first = next(fence for fence in fences(text) if not fence.about)
    _circuit(Fence("hyc", first.text, first.line), workshop, "README.md")
