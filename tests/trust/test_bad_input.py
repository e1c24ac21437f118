"""Input that is meant to hurt, each with the words that answer it, in little time and memory."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from circuitcheck.basics.project_limits import project_limits
from circuitcheck.circuit.opening import MOST_PARTS
from circuitcheck.circuit.steps import MOST_STEPS
from circuitcheck.language.bounds import LONGEST_LINE, LONGEST_TEXT, LONGEST_WORD, MOST_LINES
from circuitcheck.pipeline import Project, open_file, parse
from tests.cli.conftest import SMALL

MILLION = 1_000_000
SECONDS = 4.0
"""Twice what an answer may take [s of processor time]: the machine may be busy."""
Run = Callable[..., Any]


def told(project: Project) -> str:
    """What is wrong with a text, all of it in one line."""
    assert not project.understood
    return " | ".join(f"{f.slug}: {f.message}; {f.remedy}" for f in project.mistakes)


def of(text: str) -> str:
    began = time.process_time()
    said = told(parse(text, "x.hyc"))
    assert time.process_time() - began < SECONDS
    return said


def small(old: str, new: str) -> str:
    assert old in SMALL
    return SMALL.replace(old, new)


# ---- too much of everything ----------------------------------------------------------

LONG = f"a line has {LONGEST_LINE} at most"
TOO_MUCH = {
    "brackets": (lambda: small("parts\n", f"values\n  a {'(' * 9000}1{')' * 9000}\nparts\n"),
                 "brackets-too-deep: more than 20 brackets inside each other"),
    "10 MB of words": (lambda: small("60 L\n", f"60 L, {'a ' * 5 * MILLION}\n"), LONG),
    "10 MB of clauses": (lambda: small("60 L\n", f"60 L{', a 1' * 2 * MILLION}\n"), LONG),
    "10 MB of slashes": (lambda: SMALL + "a/" * 5 * MILLION, LONG),
    "10 MB of brackets": (lambda: SMALL + "(" * 10 * MILLION, LONG),
    "10 MB of quotes": (lambda: SMALL + '"' * 10 * MILLION, LONG),
    "10 MB of comment": (lambda: SMALL + "#" * 10 * MILLION, LONG),
    "10 MB of lines": (lambda: "\n" * 10 * MILLION,
                       f"this text has 10000001 lines; more than {MOST_LINES} are not read"),
    "a million parts": (lambda: "parts\n" + "".join(f"T{i} tank\n" for i in range(MILLION)),
                        f"this text has 1000002 lines; more than {MOST_LINES} are not read"),
    "a long name": (lambda: small("R1", "R" * 5000),
                    f"this word has 5000 characters; a word has {LONGEST_WORD} at most"),
    "a long figure": (lambda: small("210 bar", "9" * 5000 + " bar"),
                      f"this word has 5000 characters; a word has {LONGEST_WORD} at most"),
    "a long text": (lambda: small("Test", "x" * 5000),
                    f"this text has 5000 characters; a text has {LONGEST_TEXT} at most"),
    "a long cycle": (lambda: SMALL + "".join(f"  step s{i}, 5 s\n" for i in range(9999)),
                     f"this cycle has 10001 steps; more than {MOST_STEPS} are not read"),
}  # fmt: skip


@pytest.mark.parametrize("what", TOO_MUCH)
def test_too_much_is_refused_by_name(what: str) -> None:
    text, said = TOO_MUCH[what]
    assert said in of(text())


def test_blocks_that_multiply_are_refused() -> None:
    blocks = ""
    for i in range(12):
        parts = "".join(f"  S{k} b{i + 1}\n" for k in range(10))
        blocks += f"block b{i}\nports P\nparts\n{parts}end block\n"
    text = blocks + "block b12\nports P\nparts\n  T tank\nend block\n" + SMALL
    said = told(parse(text.replace("lines\n", "  X b0\nlines\n")))
    assert said.startswith(f"too-many-parts: this text comes to more than {MOST_PARTS} parts")
    assert "too-many-parts" not in said[1:]


def test_parts_beyond_counting_in_few_lines_are_refused() -> None:
    names = " and ".join(f"T{i}" for i in range(1000))
    rows = (names.replace("T", f"T{k}_") + " tank, 60 L\n" for k in range(101))
    said = told(parse("parts\n" + "".join(rows)))
    assert said == (
        f"too-many-parts: this text comes to more than {MOST_PARTS} parts; "
        "cut the machine into several circuits; use fewer blocks inside blocks"
    )


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits of Linux")
def test_what_is_too_large_is_refused_with_little_memory(project: Path, tmp_path: Path) -> None:
    """500 MB for the whole process, text and libraries included."""
    files = {"line": b"a/" * 5_000_000, "lines": b"\n" * 10_000_000, "nothing": bytes(40_000_000)}
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    code = (
        "import resource, sys\n"
        "resource.setrlimit(resource.RLIMIT_DATA, (500 * 2**20,) * 2)\n"
        "from circuitcheck.cli import main\nmain(['check', *sys.argv[1:]])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *files], cwd=tmp_path, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(project)}, check=False,
    )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert done.stderr == ""
    assert " ".join(done.stdout.split()).count("error:") == 3


# ---- figures that are none -----------------------------------------------------------

FIGURES = {
    "NaN bar": "'NaN' does not belong here",
    "inf bar": "'inf' does not belong here",
    "-inf bar": "'-inf' does not belong here",
    "∞ bar": "'∞' does not belong here",
    "1e999 bar": "this figure is too large",
    "1e308 bar": "1e308 is too large a figure",
    "210e99999999999999999999 bar": "this figure is too large",
    "-1e308 bar": "-1e308 is too large a figure",
    "1e-320 bar": "'set' is too small",
    "(1e308 bar * 1e308)": "this sum comes to too large a figure",
    "(1 bar / 0)": "this is 0, and nothing can be divided by it",
    "(0 bar / (1 - 1))": "this is 0, and nothing can be divided by it",
    "210 bar^999999": "'^999999' does not belong here",
    "210 m999999": "'m999999' is not a unit",
    "1/0 bar": "'1/0' divides by 0",
}


@pytest.mark.parametrize("figure", FIGURES)
def test_figures_that_are_none(figure: str) -> None:
    assert FIGURES[figure] in of(small("210 bar", figure))


def test_units_do_not_multiply() -> None:
    """A chain of values, each the square of the one before, ends in words."""
    rows = ["  v0 1e20 bar\n", *(f"  v{i} (v{i - 1} * v{i - 1})\n" for i in range(1, 40))]
    said = of(small("parts\n", "values\n" + "".join(rows) + "parts\n"))
    assert "too large a figure" in said


def test_options_take_no_such_figures(circuitcheck: Run, tmp_path: Path) -> None:
    file = tmp_path / "x.hyc"
    file.write_text(SMALL, encoding="utf-8")
    for value in ("nan degC", "inf degC", "1e999 degC", "9" * 400 + " degC"):
        answer = circuitcheck("duty", file, "--hold", value)
        assert answer.status == 2, value
        assert "Error: Invalid value for '--hold'" in answer.err
    for value, said in {
        "nan bar": "write: 50 to 300 bar",
        "1e999 bar": "inf is too large a figure",
        "1 to inf bar, 3 points": "'R1 set' needs a unit",
        "1 to 2 bar, 1e99 points": "write: 50 to 300 bar",
        "1 to 2 bar, 99999999999 points": "from 1 point to a thousand million",
    }.items():
        answer = circuitcheck("sweep", file, "--vary", f"R1 set = {value}")
        assert answer.status == 2, value
        assert said in " ".join(answer.err.split())


# ---- what the eye does not see -------------------------------------------------------

HIDDEN = {
    "\u202e": "right-to-left override (U+202E)",
    "\u2066": "left-to-right isolate (U+2066)",
    "\u200f": "right-to-left mark (U+200F)",
    "\u200b": "zero width space (U+200B)",
    "\xad": "soft hyphen (U+00AD)",
    "\ufeff": "zero width no-break space (U+FEFF)",
    "\u2028": "line separator (U+2028)",
    "\0": "control character (U+0000)",
    "\x1b": "control character (U+001B)",
    "\x85": "control character (U+0085)",
    "\ud800": "control character (U+D800)",
    "\U000e0041": "tag latin capital letter a (U+E0041)",
}


@pytest.mark.parametrize("mark", HIDDEN, ids=lambda mark: f"{ord(mark):04X}")
@pytest.mark.parametrize("where", ['"Te{}st"', "Test{}", "# {}"])
def test_marks_that_cannot_be_seen(mark: str, where: str) -> None:
    """In a text in quotes, in a word, in a comment."""
    text = small('"Test"', '"Test" ' + where.format(mark))
    said = of(text)
    assert said.startswith(f"hidden-mark: a mark that cannot be seen: {HIDDEN[mark]}; delete it")
    finding = parse(text).mistakes[0]
    assert text[finding.place.column - 1] == mark


LOOK_ALIKES = {
    ("R1 T", "R1 Т"): ("'Т' looks like 'T'", "cyrillic capital letter te"),
    ("P1  pump", "Р1  pump"): ("'Р1' looks like 'P1'", "cyrillic capital letter er"),
    ("relief", "rеlief"): ("'rеlief' looks like 'relief'", "cyrillic small letter ie"),
    ("T1  tank", "Τ1  tank"): ("'Τ1' looks like 'T1'", "greek capital letter tau"),
    ("210", "２１０"): ("'２１０' looks like '210'", "fullwidth digit two"),
    ("210 bar", "210 𝐛𝐚𝐫"): ("'𝐛𝐚𝐫' looks like 'bar'", "mathematical bold small b"),
}


@pytest.mark.parametrize("change", LOOK_ALIKES, ids=lambda change: change[1])
def test_letters_that_look_like_others(change: tuple[str, str]) -> None:
    seems, name = LOOK_ALIKES[change]
    said = of(small(*change))
    assert said.startswith("look-alike: ")
    assert f"{seems} but holds another mark: {name}" in said


@pytest.mark.parametrize("word", ["Насос", "Н1", "Zürich", "ポンプ", "水泵", "ΔP", "насос_P9"])
def test_names_of_any_alphabet_are_welcome(word: str) -> None:
    assert parse(SMALL.replace("P1", word).replace('"Test"', f'"{word} Т"')).understood


def test_units_with_raised_figures_and_micro_signs_are_welcome() -> None:
    text = SMALL.replace("60 L/min", "60 L/min, rated 31.5 N/mm²")
    assert parse(text.replace("  R1", "  F1 filter, 10 µm, plugged out\n  R1")) is not None
    assert parse(text).understood


# ---- how a file is written -----------------------------------------------------------

UNCHANGED = {
    "crlf": SMALL.replace("\n", "\r\n").encode(),
    "cr": SMALL.replace("\n", "\r").encode(),
    "bom": b"\xef\xbb\xbf" + SMALL.encode(),
    "no last line end": SMALL.rstrip("\n").encode(),
}
NO_TEXT = {
    "latin-1": (
        SMALL.replace("Test", "Tést").encode("latin-1"),
        "x.hyc:1:11: error: this character is",
    ),
    "cut letter": (SMALL.encode() + b"\xe2\x82", "this character is not written in UTF-8"),
    "long form": (SMALL.encode() + b"\xc0\xaf", "this character is not written in UTF-8"),
    "half letters": (SMALL.encode() + b"\xed\xa0\x80", "this character is not written in UTF-8"),
    "utf-16": (SMALL.encode("utf-16"), "this file is saved as UTF-16"),
    "nothing": (b"", "this text lists no parts"),
    "zeros": (bytes(100), "a mark that cannot be seen: control character (U+0000)"),
}


@pytest.mark.parametrize("how", UNCHANGED)
def test_line_ends_and_a_mark_of_byte_order_change_nothing(tmp_path: Path, how: str) -> None:
    file = tmp_path / "x.hyc"
    file.write_bytes(UNCHANGED[how])
    found, plain = open_file(file).point("first"), parse(SMALL).point("first")
    assert found["P1"].ports["P"].pressure == plain["P1"].ports["P"].pressure


@pytest.mark.parametrize("how", NO_TEXT)
def test_files_that_are_no_text(circuitcheck: Run, tmp_path: Path, how: str) -> None:
    data, said = NO_TEXT[how]
    file = tmp_path / "x.hyc"
    file.write_bytes(data)
    answer = circuitcheck("check", file)
    assert answer.status == 2
    assert said in " ".join(answer.out.split())


# ---- files that lead elsewhere -------------------------------------------------------

PATHS = {
    "../secret.hyc": "use-outside",
    "sub/../../secret.hyc": "use-outside",
    "/etc/passwd": "use-path",
    "~/secret.hyc": "use-path",
    "C:/secret.hyc": "use-path",
    "..\\secret.hyc": "use-path",
    "link.hyc": "use-outside",
    "folder_link/secret.hyc": "use-outside",
    "loop.hyc": "use-",
    "sub": "use-missing: sub is not a file",
    "pipe.hyc": "use-missing: pipe.hyc is not a file",
    "zero.hyc": "use-outside",
    "x" * 190: "use-missing",
    "x.hyc": "use-circle: x.hyc uses itself: x.hyc -> x.hyc",
    "a.hyc": "use-circle: a.hyc uses itself: a.hyc -> b.hyc -> a.hyc",
}


@pytest.mark.skipif(os.name == "nt", reason="links and pipes of POSIX")
@pytest.mark.parametrize("path", PATHS)
def test_paths_that_lead_elsewhere(tmp_path: Path, path: str) -> None:
    inside = tmp_path / "project"
    (inside / "sub").mkdir(parents=True)
    (tmp_path / "secret.hyc").write_text("SECRET", encoding="utf-8")
    (inside / "link.hyc").symlink_to(tmp_path / "secret.hyc")
    (inside / "folder_link").symlink_to(tmp_path)
    (inside / "loop.hyc").symlink_to("loop.hyc")
    (inside / "zero.hyc").symlink_to("/dev/zero")
    os.mkfifo(inside / "pipe.hyc")
    (inside / "a.hyc").write_text('use "b.hyc"\n', encoding="utf-8")
    (inside / "b.hyc").write_text('use "a.hyc"\n', encoding="utf-8")
    for word, text in {
        "use": f'use "{path}"\n{SMALL}',
        "losses": small("16 cc/rev,", f'16 cc/rev, losses "{path}",'),
    }.items():
        if word == "losses" and "circle" in PATHS[path]:
            continue
        (inside / "x.hyc").write_text(text, encoding="utf-8")
        said = told(open_file(inside / "x.hyc"))
        if word == "use":
            assert PATHS[path] in said
        assert "SECRET" not in said


@pytest.mark.skipif(os.name == "nt", reason="links and pipes of POSIX")
def test_a_circuit_that_is_a_link_or_device(circuitcheck: Run, tmp_path: Path) -> None:
    loop = tmp_path / "loop.hyc"
    loop.symlink_to(loop)
    zero = tmp_path / "zero.hyc"
    zero.symlink_to("/dev/zero")
    for file, said in (
        (loop, "the file cannot be read: too many levels of symbolic links"),
        (zero, "the file is too large: more than 30 MB"),
        (tmp_path, "the file cannot be read: is a directory"),
        (tmp_path / ("x" * 300), "the file cannot be read: file name too long"),
    ):
        answer = circuitcheck("check", file)
        assert answer.status == 2
        assert said in " ".join(answer.out.split())


@pytest.mark.skipif(os.name == "nt", reason="pipes of POSIX")
def test_a_circuit_may_come_through_a_pipe(project: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "circuitcheck", "check", "/dev/stdin"], cwd=project, text=True,
        input=SMALL, capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "idle-over-relief" in done.stdout


# ---- files beside the circuit --------------------------------------------------------


def test_a_catalogue_that_is_meant_to_hurt(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    file, catalogue = tmp_path / "x.hyc", tmp_path / "parts" / "own.toml"
    file.write_text(SMALL, encoding="utf-8")
    for text, said in {
        "a = " + "[" * 100_000: "catalogue: ",
        "a.b" * 1000: "catalogue: ",
        "[" * 9: "catalogue: ",
        "x" * 2_000_001: "file-unread: ",
        '[x]\nkind = "tank"\nvolume = nan': "'volume' of a tank takes a figure",
        '[x]\nkind = "tank"\nvolume = inf': "'volume' of a tank takes a figure",
    }.items():
        catalogue.write_text(text, encoding="utf-8")
        assert said in told(open_file(file))


def test_limits_of_a_project_that_are_meant_to_hurt(tmp_path: Path) -> None:
    file = tmp_path / "circuitcheck.toml"
    for text, said in {
        "a = " + "[" * 100_000: "its lists are nested too deep",
        "x" * 2_000_001: "is too large to be read",
        "[limits.relief-gap-small]\ngap = nan": "'nan' of relief-gap-small is no figure",
        '[limits.relief-gap-small]\ngap = "1e9 bar"': "'e9 bar' of relief-gap-small is not a unit",
        "[limits\n": "cannot be read",
    }.items():
        file.write_text(text, encoding="utf-8")
        _, wrong = project_limits(tmp_path)
        assert len(wrong) == 1
        assert said in wrong[0].message
    file.write_bytes(b"\xff\xfe")
    assert "cannot be read" in project_limits(tmp_path)[1][0].message


CLAIMS = {
    b"subject,value\n" + b"x" * 200_000 + b",1 bar\n": "line 2 is no line of a table",
    b"subject,value\n\0,1 bar\n": "",
    b"subject,value\nP1 P pressure,\xff\n": "line 2: this character is not written in UTF-8",
    b"": "the first line names the columns",
    b"subject,value\n\"P1 speed\nparts\nX9 tank\",1450 rpm\n": "",
    b"subject,value\n\"P1 speed\xe2\x80\xae\",1450 rpm\n": "",
}  # fmt: skip


@pytest.mark.parametrize("table", CLAIMS, ids=range(len(CLAIMS)))
def test_tables_of_claims_that_are_meant_to_hurt(
    circuitcheck: Run, tmp_path: Path, table: bytes
) -> None:
    file, claims = tmp_path / "x.hyc", tmp_path / "claims.csv"
    file.write_text(SMALL, encoding="utf-8")
    claims.write_bytes(table)
    answer = circuitcheck("check", file, "--claims", claims)
    assert answer.status == 2
    assert CLAIMS[table] in answer.err
    assert not re.search("Traceback|fault of circuitcheck", answer.err)
