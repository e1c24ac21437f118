"""The circuits once more as an electrical network, for a general network simulator."""
