"""Steps of a circuit share their layouts, and are drawn as if each were drawn alone."""

from __future__ import annotations

import pytest

from circuitcheck.basics.folders import folder
from circuitcheck.pipeline import load
from circuitcheck.schematic import remembered


def test_steps_share_layouts_and_are_drawn_as_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    project = load(folder("examples") / "lift.hyc")
    made, lay_out = [], remembered.lay_out

    def counted(*asked):  # type: ignore[no-untyped-def]
        made.append(1)
        return lay_out(*asked)

    monkeypatch.setattr(remembered, "lay_out", counted)
    first, second = (point.step.name for point in project.solve().points[:2])
    remembered._layouts.clear()
    project.draw(first)
    alone = len(made)
    shared = str(project.draw(second))
    assert len(made) == alone
    remembered._layouts.clear()
    remembered._scores.clear()
    assert str(project.draw(second)) == shared
    assert len(made) > alone
