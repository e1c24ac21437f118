"""Options that are figures with a unit: ``--hold '55 degC'``."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import click

from circuitcheck.basics.quantities import expected, read_unit, to_si, unit_advice

WRITTEN = re.compile(r"\s*([-+]?\d+(?:\.\d*)?|[-+]?\.\d+)\s*(\S.*?)\s*")


def in_si(quantity: str) -> Callable[[click.Context, click.Parameter, str | None], float | None]:
    """Give the callback of an option that is a figure of this quantity: its SI value."""

    def read(ctx: click.Context, param: click.Parameter, text: str | None) -> float | None:
        if text is None:
            return None
        found = WRITTEN.fullmatch(text)
        unit = read_unit(found[2]) if found else None
        if found is None or unit is None or unit.quantity != quantity:
            advice = unit_advice(found[2], quantity) if found else None
            why = f"'{text}' is not {expected(quantity)}" + (f"; {advice}" if advice else "")
            raise click.BadParameter(why, ctx, param)
        value = to_si(float(found[1]), unit)
        if not math.isfinite(value):
            raise click.BadParameter(f"'{text[:20]} ...' is too large a figure", ctx, param)
        return value

    return read
