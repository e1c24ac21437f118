"""Which files of a folder are circuits of the project."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.editing.project_files import circuit_files


def test_circuits_below_a_folder_and_no_others(tmp_path: Path) -> None:
    for name in ("b.hyc", "a.hyc", "sub/c.hyc", ".git/d.hyc", "node_modules/e.hyc", "f.txt",
                 "sub/deep/g.hyc"):  # fmt: skip
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    (tmp_path / "loop").symlink_to(tmp_path)
    names = [str(file.relative_to(tmp_path)) for file in circuit_files(tmp_path)]
    assert names == ["a.hyc", "b.hyc", "sub/c.hyc", "sub/deep/g.hyc"]
    assert [file.name for file in circuit_files(tmp_path, 2)] == ["a.hyc"]
    assert list(circuit_files(tmp_path / "nowhere")) == []
