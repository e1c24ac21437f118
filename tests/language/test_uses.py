"""``use``: blocks and defaults of other files of the project, and of no others."""

from __future__ import annotations

from pathlib import Path

import pytest

from circuitcheck.basics.carets import render
from circuitcheck.circuit import build
from circuitcheck.language import read, read_file

BLOCK = """block stop, set ? bar
  ports P, T
  parts
    R1  relief, set (set), 20 L/min
  lines
    from P to R1 P
    from R1 T to T
end block
"""
MAIN = """use "stop.hyc"
parts
  T1  tank, 60 L
  S1  stop, set 160 bar
lines
  from T1 to S1 P
  from S1 T to T1
"""


def written(folder: Path, **files: str) -> Path:
    """Write files (``__`` in a name is a folder) and give the first one."""
    paths = []
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.hyc"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    return paths[0]


def messages(path: Path) -> list[str]:
    """Every mistake of a file as people read it, the folder left out."""
    text, findings = read_file(path)
    _, more = build(text)
    rendered = [render(f, text.used.get(f.place.file, text.source)) for f in (*findings, *more)]
    return [message.replace(f"{path.parent}/", "") for message in rendered]


def test_blocks_and_defaults_are_brought(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        main=MAIN.replace("stop.hyc", "below/stop.hyc"),
        below__stop='use "../defaults.hyc"\n' + BLOCK + "parts\n  X1  tank, 3 L\n",
        defaults="defaults\n  every relief, override 20 %\n",
    )
    assert messages(path) == []
    text, _ = read_file(path)
    circuit, _ = build(text)
    assert circuit is not None
    assert list(circuit.parts) == ["T1", "S1/R1"]
    assert circuit.parts["S1/R1"].figure("set") == pytest.approx(160e5)
    assert circuit.parts["S1/R1"].figure("override") == pytest.approx(0.2)
    assert set(circuit.texts) == {str(tmp_path / "below/stop.hyc"), str(tmp_path / "defaults.hyc")}


def test_defaults_of_the_circuit_come_before_those_it_uses(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        main=MAIN + "defaults\n  every relief, override 10 %\n",
        stop=BLOCK + "defaults\n  every relief, override 20 %\n",
    )
    assert messages(path) == []
    circuit, _ = build(read_file(path)[0])
    assert circuit is not None
    assert circuit.parts["S1/R1"].figure("override") == pytest.approx(0.1)


def test_a_file_used_twice_is_read_once(tmp_path: Path) -> None:
    main = 'use "a.hyc"\nuse "./stop.hyc"\n' + MAIN
    assert messages(written(tmp_path, main=main, a='use "stop.hyc"\n', stop=BLOCK)) == []


WRONG = {
    "missing": (
        'use "stopp.hyc"',
        """main.hyc:1:5: there is no file 'stopp.hyc'
     1 | use "stopp.hyc"
       |     ^^^^^^^^^^^
       did you mean 'stop.hyc'?""",
    ),
    "nothing like it": (
        'use "valves/bank.hyc"',
        """main.hyc:1:5: there is no file 'valves/bank.hyc'
     1 | use "valves/bank.hyc"
       |     ^^^^^^^^^^^^^^^^^
       it is sought from this file on""",
    ),
    "absolute": (
        'use "/etc/stop.hyc"',
        """main.hyc:1:5: '/etc/stop.hyc' is not written from this file on
     1 | use "/etc/stop.hyc"
       |     ^^^^^^^^^^^^^^^
       a file lies in the folder of the circuit:  use "sections/lift.hyc\"""",
    ),
    "drive letter": (
        'use "C:stop.hyc"',
        """main.hyc:1:5: 'C:stop.hyc' is not written from this file on
     1 | use "C:stop.hyc"
       |     ^^^^^^^^^^^^
       a file lies in the folder of the circuit:  use "sections/lift.hyc\"""",
    ),
    "home": (
        'use "~/stop.hyc"',
        """main.hyc:1:5: '~/stop.hyc' is not written from this file on
     1 | use "~/stop.hyc"
       |     ^^^^^^^^^^^^
       a file lies in the folder of the circuit:  use "sections/lift.hyc\"""",
    ),
    "outside": (
        'use "below/../../stop.hyc"',
        """main.hyc:1:5: 'below/../../stop.hyc' lies outside the circuit's folder
     1 | use "below/../../stop.hyc"
       |     ^^^^^^^^^^^^^^^^^^^^^^
       put the file into the folder of the circuit, or below it""",
    ),
    "backslash": (
        'use "below\\stop.hyc"',
        """main.hyc:1:5: folders are parted by /
     1 | use "below\\stop.hyc"
       |     ^^^^^^^^^^^^^^^^
       write:  use "below/stop.hyc\"""",
    ),
    "folder": (
        'use "below"',
        """main.hyc:1:5: below is not a file
     1 | use "below"
       |     ^^^^^^^
       name a circuit file""",
    ),
    "no quotes": (
        "use stop",
        """main.hyc:1:1: which file is used?
     1 | use stop
       | ^^^^^^^^
       write one file in quotes:  use "file.hyc\"""",
    ),
    "two files": (
        'use "stop.hyc", "more.hyc"',
        """main.hyc:1:17: which file is used?
     1 | use "stop.hyc", "more.hyc"
       |                 ^^^^^^^^^^
       write one file in quotes:  use "file.hyc\"""",
    ),
    "itself": (
        'use "main.hyc"',
        """main.hyc:1:5: main.hyc uses itself: main.hyc -> main.hyc
     1 | use "main.hyc"
       |     ^^^^^^^^^^
       take this sentence away, or put the blocks of both into a third file""",
    ),
    "binary": (
        'use "picture.hyc"',
        """main.hyc:1:5: picture.hyc: this character is not written in UTF-8
     1 | use "picture.hyc"
       |     ^^^^^^^^^^^^^
       save the file again as UTF-8""",
    ),
    "no name": (
        f'use "{"x" * 300}"',
        f"""main.hyc:1:5: '{"x" * 40}...' cannot be the name of a file
     1 | use "{"x" * 95} ...
       |     {"^" * 96}""",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_used(name: str, tmp_path: Path) -> None:
    use, message = WRONG[name]
    path = written(tmp_path, main=MAIN.replace('use "stop.hyc"', use), stop=BLOCK, below__x="")
    (tmp_path / "picture.hyc").write_bytes(b"\x89PNG\r\n")
    assert messages(path) == [message]


def test_a_circle_is_shown(tmp_path: Path) -> None:
    path = written(tmp_path, main=MAIN, stop='use "a.hyc"\n' + BLOCK, a='use "stop.hyc"\n')
    assert messages(path) == [
        """a.hyc:1:5: stop.hyc uses itself: stop.hyc -> a.hyc -> stop.hyc
     1 | use "stop.hyc"
       |     ^^^^^^^^^^
       take this sentence away, or put the blocks of both into a third file"""
    ]


def test_a_link_does_not_lead_outside(tmp_path: Path) -> None:
    (tmp_path / "project").mkdir()
    path = written(tmp_path / "project", main=MAIN)
    (tmp_path / "stop.hyc").write_text(BLOCK, encoding="utf-8")
    (tmp_path / "project" / "stop.hyc").symlink_to(tmp_path / "stop.hyc")
    assert [message.split("\n")[0] for message in messages(path)] == [
        "main.hyc:1:5: 'stop.hyc' lies outside the circuit's folder"
    ]


def test_mistakes_in_a_used_file_are_shown_there(tmp_path: Path) -> None:
    path = written(tmp_path, main=MAIN, stop=BLOCK.replace("20 L/min", "20 = L/min"))
    assert messages(path) == [
        """stop.hyc:4:31: '=' is not used
     4 |     R1  relief, set (set), 20 = L/min
       |                               ^
       write the name, a space and the value: 20 L/min"""
    ]


def test_a_text_in_no_folder_uses_nothing() -> None:
    text, findings = read(MAIN, "main.hyc")
    assert [render(f, text.source) for f in findings] == [
        """main.hyc:1:5: 'stop.hyc' is beside no file: this text lies in no folder
     1 | use "stop.hyc"
       |     ^^^^^^^^^^
       save the text as a file, or write the block into it"""
    ]
    assert build(text) == (None, [])
