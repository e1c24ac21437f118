"""Peers and this program side by side on the same circuits: `python -m circuitcheck.benchmark`."""
