"""The commands of the reviewer: ladder, start-up card, diagnosis, comparison, other forms."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from .conftest import SMALL, Answer

Run = Callable[..., Answer]
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def written(folder: Path, text: str = SMALL, name: str = "a.hyc") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_ladder_lists_and_draws(circuitcheck: Run, tmp_path: Path) -> None:
    file = written(tmp_path)
    answer = circuitcheck("ladder", str(file))
    assert "R1 set" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80
    picture = tmp_path / "ladder.svg"
    circuitcheck("ladder", str(file), "-o", str(picture))
    assert "<svg" in picture.read_text(encoding="utf-8")


def test_the_card_reads_at_80_columns_and_warns(circuitcheck: Run, tmp_path: Path) -> None:
    answer = circuitcheck("startup", str(written(tmp_path)))
    assert max(map(len, answer.out.splitlines())) <= 80
    for word in ("Injection", "Under a load", "local law", "Expected readings", "gauge at P1 P"):
        assert word in answer.out


def test_diagnose_reads_a_table_and_gives_a_status(circuitcheck: Run, tmp_path: Path) -> None:
    file = written(tmp_path)
    assert circuitcheck("diagnose", str(file)).status == 2
    table = tmp_path / "read.csv"
    table.write_text("gauge;value;tolerance;step\nP1 P pressure;90 bar;3 bar;first\n", "utf-8")
    answer = circuitcheck("diagnose", str(file), "--readings", str(table))
    assert answer.status == 1
    assert "R1 set low" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80
    table.write_text("nothing\n", "utf-8")
    assert circuitcheck("diagnose", str(file), "--readings", str(table)).status == 2


def test_compare_tells_a_pipeline_whether_findings_came(circuitcheck: Run, tmp_path: Path) -> None:
    old = written(tmp_path)
    same = written(tmp_path, name="b.hyc")
    assert circuitcheck("compare", str(old), str(same)).status == 0
    worse = SMALL.replace("16 cc/rev,", "16 cc/rev, rated 150 bar,")
    answer = circuitcheck("compare", str(old), str(written(tmp_path, worse, "c.hyc")))
    assert answer.status == 1
    assert "relief-over-lowest-rating" in answer.out
    broken = written(tmp_path, "parts\n  x\n", "d.hyc")
    assert circuitcheck("compare", str(old), str(broken)).status == 2


def test_claims_come_from_a_table(circuitcheck: Run, tmp_path: Path) -> None:
    table = tmp_path / "claims.csv"
    table.write_text("subject,value,step,tolerance\nP1 flow,99 L/min,first,3 %\n", "utf-8")
    answer = circuitcheck("check", str(written(tmp_path)), "--claims", str(table))
    assert "claim-off" in answer.out


def test_check_gives_the_forms_of_other_programs(circuitcheck: Run, tmp_path: Path) -> None:
    file = str(written(tmp_path))
    heads = {"sarif": "{", "junit": "<?xml", "csv": "file,line", "markdown": "# "}
    for form, head in heads.items():
        assert circuitcheck("check", "--format", form, file).out.startswith(head)


def test_what_is_wrong_in_a_table_names_the_table_and_its_line(
    circuitcheck: Run, tmp_path: Path
) -> None:
    file, table = written(tmp_path), tmp_path / "sheet.csv"
    table.write_text("subject,value,step\nP1 flow,900 L/min,\nC9 speed,1 mm/s,\n", "utf-8")
    answer = circuitcheck("check", str(file), "--claims", str(table))
    assert "sheet.csv:3:1: error: there is no part or line C9" in " ".join(answer.out.split())
    table.write_text("subject,value,step\n\nP1 flow,900 L/min,\n", "utf-8")
    answer = circuitcheck("check", str(file), "--claims", str(table))
    assert "sheet.csv:3:1: warning: P1 flow" in " ".join(answer.out.split())
    assert "P1 flow,900 L/min," in answer.out


def test_the_card_holds_the_case_drain_test(circuitcheck: Run) -> None:
    answer = circuitcheck("startup", str(EXAMPLES / "flow_sharing.hyc"))
    assert "Case-drain test" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80
