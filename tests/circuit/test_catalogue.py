"""Parts of one's own from parts/*.toml: figures, precedence, what is said of mistakes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitcheck.basics.carets import render
from circuitcheck.circuit import Circuit, build
from circuitcheck.language import read, read_file

PUMPS = """# pumps of our own
[pump_45]
kind = "pump"
says = ["load sensing", "clockwise"]
displacement = "45 cc/rev"
rated = "280 bar"
margin = "20 bar"
case_drain = "0.5 L/min at 200 bar"

[valve_60]
kind = "valve 4/3"
says = ["solenoids a and b", "spring centred", "at a P-A B-T", "at centre closed", "at b P-B A-T"]
flow = "60 L/min at 6 bar"
"""
MAIN = """defaults
  every pump, rated 100 bar, volumetric 93 %
parts
  T1  tank, 60 L
  E1  engine, 60 kW, 2000 rpm
  P1  pump_45, driven by E1, margin 22 bar
  V1  valve_60
lines
  from T1 to P1 S
  from P1 P to V1 P
  from V1 A to P1 X
  from V1 B to T1
  from P1 L to T1
  from V1 T to T1
"""


def written(folder: Path, catalogue: str, main: str = MAIN) -> Path:
    """Write a circuit with a catalogue beside it and give its path."""
    (folder / "parts").mkdir()
    (folder / "parts" / "pumps.toml").write_text(catalogue, encoding="utf-8")
    path = folder / "main.hyc"
    path.write_text(main, encoding="utf-8")
    return path


def messages(path: Path) -> list[str]:
    """Every mistake as people read it, the folder left out."""
    text, findings = read_file(path)
    _, more = build(text)
    rendered = [render(f, text.used.get(f.place.file, text.source)) for f in (*findings, *more)]
    return [message.replace(f"{path.parent}/", "") for message in rendered]


def built(path: Path) -> Circuit:
    assert messages(path) == []
    circuit, _ = build(read_file(path)[0])
    assert circuit is not None
    return circuit


def test_an_entry_is_used_as_a_kind(tmp_path: Path) -> None:
    circuit = built(written(tmp_path, PUMPS))
    pump, valve = circuit.parts["P1"], circuit.parts["V1"]
    assert pump.kind.word == "pump"
    assert pump.says("load sensing")
    assert pump.figure("displacement") == pytest.approx(45e-6)
    assert pump.figure("case drain pressure") == pytest.approx(200e5)
    assert pump.given("displacement")
    assert valve.ways == (4, 3)
    assert valve.positions["a"] == (("P", "A"), ("B", "T"))
    assert valve.figure("drop") == pytest.approx(6e5)


def test_own_words_come_first_then_the_catalogue_then_every(tmp_path: Path) -> None:
    circuit = built(written(tmp_path, PUMPS))
    pump = circuit.parts["P1"]
    assert pump.figure("margin") == pytest.approx(22e5)
    assert pump.figure("rated") == pytest.approx(280e5)
    assert pump.figure("volumetric") == pytest.approx(0.93)
    rows = {(a.name, a.text): a.origin for a in circuit.assumptions if a.part == "P1"}
    assert rows["rated", "280 bar"] == "catalogue pump_45 (parts/pumps.toml)"
    assert rows["rotation", "clockwise"] == "catalogue pump_45 (parts/pumps.toml)"
    assert rows["volumetric", "93 %"] == "every pump"
    assert "margin" not in {name for name, _ in rows}


def test_own_phrases_and_positions_come_first(tmp_path: Path) -> None:
    main = MAIN.replace("V1  valve_60", "V1  valve_60, lever, at a P-B A-T")
    main = main.replace("driven by E1", "driven by E1, anticlockwise")
    circuit = built(written(tmp_path, PUMPS, main))
    valve = circuit.parts["V1"]
    assert valve.many["actuation"] == ("lever",)
    assert valve.positions["a"] == (("P", "B"), ("A", "T"))
    assert valve.positions["b"] == (("P", "B"), ("A", "T"))
    assert circuit.parts["P1"].choices["rotation"] == "anticlockwise"


def test_entries_may_stand_in_blocks(tmp_path: Path) -> None:
    block = """block bank
  ports P, T
  parts
    V1  valve_60, A and B plugged
  lines
    from P to V1 P
    from V1 T to T
end block
parts
  B1  bank
lines
  from B1 P to P1 P
  from B1 T to T1
"""
    circuit = built(written(tmp_path, PUMPS, MAIN + block))
    assert circuit.parts["B1/V1"].figure("flow") == pytest.approx(1e-3)


def test_a_text_without_a_folder_has_no_catalogue() -> None:
    text, findings = read("parts\n  P1  pump_45\n", "main.hyc")
    assert findings == []
    (finding,) = build(text)[1]
    assert finding.message == "'pump_45' is not a kind of part"


WRONG = {
    "syntax": (
        'rated = "280 bar"',
        "rated = 280 bar",
        """parts/pumps.toml:6:13: this cannot be read as TOML: """
        """expected newline or end of document after a statement
     6 | rated = 280 bar
       |             ^
       write figures as in a circuit, in quotes:  rated = "280 bar\"""",
    ),
    "figure misspelt": (
        "displacement =",
        "displacment =",
        """parts/pumps.toml:5:1: a pump has no 'displacment'
     5 | displacment = "45 cc/rev"
       | ^^^^^^^^^^^
       did you mean 'displacement'?""",
    ),
    "unit": (
        "45 cc/rev",
        "45 cc/tr",
        """parts/pumps.toml:5:20: 'cc/tr' is not a unit
     5 | displacement = "45 cc/tr"
       |                    ^^^^^
       did you mean 'cc/rev'?""",
    ),
    "dimension": (
        "280 bar",
        "280 L/min",
        """parts/pumps.toml:6:10: 'rated' is not given in L/min
     6 | rated = "280 L/min"
       |          ^^^^^^^^^
       L/min is a unit of flow; 'rated' of a pump takes bar or psi""",
    ),
    "unit missing": (
        '"280 bar"',
        "280",
        """parts/pumps.toml:6:9: 'rated' needs a unit
     6 | rated = 280
       |         ^^^
       a pump takes 'rated' in bar or psi""",
    ),
    "kind misspelt": (
        '"pump"',
        '"pmup"',
        """parts/pumps.toml:3:9: 'pmup' is not a kind of part
     3 | kind = "pmup"
       |         ^^^^
       did you mean 'pump'?""",
    ),
    "kind missing": (
        'kind = "pump"\n',
        "",
        """parts/pumps.toml:2:2: the catalogue does not say what pump_45 is
     2 | [pump_45]
       |  ^^^^^^^
       add a line such as:  kind = "pump\"""",
    ),
    "kind no text": (
        '"pump"',
        "3",
        """parts/pumps.toml:3:1: 'kind' is a word in quotes
     3 | kind = 3
       | ^^^^
       write:  kind = "pump\"""",
    ),
    "phrase misspelt": (
        '"clockwise"',
        '"clokwise"',
        """parts/pumps.toml:4:26: a pump has no 'clokwise'
     4 | says = ["load sensing", "clokwise"]
       |                          ^^^^^^^^
       did you mean 'clockwise'?""",
    ),
    "phrases no list": (
        '["load sensing", "clockwise"]',
        '"load sensing"',
        """parts/pumps.toml:4:1: 'says' is a list of phrases in quotes
     4 | says = "load sensing"
       | ^^^^
       write:  says = ["load sensing", "clockwise"]""",
    ),
    "figure a list": (
        '"280 bar"',
        "[280]",
        """parts/pumps.toml:6:1: 'rated' is not a figure
     6 | rated = [280]
       | ^^^^^
       write figures as in a circuit, in quotes:  rated = "280 bar\"""",
    ),
    "two figures": (
        '"280 bar"',
        '"280 bar, 300 bar"',
        """parts/pumps.toml:6:19: 'rated' is one figure
     6 | rated = "280 bar, 300 bar"
       |                   ^^^^^^^
       write figures as in a circuit, in quotes:  rated = "280 bar\"""",
    ),
    "decimal comma": (
        '"20 bar"',
        '"20,5 bar"',
        """parts/pumps.toml:7:11: a comma parts clauses; decimals take a point
     7 | margin = "20,5 bar"
       |           ^^^^
       write 20.5""",
    ),
    "limit": (
        "45 cc/rev",
        "0 cc/rev",
        """parts/pumps.toml:5:17: 'displacement' is too small
     5 | displacement = "0 cc/rev"
       |                 ^^^^^^^^
       'displacement' of a pump is more than 0""",
    ),
    "figure outside": (
        "[pump_45]\n",
        'rated = "3 bar"\n[pump_45]\n',
        """parts/pumps.toml:2:1: 'rated' stands in no entry
     2 | rated = "3 bar"
       | ^^^^^^^^^^^^^^^
       an entry begins with its name in square brackets:  [pump_45]""",
    ),
    "name like a kind": (
        "[pump_45]",
        "[pump]",
        """parts/pumps.toml:2:2: there is a kind of part 'pump' already
     2 | [pump]
       |  ^^^^
       give this entry another name""",
    ),
    "name no word": (
        "[pump_45]",
        '["pump 45"]',
        """parts/pumps.toml:2:3: 'pump 45' cannot be the name of an entry
     2 | ["pump 45"]
       |   ^^^^^^^
       a name is one word of letters, digits and _ that begins with a letter""",
    ),
    "driven": (
        '"clockwise"',
        '"driven by E1"',
        """parts/pumps.toml:4:36: what drives a part is said in the circuit, not in the catalogue
     4 | says = ["load sensing", "driven by E1"]
       |                                    ^^
       take this away""",
    ),
    "ways": (
        '"valve 4/3"',
        '"valve"',
        """parts/pumps.toml:11:9: how many ways and positions?
    11 | kind = "valve"
       |         ^^^^^
       write, for example, valve 4/3""",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_mistakes_are_shown_in_the_catalogue(name: str, tmp_path: Path) -> None:
    old, new, message = WRONG[name]
    assert PUMPS.count(old) == 1
    plain = "parts\n  T1  tank, 60 L\n"  # no part of the circuit depends on the entry
    assert messages(written(tmp_path, PUMPS.replace(old, new), plain)) == [message]


def test_an_entry_stands_in_one_file(tmp_path: Path) -> None:
    path = written(tmp_path, PUMPS, "parts\n  T1  tank, 60 L\n")
    (tmp_path / "parts" / "a.toml").write_text('[pump_45]\nkind = "pump"\n', encoding="utf-8")
    assert messages(path)[0] == (
        """parts/pumps.toml:2:2: pump_45 stands in parts/a.toml already (line 1)
     2 | [pump_45]
       |  ^^^^^^^
       give this entry another name"""
    )


def test_an_entry_is_not_found_under_a_misspelt_name(tmp_path: Path) -> None:
    path = written(tmp_path, PUMPS, MAIN.replace("P1  pump_45", "P1  pump_54"))
    assert messages(path) == [
        """main.hyc:6:7: 'pump_54' is not a kind of part
     6 |   P1  pump_54, driven by E1, margin 22 bar
       |       ^^^^^^^
       did you mean 'pump_45'?"""
    ]


def test_a_catalogue_that_is_no_text(tmp_path: Path) -> None:
    path = written(tmp_path, "", "parts\n  T1  tank, 60 L\n")
    (tmp_path / "parts" / "pumps.toml").write_bytes(b"# caf\xe9\n")
    assert messages(path) == [
        """parts/pumps.toml:1:6: this character is not written in UTF-8
       save the file again as UTF-8"""
    ]


def test_a_catalogue_does_not_lead_outside(tmp_path: Path) -> None:
    (tmp_path / "project").mkdir()
    path = written(tmp_path / "project", PUMPS)
    inside = tmp_path / "project" / "parts" / "pumps.toml"
    inside.rename(tmp_path / "pumps.toml")
    inside.symlink_to(tmp_path / "pumps.toml")
    assert messages(path)[0].startswith(
        "parts/pumps.toml:1:1: this catalogue lies outside the circuit's folder"
    )


SCRAPS = ["[", "]", '"', "=", "\n", "#", "\\", "'", '"""', "[a]\n", "{", "1", ",", "x.y = 3\n", "é"]
edits = st.lists(
    st.tuples(st.integers(0, 600), st.integers(0, 12), st.sampled_from(SCRAPS)),
    min_size=1,
    max_size=5,
)


@given(edits)
@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
def test_an_edited_catalogue_gives_findings_not_exceptions(
    tmp_path_factory: pytest.TempPathFactory, changes: list[tuple[int, int, str]]
) -> None:
    source = PUMPS
    for at, length, scrap in changes:
        at %= len(source) + 1
        source = source[:at] + scrap + source[at + length :]
    path = written(tmp_path_factory.mktemp("edited"), source)
    text, findings = read_file(path)
    circuit, more = build(text)
    for finding in (*findings, *more):
        known = text.used.get(finding.place.file, text.source)
        assert 1 <= finding.place.line <= known.count("\n") + 1
        assert render(finding, known)
    errors = [f for f in (*findings, *more) if f.severity.value == "error"]
    assert (circuit is None) == bool(errors)
