"""The reference data: complete, with sources, and true to the rules they follow from."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from circuitcheck.basics.folders import folder
from circuitcheck.basics.limits import limit, limits_of
from circuitcheck.basics.tables import read_csv, read_toml

SHARED = folder("shared")
CSV = sorted(str(file.relative_to(SHARED)) for file in SHARED.rglob("*.csv"))


@pytest.mark.parametrize("name", CSV)
def test_a_table_has_a_source_and_full_rows(name: str) -> None:
    comments = [
        line for line in (SHARED / name).read_text("utf-8").splitlines() if line.startswith("#")
    ]
    assert any("Source:" in line for line in comments)
    rows = read_csv(name)
    assert rows
    assert all(None not in row and None not in row.values() for row in rows)


def test_grades_lie_ten_percent_around_their_middle() -> None:
    for row in read_csv("fluids/viscosity_grades.csv"):
        middle = float(row["middle"])
        assert float(row["least"]) == pytest.approx(0.9 * middle, rel=2e-3)
        assert float(row["most"]) == pytest.approx(1.1 * middle, rel=2e-3)


def test_bores_of_tubes_follow_from_their_walls() -> None:
    for row in read_csv("lines/tubes.csv"):
        wall = float(row["wall_mm"])
        assert float(row["bore_mm"]) == float(row["outside_mm"]) - 2 * wall


def test_dash_sizes_are_sixteenths() -> None:
    for row in read_csv("lines/dash_sizes.csv"):
        outside = int(row["dash"]) / 16 * 25.4
        assert float(row["tube_outside_mm"]) == pytest.approx(outside, abs=0.011)


def test_flange_codes_name_the_pilot() -> None:
    for row in read_csv("parts/mounts.csv"):
        for code in row["flange"].split():
            assert int(code.split("-")[0]) == math.floor(float(row["pilot_mm"]))


def test_pairs_of_bore_and_rod_are_standard_and_have_the_ratio() -> None:
    bores = {row["bore_mm"] for row in read_csv("parts/bores.csv")}
    rods = {row["rod_mm"] for row in read_csv("parts/rods.csv")}
    for row in read_csv("parts/bore_and_rod.csv"):
        bore = float(row["bore_mm"])
        assert row["bore_mm"] in bores
        for column, ratio in (("rod_about_1.25", 1.25), ("rod_about_2", 2.0)):
            assert row[column] in rods
            assert bore**2 / (bore**2 - float(row[column]) ** 2) == pytest.approx(ratio, rel=0.06)


def test_loss_coefficients_give_the_efficiencies_they_were_made_from() -> None:
    mu = 0.027
    for row in read_toml("parts/efficiencies.toml").values():
        w, dp = row["speed"] * math.pi / 30, row["rated"] * 1e5
        slip = row["C_s"] * dp / (mu * w)
        drag = row["C_v"] * mu * w / dp + row["C_f"] + row["C_c"]
        assert 1 - slip == pytest.approx(row["volumetric"], abs=0.003)
        assert 1 / (1 + drag) == pytest.approx(row["mechanical"], abs=0.003)


def test_every_limit_can_be_read_and_has_a_source() -> None:
    for rule in read_toml("limits/limits.toml"):
        for found in limits_of(rule).values():
            assert math.isfinite(found.value)
            assert found.source


def test_limits_come_in_si_with_their_text_and_source() -> None:
    inlet = limit("inlet-starved", "least")
    assert inlet.value == pytest.approx(0.8e5 - 101325)
    assert inlet.text == "0.8 bar abs"
    assert limit("relief-gap-small", "gap").source == "common practice, no source"
    assert limits_of("no-such-rule") == {}
    with pytest.raises(KeyError):
        limit("relief-gap-small", "no-such-limit")


def test_a_missing_folder_is_named_in_both_places() -> None:
    with pytest.raises(FileNotFoundError, match=r"'nowhere'.*neither.*nor"):
        folder("nowhere")


def test_every_table_stands_in_the_list(project: Path) -> None:
    listed = (SHARED / "README.md").read_text("utf-8")
    missing = [name for name in CSV if f"`{name}`" not in listed]
    assert missing == []


def test_sizes_rise_and_preferred_numbers_are_those_of_iso_3() -> None:
    """ISO 3: R20 is 10^(k/20), rounded to the printed numbers within 1.3 %."""
    rows = [float(row["cc_rev"]) for row in read_csv("parts/displacements.csv")]
    assert rows == sorted(set(rows))
    for value in rows:
        exact = 10 ** (round(20 * math.log10(value)) / 20)
        assert value == pytest.approx(exact, rel=1.3e-2)
    for unit in ("kW", "hp"):
        powers = [
            float(r["power"]) for r in read_csv("parts/motor_powers.csv") if r["unit"] == unit
        ]
        assert powers == sorted(set(powers))
