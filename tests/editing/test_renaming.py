"""Names: where they are given and spoken of; another name everywhere, or a refusal in words."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from circuitcheck.editing.mentions import Thing, by_name, given_at, mention_at, mentions
from circuitcheck.editing.renaming import Change, NoRenameError, changed, renamable, renamed
from circuitcheck.language import Text, read, read_file
from circuitcheck.pipeline import open_file, parse
from tests.press_text import PRESS

FOLDER = Path(__file__).resolve().parent.parent.parent / "examples"
EXAMPLES = sorted(FOLDER.glob("*.hyc"))

EVERYWHERE = """\
circuit "everywhere"
values
  pull  30 kN
  twice  (2 * pull)
parts
  T1  tank, 60 L
  E1  electric motor, 11 kW, 1450 rpm
  P1  pump, 16 cc/rev, driven by E1
  R1  relief, set 210 bar, 60 L/min
  G1  gauge, 0 to 315 bar    # G1 in a comment stays
  C1  cylinder, single acting, bore 80 mm, rod 50 mm, stroke 400 mm
lines
  press  from P1 P to R1 P and C1 cap, hose 12.7 mm, 2 m
  from T1 to P1 S
  from press to G1
  from R1 T to T1
cycle
  step "slow out",  C1 load (pull), E1 at 1400 rpm
  step hold,  C1 at end stop
claims "sheet G1"
  C1 speed 50 mm/s, in "slow out"
  press pressure 210 bar, in hold
readings
  G1 205 bar, in hold
variations
  vary R1 set 200 or 210 bar, in hold
  show C1 speed, press flow
tolerances
  R1 set, within 3 %
accepted
  idle-over-relief on R1, in hold, because "R1 is watched"
drawing A3
  R1 right of P1
  C1 above R1
variant weak "less", without G1
  parts
    R1  relief, set 150 bar, 60 L/min
    G9  gauge, 0 to 100 bar
  lines
    from press to G9
end variant
"""


def spots(text: str, sort: str, name: str) -> list[int]:
    found = mentions(read(text, "x.hyc")[0])
    return [m.place.line for m in found if m.thing == Thing(sort, name, "x.hyc")]


@pytest.mark.parametrize(
    ("sort", "name", "lines"),
    [
        ("part", "R1", [9, 13, 16, 26, 29, 31, 33, 34, 37]),
        ("part", "C1", [11, 13, 18, 19, 21, 27, 34]),
        ("part", "G1", [10, 15, 24, 35]),
        ("part", "G9", [38, 40]),
        ("part", "E1", [7, 8, 18]),
        ("line", "press", [13, 15, 22, 27, 40]),
        ("step", "slow out", [18, 21]),
        ("step", "hold", [19, 22, 24, 26, 31]),
        ("value", "pull", [3, 4, 18]),
        ("variant", "weak", [35]),
    ],
)
def test_a_name_is_found_in_every_chapter(sort: str, name: str, lines: list[int]) -> None:
    assert sorted(spots(EVERYWHERE, sort, name)) == lines
    assert parse(EVERYWHERE).understood


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_word_that_is_a_name_is_found_as_one(file: Path) -> None:
    """A second way to find names: every word outside comments and quotes that spells one."""
    text, _ = read_file(file)
    found = [m for m in mentions(text) if m.place.file == text.file and not m.thing.scope]
    parts = {m.thing.name for m in found if m.thing.sort == "part"}
    spoken = {(m.place.line, m.place.column) for m in found}
    for number, row in enumerate(text.source.split("\n"), 1):
        plain = re.sub(r'"[^"]*"|#.*', lambda m: " " * len(m.group()), row)
        for word in re.finditer(r"(?<![\w/.-])[A-Z]+[0-9]+(?![\w.-])", plain):
            before = re.search(r"(\w+) $", plain[: word.start()])  # BV1 B1: a port of that name
            if word.group() in parts and not (before and before[1] in parts):
                assert (number, word.start() + 1) in spoken, (number, row)


@pytest.mark.parametrize("file", EXAMPLES[::4], ids=lambda file: file.stem)
def test_what_is_renamed_is_the_same_circuit_and_comes_back(file: Path) -> None:
    text, _ = read_file(file)
    things = [
        thing
        for thing in by_name(mentions(text))
        if renamable(thing) and thing.file == text.file and not thing.scope
    ]
    source = text.source
    for thing in things[:: len(things) // 4]:
        source = changed(source, _changes(source, text, thing, f"{thing.name}_new"))
    assert parse(source, text.file, text.folder).understood == open_file(file).understood
    for thing in things[:: len(things) // 4]:
        new = replace(thing, name=f"{thing.name}_new")
        source = changed(source, _changes(source, text, new, thing.name))
    assert source == text.source


def _changes(source: str, text: Text, thing: Thing, name: str) -> list[Change]:
    now, _ = read(source, text.file, text.folder)
    return renamed([now], thing, name)[text.file]


def test_a_block_is_renamed_inside_and_in_the_file_that_holds_it() -> None:
    file = FOLDER / "clamp_stations.hyc"
    text, _ = read_file(file)
    inner = str(FOLDER / "blocks" / "clamp_station.hyc")
    things = {(t.sort, t.name, t.scope): t for t in by_name(mentions(text))}
    changes = renamed([text], things["part", "C1", "clamp_station"], "ram")
    assert set(changes) == {str(file), inner}
    assert "S1/ram load 0.5 kN" in changed(text.source, changes[str(file)])
    assert "    ram  cylinder" in changed(text.used[inner], changes[inner])
    port = renamed([text], things["port", "P", "clamp_station"], "IN")
    assert "S1 IN and S2 IN" in changed(text.source, port[str(file)])
    assert "from IN to RV1 P" in changed(text.used[inner], port[inner])
    figure = renamed([text], things["figure", "force_pressure", "clamp_station"], "grip")
    assert "clamp_station, grip 90 bar" in changed(text.source, figure[str(file)])
    assert "set (grip)" in changed(text.used[inner], figure[inner])


@pytest.mark.parametrize(
    ("sort", "name", "new", "why"),
    [
        ("part", "R1", "G1", r"there is already a part G1 \(line 10\)"),
        ("part", "R1", "g1", "there is already a part G1"),
        ("part", "R1", "press", "there is already a line press"),
        ("line", "press", "R1", "there is already a part R1"),
        ("step", "hold", "slow out", "not one word"),
        ("step", "slow out", "hold", "there is already a step hold"),
        ("part", "R1", "R 1", "not one word"),
        ("part", "R1", "2", "not one word"),
        ("part", "R1", "S1/R1", "not one word"),
        ("part", "R1", "", "not one word"),
        ("part", "R1", "from", "word of the language"),
        ("part", "R1", "heat", "word of the language"),
        ("value", "pull", "pull#", "not one word"),
    ],
)
def test_a_name_that_cannot_be_is_refused(sort: str, name: str, new: str, why: str) -> None:
    text, _ = read(EVERYWHERE, "x.hyc")
    with pytest.raises(NoRenameError, match=why):
        renamed([text], Thing(sort, name, "x.hyc"), new)


def test_a_step_in_quotes_may_have_blanks_in_its_name() -> None:
    text, _ = read(EVERYWHERE, "x.hyc")
    changes = renamed([text], Thing("step", "slow out", "x.hyc"), "very slow, µ")
    new = changed(EVERYWHERE, changes["x.hyc"])
    assert 'step "very slow, µ",' in new
    assert 'in "very slow, µ"' in new


def test_a_step_that_a_block_of_another_file_names_keeps_its_name(tmp_path: Path) -> None:
    (tmp_path / "b.hyc").write_text(
        "block b\nports P\nparts\nV1 valve 2/2, flow 9 L/min\nlines\nfrom P to V1 P\n"
        "cycle\nstep hold, V1 at a\nend block\n", encoding="utf-8"
    )  # fmt: skip
    source = 'use "b.hyc"\nparts\n  B1 b\ncycle\n  step hold, 5 s\n'
    text, _ = read(source, str(tmp_path / "x.hyc"), tmp_path)
    with pytest.raises(NoRenameError, match="names this step as well"):
        renamed([text], Thing("step", "hold", text.file), "stay")
    inside = (
        f"{source}block c\nports P\nparts\n V1 valve 2/2\ncycle\n step hold, V1 at a\nend block\n"
    )
    text, _ = read(
        inside.replace("hold", "stay", 0).replace('use "b.hyc"\n', ""), text.file, tmp_path
    )
    changes = renamed([text], Thing("step", "hold", text.file), "stay")
    assert "step hold" not in changed(text.source, changes[text.file])


def test_nothing_is_renamed_where_sentences_are_not_read() -> None:
    text, _ = read(PRESS.replace("from R1 T to T1", "from R1 T -> T1"), "x.hyc")
    with pytest.raises(NoRenameError, match="cannot be read"):
        renamed([text], Thing("part", "R1", "x.hyc"), "R9")


def test_where_a_name_is_given() -> None:
    text, _ = read_file(FOLDER / "clamp_stations.hyc")
    found = mentions(text)
    one = mention_at(found, text.file, 36, 20)  # S1/C1 load
    assert one is not None
    assert one.thing.name == "C1"
    place = given_at(text, found, one.thing)
    assert place is not None
    assert (Path(place.file).name, place.line) == ("clamp_station.hyc", 10)
    pump = mention_at(found, text.file, 18, 8)
    assert pump is not None
    assert pump.thing.sort == "entry"
    at = given_at(text, found, pump.thing)
    assert at is not None
    assert at.file.endswith(".toml")
