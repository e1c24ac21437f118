"""Sweeps: many variations of a circuit, solved by the chunk, here or on many machines, into a
file that an interrupted run continues."""
