"""The commands duty and curves, as they are typed."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Answer

EXAMPLES = Path(__file__).parents[2] / "examples"
PRESS = EXAMPLES / "press.hyc"

Run = Callable[..., Answer]


def test_duty_says_where_the_oil_settles(circuitcheck: Run) -> None:
    answer = circuitcheck("duty", PRESS)
    assert answer.status == 0
    assert "The oil settles at" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80


def test_duty_as_json(circuitcheck: Run) -> None:
    answer = circuitcheck("duty", PRESS, "--format", "json", "--oil", "60 degC")
    assert answer.status == 0
    assert json.loads(answer.out)["oil_temperature_degC"] == 60.0


def test_duty_in_other_units(circuitcheck: Run) -> None:
    answer = circuitcheck("duty", PRESS, "--units", "inch", "--hold", "104 degF")
    assert "To hold 104 °F" in answer.out


def test_duty_draws_where_the_energy_goes(circuitcheck: Run, tmp_path: Path) -> None:
    picture = tmp_path / "press.svg"
    answer = circuitcheck("duty", PRESS, "-o", picture)
    assert (answer.status, answer.out) == (0, f"{picture} written\n")
    assert picture.read_bytes().startswith(b"<?xml")
    assert circuitcheck("duty", PRESS, "-o", tmp_path / "press.txt").status == 2


@pytest.mark.parametrize("said", ["55", "55 bar", "warm"])
def test_a_temperature_needs_its_unit(circuitcheck: Run, said: str) -> None:
    answer = circuitcheck("duty", PRESS, "--hold", said)
    assert answer.status == 2
    assert "is not a temperature, e.g. 50 degC" in answer.err


def test_duty_without_times(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("duty", small)
    assert answer.status == 2
    assert "how long does step second last" in answer.err
    assert not answer.out


def test_duty_of_a_broken_text(circuitcheck: Run, broken: Path) -> None:
    for command in (("duty",), ("curves",)):
        answer = circuitcheck(*command, broken)
        assert answer.status == 2
        assert "210 bars" in answer.err


def test_curves_are_listed(circuitcheck: Run) -> None:
    answer = circuitcheck("curves", PRESS)
    assert answer.status == 0
    assert f"circuitcheck curves {PRESS} pump P1\n" in answer.out


def test_curves_are_written(circuitcheck: Run, tmp_path: Path) -> None:
    picture, table = tmp_path / "p1.svg", tmp_path / "p1.csv"
    answer = circuitcheck("curves", PRESS, "pump", "P1", "-o", picture, "--csv", table)
    assert answer.status == 0
    assert answer.out == f"{table} written\n{picture} written\n"
    assert picture.read_bytes().startswith(b"<?xml")
    assert table.read_text().startswith("curve,kind,pressure [bar],flow [L/min]\n")


def test_curves_without_a_file_are_printed(circuitcheck: Run) -> None:
    answer = circuitcheck("curves", PRESS, "drop", "F1")
    assert answer.out.startswith("curve,kind,flow [L/min],pressure drop [bar]\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("pump", "P9"), "there is no pump P9"),
        (("noise",), "there are no curves 'noise'"),
        (("pump", "P1", "-o", "p1.bmp"), "should end in .svg, .png or .pdf"),
        (("speed", "C1", "--step", "idle"), "step idle does not give C1 a load"),
    ],
)
def test_what_there_is_not_is_said(circuitcheck: Run, words: tuple[str, ...], told: str) -> None:
    answer = circuitcheck("curves", PRESS, *words)
    assert answer.status == 2
    assert told in answer.err


def test_a_curve_of_a_cycle_without_times(circuitcheck: Run, small: Path) -> None:
    answer = circuitcheck("curves", small, "power")
    assert answer.status == 2
    assert "how long does step second last" in answer.err


def test_pictures_need_matplotlib(
    circuitcheck: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    answer = circuitcheck("curves", PRESS, "drop", "F1", "-o", tmp_path / "f1.svg")
    assert answer.status == 2
    assert "circuitcheck[plots]" in answer.err
    assert not (tmp_path / "f1.svg").exists()


def test_nothing_is_written_over_the_circuit(circuitcheck: Run, tmp_path: Path) -> None:
    file = tmp_path / "press.svg"
    file.write_text(PRESS.read_text())
    answer = circuitcheck("curves", file, "drop", "F1", "-o", file)
    assert answer.status == 2
    assert file.read_text() == PRESS.read_text()
