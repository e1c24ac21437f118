"""Measured losses of pumps and motors: closed forms, edges, conservation, what is refused."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from circuitcheck.components._loss_table import COLUMNS, TableError, read_table
from circuitcheck.components._rotary import CONSTRUCTIONS
from circuitcheck.pipeline import Project, parse
from circuitcheck.solver.operating import OperatingPoint
from tests.components.bench import BAR, L_MIN, TEST_OIL, sources
from tests.components.test_closed_loop import sound

TURN = 2 * math.pi
FULL = 45e-6 / TURN
HEAD = ",".join(COLUMNS)
PRESSURES, SPEEDS, STROKES = (50, 150, 300), (500, 1500, 2500), (0.3, 1)

Grid = dict[tuple[float, float, float], tuple[float, float]]


def measured(pressure: float, speed: float, stroke: float) -> tuple[float, float]:
    """Slip [L/min] and lost torque [Nm] of an invented pump of 45 cc, by no simple law."""
    slip = 0.004 * pressure + 2e-5 * pressure**1.5 * stroke + 2e-4 * speed
    return round(slip, 3), round(1 + 0.03 * pressure * stroke + speed**2 * 1e-6, 3)


GRID: Grid = {point: measured(*point) for point in itertools.product(PRESSURES, SPEEDS, STROKES)}


def table(grid: Grid = GRID) -> str:
    rows = [",".join(f"{one:g}" for one in (*point, *lost)) for point, lost in grid.items()]
    return "\n".join(["# invented figures", HEAD, *rows, ""])


def project(
    folder: Path, parts: str, lines: str, steps: str = "", oil: str = TEST_OIL, csv: str = ""
) -> Project:
    (folder / "pump_45.csv").write_text(csv or table(), encoding="utf-8")
    cycle = f"\ncycle\n{steps}\n" if steps else ""
    text = f'circuit "bench"\noil {oil}\nparts\n{parts}\nlines\n{lines}\n{cycle}'
    return parse(text, "bench.hyc", folder)


LINES = "from TT to P1 S\nfrom P1 P to TP\nfrom P1 L to TT"
PUMP = 'P1 pump, variable, axial piston, 45 cc/rev, losses "pump_45.csv"'


def pump(
    folder: Path, front: float, speed: float, stroke: float, more: str = "", oil: str = TEST_OIL
) -> OperatingPoint:
    parts = f"{sources(TT=0, TP=front)}\n{PUMP}, {speed!r} rpm{more}"
    step = f"  step test, P1 at {stroke * 100!r} %"
    (point,) = project(folder, parts, LINES, step, oil).solve()
    assert point.success, point.message
    return point


def agrees(point: OperatingPoint, front: float, speed: float, stroke: float,
           slip: float, torque: float) -> None:  # fmt: skip
    """q = x D w - slip, M = x D dp + lost torque; the usual share of the slip by the case."""
    found, w = point["P1"].values, speed * TURN / 60
    share = CONSTRUCTIONS["axial piston"].to_case
    assert found["flow"] == pytest.approx(stroke * FULL * w - slip * L_MIN, rel=1e-9)
    assert found["torque"] == pytest.approx(stroke * FULL * front * BAR + torque, rel=1e-9)
    assert found["case drain"] == pytest.approx(share * slip * L_MIN, rel=1e-9)
    loss = slip * L_MIN * front * BAR + torque * w
    assert point["P1"].loss == pytest.approx(loss, rel=1e-8)


@pytest.mark.parametrize("at", [p for p in GRID if p[2] == 1 or p[0] == 150])
def test_at_a_point_of_the_grid_the_measured_figures_hold(
    at: tuple[float, float, float], tmp_path: Path
) -> None:
    point = pump(tmp_path, *at)
    agrees(point, *at, *GRID[at])
    assert point["P1"].values["outside table"] == 0.0
    assert point["P1"].state != "outside its loss table"


@pytest.mark.parametrize("low", [(50, 500, 0.3), (150, 1500, 0.3)])
def test_in_the_middle_of_a_cell_they_are_the_mean_of_its_corners(
    low: tuple[float, float, float], tmp_path: Path
) -> None:
    axes = (PRESSURES, SPEEDS, STROKES)
    cell = [axis[axis.index(one) :][:2] for axis, one in zip(axes, low, strict=True)]
    corners = [GRID[p, n, x] for p, n, x in itertools.product(*cell)]
    front, speed, stroke = (sum(edge) / 2 for edge in cell)
    slip, torque = (sum(corner[i] for corner in corners) / 8 for i in (0, 1))
    agrees(pump(tmp_path, front, speed, stroke), front, speed, stroke, slip, torque)


def test_slip_falls_in_proportion_to_nothing_under_the_first_pressure(tmp_path: Path) -> None:
    """A fifth of the slip at a fifth of the pressure; lost torque is held, and it is said."""
    slip, torque = GRID[50, 1500, 1]
    point = pump(tmp_path, 10, 1500, 1)
    agrees(point, 10, 1500, 1, slip / 5, torque)
    assert point["P1"].values["outside table"] == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("front", "speed", "stroke", "edge", "by", "said"),
    [
        (360, 1500, 1, (300, 1500, 1), 0.2, "pressure 360 bar (the table has 50 to 300 bar)"),
        (150, 3000, 1, (150, 2500, 1), 0.2, "speed 3000 rpm (the table has 500 to 2500 rpm)"),
        (150, 250, 1, (150, 500, 1), 0.5, "speed 250 rpm (the table has 500 to 2500 rpm)"),
        (150, 1500, 0.15, (150, 1500, 0.3), 0.5, "stroke 0.15 (the table has 0.3 to 1)"),
        (330, 2750, 1, (300, 2500, 1), 0.1,
         "pressure 330 bar (the table has 50 to 300 bar),"
         " speed 2750 rpm (the table has 500 to 2500 rpm)"),
    ],
)  # fmt: skip
def test_outside_the_edge_is_held_and_said(
    front: float, speed: float, stroke: float, edge: tuple[float, float, float], by: float,
    said: str, tmp_path: Path,
) -> None:  # fmt: skip
    parts = f"{sources(TT=0, TP=front)}\n{PUMP}, {speed!r} rpm"
    step = f"  step test, P1 at {stroke * 100!r} %"
    solution = project(tmp_path, parts, LINES, step).solve()
    (point,) = solution
    agrees(point, front, speed, stroke, *GRID[edge])
    assert point["P1"].state == "outside its loss table"
    assert point["P1"].values["outside table"] == pytest.approx(by, rel=1e-6)
    (finding,) = solution.findings
    assert finding.slug == "loss-table-exceeded"
    assert finding.severity.name == "WARNING"
    assert (finding.component, finding.step) == ("P1", "test")
    assert finding.message == f"step test: P1 works outside its loss table: {said}"


def test_only_the_steps_outside_are_said(tmp_path: Path) -> None:
    parts = f"{sources(TT=0, TP=100)}\n{PUMP}, 1500 rpm"
    steps = "  step full, P1 at 100 %\n  step idle, P1 at 0 %\n  step half, P1 at 50 %"
    solution = project(tmp_path, parts, LINES, steps).solve()
    assert [finding.step for finding in solution.findings] == ["idle"]
    assert solution.step("idle")["P1"].state == "outside its loss table"
    assert solution.step("idle")["P1"].values["outside table"] == pytest.approx(1.0)


def test_slip_goes_with_the_viscosity_of_the_test_where_it_is_given(tmp_path: Path) -> None:
    slip, torque = GRID[150, 1500, 1]
    thick = f"64 {TEST_OIL.removeprefix('32 ')}"
    agrees(pump(tmp_path, 150, 1500, 1, oil=thick), 150, 1500, 1, slip, torque)
    point = pump(tmp_path, 150, 1500, 1, ", test oil 32 cSt", thick)
    agrees(point, 150, 1500, 1, slip / 2, torque)
    point = pump(tmp_path, 150, 1500, 1, ", wear 1.5")
    agrees(point, 150, 1500, 1, slip * 1.5**3, torque)


def test_tables_of_two_sizes_stand_side_by_side(tmp_path: Path) -> None:
    """A fixed pump has one stroke only; without a case all its slip stays inside."""
    small: Grid = {(p, n, 1): (0.01 * p, 2 + 0.01 * p) for p in (0, 250) for n in (1000, 2000)}
    (tmp_path / "gear.csv").write_text(table(small), encoding="utf-8")
    parts = f"{sources(TT=0, TP=150)}\n{PUMP}, 1500 rpm\n"
    parts += 'P2 pump, fixed, gear, 20 cc/rev, 1500 rpm, losses "gear.csv"'
    lines = f"{LINES}\nfrom TT to P2 S\nfrom P2 P to TP"
    (point,) = project(tmp_path, parts, lines, "  step test, P1 at 100 %").solve()
    agrees(point, 150, 1500, 1, *GRID[150, 1500, 1])
    assert point["P2"].values["flow"] / L_MIN == pytest.approx(30 - 1.5, rel=1e-9)
    ideal = 20e-6 / TURN * 150 * BAR
    assert point["P2"].values["torque"] == pytest.approx(ideal + 3.5, rel=1e-9)


MOTOR = f"""{sources(TT=0)}
R1 relief, set 350 bar
P1 pump, fixed, 50 cc/rev, 1000 rpm, volumetric 100 %, mechanical 100 %
M1 motor, variable, axial piston, 45 cc/rev, losses "pump_45.csv\""""
MOTOR_LINES = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B and M1 L and R1 T to TT"


def test_motor_loses_what_is_measured(tmp_path: Path) -> None:
    """Slip and lost torque at the point where it comes to stand, seen from outside."""
    steps = "  step test, M1 at 100 %, M1 load 130 Nm"
    (point,) = project(tmp_path, MOTOR, MOTOR_LINES, steps).solve()
    found, w = point["M1"].values, point.shafts["M1"].speed
    bar, rpm = found["drop"] / BAR, w * 60 / TURN
    assert 150 < bar < 300
    assert 500 < rpm < 1500
    t, u = (bar - 150) / 150, (rpm - 500) / 1000
    slip, torque = (
        sum(
            (t if p == 300 else 1 - t) * (u if n == 1500 else 1 - u) * GRID[p, n, 1][i]
            for p in (150, 300)
            for n in (500, 1500)
        )
        for i in (0, 1)
    )
    taken = point["M1"].ports["A"].flow
    assert taken == pytest.approx(FULL * w + slip * L_MIN, rel=1e-9)
    assert taken == pytest.approx(50 * L_MIN, rel=1e-4)  # the relief leaks a little
    # the drag that only settles how motors share oil: 2e-4 bar per rad/s
    assert FULL * (found["drop"] - 20 * w) - torque == pytest.approx(130, rel=1e-6)


@settings(max_examples=60, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(
    st.data(),
    st.floats(-0.3, 300),
    st.floats(0, 20),
    st.floats(0, 400),
    st.floats(10, 4000),
    st.floats(0, 100),
)
def test_whatever_is_measured_oil_is_conserved_and_no_power_made(
    tmp_path: Path, data: st.DataObject, back: float, case: float, front: float, speed: float,
    stroke: float,
) -> None:  # fmt: skip
    """Pumping and driven, inside and outside the grid, case under pressure."""
    axis = st.lists(st.integers(1, 300), min_size=1, max_size=3, unique=True).map(sorted)
    pressures, speeds, strokes = (data.draw(axis) for _ in range(3))
    lost = st.tuples(st.floats(0, 5), st.floats(0, 20))
    grid = {
        (p, 10 * n, x / 300): data.draw(lost)
        for p, n, x in itertools.product(pressures, speeds, strokes)
    }
    rows = [",".join(map(repr, (*at, *both))) for at, both in grid.items()]
    parts = f"{sources(TS=back, TT=case, TP=front)}\n{PUMP}, {speed!r} rpm"
    lines = "from TS to P1 S\nfrom P1 P to TP\nfrom P1 L to TT"
    step = f"  step test, P1 at {stroke!r} %"
    (point,) = project(tmp_path, parts, lines, step, csv="\n".join([HEAD, *rows])).solve()
    assert point.success, point.message
    sound(point, "P1")


@settings(max_examples=40, deadline=None,
          suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
@given(st.floats(0, 100), st.floats(-250, 250), st.floats(20, 100))
def test_motor_conserves_oil_and_makes_no_power(
    tmp_path: Path, back: float, load: float, stroke: float
) -> None:
    parts = MOTOR.replace(sources(TT=0), f"{sources(TT=0, TB=back)}\nTH1 throttle, 50 L/min"
                          " at 30 bar")  # fmt: skip
    lines = "from TT to P1 S\nfrom P1 P to M1 A and R1 P\nfrom M1 B to TH1 in\n"
    lines += "from TH1 out to TB\nfrom R1 T and M1 L to TT"
    step = f"  step test, M1 at {stroke!r} %, M1 load {load!r} Nm"
    (point,) = project(tmp_path, parts, lines, step).solve()
    assert point.success, point.message
    assume(point["M1"].state != "cavitates")  # there oil comes out of the void
    ports = point["M1"].ports.values()
    assert abs(math.fsum(port.flow for port in ports)) <= 1e-12
    assert point["M1"].loss >= -1e-3
    assert point.power_error < 1e-6


def test_closed_loop_pump_loses_the_same_both_ways(tmp_path: Path) -> None:
    parts = f"{sources(TA=150, TB=0, TT=0)}\n"
    parts += PUMP.replace("variable", "closed loop, both ways") + ", 1500 rpm"
    lines = "from P1 A to TA\nfrom P1 B to TB\nfrom P1 L and P1 L1 to TT"
    steps = "  step ahead, P1 at 100 %\n  step back, P1 at -100 %"
    solution = project(tmp_path, parts, lines, steps).solve()
    slip, lost = GRID[150, 1500, 1]
    flows = [-point["P1"].ports["A"].flow / L_MIN for point in solution]
    assert flows == pytest.approx([67.5 - slip, -67.5 - slip], rel=1e-6)
    torques = [point["P1"].values["torque"] for point in solution]
    ideal = FULL * 150 * BAR
    assert torques == pytest.approx([ideal + lost, -ideal + lost], rel=1e-6)


# ---- what is refused -----------------------------------------------------------------

WHOLE = [HEAD, "100,1000,1,1,5", "100,2000,1,1.1,6", "200,1000,1,2,7", "200,2000,1,2.2,8"]


def changed(line: int, text: str) -> str:
    return "\n".join([*WHOLE[: line - 1], text, *WHOLE[line:]])


@pytest.mark.parametrize(
    ("csv", "message"),
    [
        ("# nothing\n", "pump_45.csv, line 1: the header is not that of a loss table"),
        (changed(1, "pressure,speed,stroke,slip,torque"),
         "pump_45.csv, line 1: the header is not that of a loss table"),
        (HEAD, "pump_45.csv, line 1: there is no point under the header"),
        (changed(3, "100,2000,1,1.1"), "pump_45.csv, line 3: 4 figures stand here, not 5"),
        (changed(3, "100,2000,1,one,6"),
         "pump_45.csv, line 3: slip_L_per_min: 'one' is not a number"),
        (changed(3, "100,2000,1,nan,6"),
         "pump_45.csv, line 3: slip_L_per_min: 'nan' is not a number"),
        (changed(3, "100,2000,1,1.1,-6"), "pump_45.csv, line 3: lost_torque_Nm is less than 0"),
        (changed(3, "100,2000,50,1.1,6"), "pump_45.csv, line 3: stroke is more than 1"),
        (changed(2, "0,1000,1,1,5"), "pump_45.csv, line 2: there is no slip without pressure"),
        (changed(5, "200,1000,1,2,7"),
         "pump_45.csv, line 5: the point 200 bar, 1000 rpm, stroke 1 stands in line 4 already"),
        ("\n".join(WHOLE[:4]),
         "pump_45.csv, line 4: behind this line the point 200 bar, 2000 rpm, stroke 1 is missing"),
        ("\n".join([HEAD, *WHOLE[3:], *WHOLE[1:3]]),
         "pump_45.csv, line 4: pressure_bar falls from 200 to 100"),
        ("\n".join([HEAD, *(f"{i},{i},{i / 20_000!r},1,1" for i in range(1, 10_001))]),
         "pump_45.csv, line 2: behind this line the point 1 bar, 1 rpm, stroke 0.0001 is missing"),
        ("\n".join([HEAD, *(f"{i},1,1,1,1" for i in range(1, 10_002))]),
         "pump_45.csv, line 10002: there are more than 10000 points"),
        (changed(3, f"100,2000,1,1.1,{'9' * 400}"),
         f"pump_45.csv, line 3: lost_torque_Nm: '{'9' * 40}' is not a number"),
        (f"{HEAD}\n0,1000,1,0,5", "pump_45.csv, line 2: there is no pressure above 0 bar"),
    ],
)  # fmt: skip
def test_a_wrong_table_is_refused_with_its_line(csv: str, message: str, tmp_path: Path) -> None:
    found = project(tmp_path, f"{sources(TT=0, TP=1)}\n{PUMP}, 1500 rpm", LINES, csv=csv).mistakes
    assert [finding.message for finding in found] == [message]
    assert found[0].place.line == 6


def test_comments_and_blank_lines_count_as_lines() -> None:
    with pytest.raises(TableError) as wrong:
        read_table("# one\n\n" + changed(3, "100,2000,1,?,6"))
    assert wrong.value.line == 5
    assert read_table("# one\n\n" + "\n# two\n".join(WHOLE)).slip.shape == (2, 2, 1)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ('losses "pump_46.csv"', "there is no file 'pump_46.csv'"),
        ('losses "../pump_45.csv"', "'../pump_45.csv' lies outside the circuit's folder"),
        ('losses "/tmp/pump_45.csv"', "'/tmp/pump_45.csv' is not written from this file on"),
        ('losses "tables\\pump_45.csv"', "folders are parted by /"),
        ("losses pump_45", "'losses' is a file"),
        ("losses 45", "'losses' is a file"),
        ("losses", "'losses' is a file"),
        ('losses ""', "'losses' is a file"),
        ('losses "pump_45.csv", losses "pump_45.csv"', "'losses' is given twice"),
        ('losses "pump_45.csv", volumetric 92 %',
         "P1 has its losses twice: by 'losses' and 'volumetric'"),
        ('losses "pump_45.csv", constant efficiency',
         "P1 has its losses twice: by 'losses' and 'constant efficiency'"),
        ('losses "pump_45.csv", slip coefficient 2e-8',
         "P1 has its losses twice: by 'losses' and 'slip coefficient'"),
    ],
)  # fmt: skip
def test_what_cannot_be_said_of_a_table(said: str, message: str, tmp_path: Path) -> None:
    parts = f"{sources(TT=0, TP=1)}\nP1 pump, variable, 45 cc/rev, 1500 rpm, {said}"
    found = project(tmp_path, parts, LINES).mistakes
    assert [finding.message for finding in found] == [message]


def test_the_near_name_is_proposed_and_links_out_are_refused(tmp_path: Path) -> None:
    parts = f"{sources(TT=0, TP=1)}\n{PUMP.replace('pump_45', 'pmp_45')}, 1500 rpm"
    (found,) = project(tmp_path, parts, LINES).mistakes
    assert found.remedy == "did you mean 'pump_45.csv'?"
    outside, folder = tmp_path / "secret.csv", tmp_path / "in"
    folder.mkdir()
    outside.write_text(table(), encoding="utf-8")
    (folder / "pmp_45.csv").symlink_to(outside)
    (found,) = project(folder, parts, LINES).mistakes
    assert found.message == "'pmp_45.csv' lies outside the circuit's folder"


def test_a_text_in_no_folder_has_no_table() -> None:
    text = f'circuit "b"\noil {TEST_OIL}\nparts\nTT tank, 9 L\n{PUMP}, 1500 rpm\nlines\n'
    found = parse(text + "from P1 P and P1 L to TT\nfrom TT to P1 S").mistakes
    message = "'pump_45.csv' is beside no file: this text lies in no folder"
    assert [finding.message for finding in found] == [message]


def test_a_catalogue_names_its_table_from_itself_on(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "loss.csv").write_text(table(), encoding="utf-8")
    entry = '[pump_45]\nkind = "pump"\nsays = ["variable", "axial piston"]\n'
    entry += 'displacement = "45 cc/rev"\nlosses = \'"loss.csv"\'\n'
    (tmp_path / "parts" / "own.toml").write_text(entry, encoding="utf-8")
    parts = f"{sources(TT=0, TP=150)}\nP1 pump_45, 1500 rpm"
    built = project(tmp_path, parts, LINES, "  step test, P1 at 100 %")
    assert [finding.message for finding in built.mistakes] == []
    agrees(built.solve().step("test"), 150, 1500, 1, *GRID[150, 1500, 1])


def test_a_default_may_name_a_table(tmp_path: Path) -> None:
    """``every`` gives it as it gives any figure; nothing of efficiencies is assumed then."""
    parts = f"{sources(TT=0, TP=150)}\nP1 pump, variable, axial piston, 45 cc/rev, 1500 rpm"
    (tmp_path / "pump_45.csv").write_text(table(), encoding="utf-8")
    text = f'circuit "b"\noil {TEST_OIL}\ndefaults\nevery pump, losses "pump_45.csv"\n'
    text += f"parts\n{parts}\nlines\n{LINES}\ncycle\n step test, P1 at 100 %\n"
    built = parse(text, "b.hyc", tmp_path)
    agrees(built.solve().step("test"), 150, 1500, 1, *GRID[150, 1500, 1])
    assumed = {row.name: row.text for row in built.circuit.assumptions if row.part == "P1"}
    assert assumed["losses"] == "pump_45.csv"
    assert "volumetric" not in assumed
    assert "test pressure" not in assumed
