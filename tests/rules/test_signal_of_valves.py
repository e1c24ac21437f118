"""A valve whose spool vents its load signal at centre does not trap it."""

from __future__ import annotations

from pathlib import Path

from circuitcheck.pipeline import open_file

CIRCUITS = Path(__file__).parent.parent / "language" / "circuits"


def slugs(folder: Path, vented: bool) -> set[str]:
    section = (CIRCUITS / "load_sensing_section.hyc").read_text(encoding="utf-8")
    if not vented:  # a signal port that nothing empties: the pick-up is a plain line from A
        section = section.replace(", LS vented at centre", "")
        section = section.replace("from V1 LS through", "from V1 A through")
    (folder / "load_sensing_section.hyc").write_text(section, encoding="utf-8")
    winch = (CIRCUITS / "2_winch.hyc").read_text(encoding="utf-8")
    (folder / "winch.hyc").write_text(winch, encoding="utf-8")
    project = open_file(folder / "winch.hyc")
    assert project.understood, project.mistakes
    return {finding.slug for finding in project.check().findings}


def test_the_signal_falls_at_centre(tmp_path: Path) -> None:
    assert "ls-line-without-bleed" not in slugs(tmp_path, vented=True)


def test_without_the_vent_it_is_trapped(tmp_path: Path) -> None:
    assert "ls-line-without-bleed" in slugs(tmp_path, vented=False)
