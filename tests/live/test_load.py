"""A few people at once, for a few seconds; in full: ``python -m tests.live.load``."""

from __future__ import annotations

import shutil

import pytest

from tests.live.conftest import EXAMPLES, Served, run
from tests.live.load import CIRCUITS, load

pytestmark = pytest.mark.xdist_group("live")


def test_the_server_keeps_answering_while_five_people_edit(served: Served) -> None:
    for name in CIRCUITS:
        shutil.copy(EXAMPLES / f"{name}.hyc", served.folder)
    told = run(load(served, 5, 5.0))
    assert set(told.statuses) <= {"200", "410"}, told.text()
    assert len(told.waits["look"]) >= 5
    assert told.waits["sheet"]
    # work never keeps the server itself from answering
    assert told.middle("state") < told.middle("look"), told.text()
