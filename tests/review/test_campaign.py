"""A bounded run of the campaign; the whole one is ``python tests/review/campaign.py``."""

from __future__ import annotations

import numpy as np

from .campaign import cases


def test_faults_are_found_and_sound_machines_left_alone() -> None:
    found = list(cases("press", 25, 40))
    faulty = [one for one in found if one.true]
    healthy = [one for one in found if not one.true]
    assert np.mean([one.rank == 1 for one in faulty]) >= 0.9
    assert np.mean([one.rank <= 3 for one in faulty]) >= 0.95
    assert np.mean([one.sound for one in healthy]) >= 0.9
