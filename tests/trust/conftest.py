"""The command line inside the tests' own process, as in `tests/cli`."""

from tests.cli.conftest import broken, circuitcheck, small

__all__ = ["broken", "circuitcheck", "small"]
