"""``format``: one layout for what is said, whatever it looked like; comments and meaning stay."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from circuitcheck import CircuitError
from circuitcheck.editing.formatting import formatted, says
from circuitcheck.editing.layout import laid_out
from circuitcheck.pipeline import open_file, parse
from tests.editing.campaign import said
from tests.press_text import PRESS

ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLES = sorted((ROOT / "examples").rglob("*.hyc"))
OTHERS = sorted((ROOT / "tests/published").glob("*.hyc"))

LOOSE = """\

# A bench.
circuit   "Bench,  #1" ,issue  B
oil ISO VG 46,at 45 degC
parts:
# feeds all   µ ° 😀
 T1   tank,60 L
      # drives
\tE1 electric motor , 11 kW,
1450 RPM     # at  50 Hz
  P12 pump, 16  cc/rev,driven by   E1


  R1 relief, set ( 1.1*limit ), 60 l/min# above
values
  limit 190 BAR
lines
  suction from T1 to P12 S,hose 32 mm, 0.8 m
  from P12 P to R1 P
  from R1 T to T1,   tube 16 x 2 mm,  1 m  # "quoted" # twice
cycle :repeats
    step idle,5 s
    step "long way",E1 at 1400 RPM, 12 s
"""

TIDY = """\
# A bench.
circuit "Bench,  #1", issue B
oil     ISO VG 46, at 45 degC

parts
  # feeds all   µ ° 😀
  T1  tank, 60 L
  # drives
  E1  electric motor, 11 kW,
      1450 rpm  # at  50 Hz
  P12 pump, 16 cc/rev, driven by E1

  R1  relief, set (1.1*limit), 60 L/min  # above

values
  limit  190 bar

lines
  suction  from T1 to P12 S,  hose 32 mm, 0.8 m
  from P12 P to R1 P
  from R1 T to T1,            tube 16 x 2 mm, 1 m  # "quoted" # twice

cycle repeats
  step idle,        5 s
  step "long way",  E1 at 1400 rpm,  12 s
"""


def test_a_loose_text_is_laid_out_in_one_way() -> None:
    assert laid_out(LOOSE) == TIDY


@pytest.mark.parametrize("file", OTHERS[::10], ids=lambda file: file.stem)
def test_a_file_stays_the_same_circuit_and_settles_at_once(file: Path) -> None:
    source = file.read_text(encoding="utf-8")
    project = open_file(file)
    text = formatted(project, source)
    again = parse(text, str(file), file.parent)
    assert formatted(again, text) == text
    if project.understood:
        assert said(again.circuit) == said(project.circuit)
    comments = [line.split("#", 1)[1] for line in source.split("\n") if line.startswith("#")]
    assert all(f"#{comment.rstrip()}\n" in text for comment in comments)


def _shaken(source: str, dice: random.Random) -> str:
    """The same words with other blanks, indents and blank lines after sentences."""
    rows = []
    for row in source.split("\n"):
        code, mark, comment = row.partition("#")
        if '"' not in code:
            code = re.sub(r" +", lambda _: dice.choice([" ", "  ", "\t", " \xa0"]), code.strip())
            code = re.sub(r",\s*", lambda _: dice.choice([",", " , ", ",   "]), code)
            code = re.sub(r"([0-9]),([0-9])", r"\1, \2", code)
        rows.append(" " * dice.randrange(7) * bool(code.strip()) + code + mark + comment)
    return dice.choice(["\n", "\r\n"]).join(rows) + "\n" * dice.randrange(4)


@settings(max_examples=25)
@given(st.sampled_from(EXAMPLES), st.integers(0, 10**6))
def test_the_layout_depends_on_the_words_alone(file: Path, seed: int) -> None:
    source = file.read_text(encoding="utf-8")
    shaken = _shaken(source, random.Random(seed))
    assume(says(shaken) == says(source))  # a word moved to the margin may become a heading
    assert _levelled(laid_out(shaken)) == _levelled(laid_out(source))


def _levelled(text: str) -> str:
    """A comment with nothing below it keeps to the margin if it was there."""
    return re.sub(r"^ +#", "#", text, flags=re.MULTILINE)


@settings(max_examples=40)
@given(st.text(alphabet='abV1P, \n\t#"()/µ😀.0', max_size=80))
def test_what_is_laid_out_is_laid_out(tail: str) -> None:
    """Comments of any kind, anywhere: the second time nothing changes."""
    comment = "# " + tail.replace("\n", "\n# ")
    text = PRESS.replace("cycle\n", f"{comment}\ncycle\n")
    once = laid_out(text.replace("lines\n", f"lines {comment}\n"))
    assert laid_out(once) == once
    assert says(once)[0] == says(PRESS)[0]


def test_line_ends_and_the_mark_of_byte_order_stay() -> None:
    source = "\ufeff" + PRESS.replace("\n", "\r\n")
    text = formatted(parse(source), source)
    assert text.startswith("\ufeffcircuit")
    assert text.count("\r\n") == text.count("\n") > 20


def test_a_text_that_is_not_understood_is_refused() -> None:
    source = PRESS.replace("bore 80 mm", "bore 80 mmm")
    with pytest.raises(CircuitError, match="not a unit"):
        formatted(parse(source), source)


def test_a_layout_that_would_say_something_else_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "circuitcheck.editing.formatting.laid_out", lambda text: text.replace("180", "181")
    )
    with pytest.raises(RuntimeError, match="says something else"):
        formatted(parse(PRESS), PRESS)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_the_examples_are_laid_out(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert laid_out(text) == text, f"circuitcheck format {file.name}"


def test_steps_that_speak_of_the_same_part_stand_in_columns() -> None:
    """One that speaks of another part, or holds the cylinder, leaves the columns of the rest."""
    said = """cycle
  step out, V1 at a, C1 load 4 kN, C1 travels 420 mm
  step press, V1 at a, C1 load 45 kN,
    C1 travels 80 mm
  step idle, 30 s, V1 at centre
  step back, V1 at centre, C1 weight (2 * jaw), C1 travels 500 mm
"""
    assert laid_out(said) == """cycle
  step out,    V1 at a,       C1 load 4 kN,         C1 travels 420 mm
  step press,  V1 at a,       C1 load 45 kN,
               C1 travels 80 mm
  step idle,   30 s,  V1 at centre
  step back,   V1 at centre,  C1 weight (2 * jaw),  C1 travels 500 mm
"""
