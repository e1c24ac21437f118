"""Element laws: what oil does in one passage, one piston, one rotary unit.

Every law is evaluated for all its elements and all variants at once and gives value and
derivative together. Shapes are always (..., elements, variants).
"""
