"""Plugin of pytest for mutation runs: an example that fails is not made smaller."""

from __future__ import annotations

import pytest
from hypothesis import Phase, settings


@pytest.hookimpl(trylast=True)
def pytest_configure(config: pytest.Config) -> None:
    """One failing example kills a mutant; hypothesis would spend most of the run on shrinking."""
    settings.register_profile(
        "mutation", settings.get_profile("project"), phases=[Phase.explicit, Phase.generate]
    )
    settings.load_profile("mutation")
