"""Questions asked of a circuit beyond its steps: sizes, spreads, the day, why a number."""
