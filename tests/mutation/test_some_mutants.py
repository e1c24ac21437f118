"""Some mutants of laws and solver are tried in every run: the tests named beside must fail.

All of them once survived, or stand for a mistake that would go unnoticed in a drawing. The
whole of the mutants is tried by hand: shared/reference/mutation.md.
"""

from __future__ import annotations

import inspect
import sys
import textwrap
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from circuitcheck.laws import (
    bores,
    brakes,
    drives,
    machines,
    modulated,
    pipe_curve,
    rotary,
    smoothing,
    storage,
    transmissions,
    warm_gas,
)
from circuitcheck.solver import ill_posed, newton, results, sensitivity, starts, work
from tests.components import test_drives, test_tanks_and_coolers
from tests.laws import (
    test_drives_and_brakes,
    test_pipe_curve,
    test_smoothing,
    test_stores,
    test_units,
)
from tests.solver import (
    test_acceptance,
    test_ill_posed,
    test_second_points,
    test_sensitivity,
    test_varied_figures,
)


@dataclass(frozen=True)
class Mutant:
    """``old`` of a function or method reads ``new``; ``test`` with ``given`` must fail."""

    owner: object
    function: str
    old: str
    new: str
    test: Callable[..., None]
    given: tuple[object, ...] = ()


MUTANTS = [
    Mutant(
        brakes.Brake, "fill", '+ c["drag"]', '- c["drag"]',
        test_drives_and_brakes.test_a_brake_lets_go_in_proportion, (15, 0.25, 1.0),
    ),
    Mutant(
        brakes.Brake, "fill", '(p - c["begins"]) / band', '(p + c["begins"]) / band',
        test_drives_and_brakes.test_a_brake_lets_go_in_proportion, (15, 0.25, 1.0),
    ),
    Mutant(
        drives.Slip, "fill", 'c["critical"] * s.widen', 'c["critical"] / s.widen',
        test_drives_and_brakes.test_a_widened_motor_keeps_its_slope_at_synchronous_speed,
    ),
    Mutant(
        machines.Load, "fill", 'way += c["steady"]', 'way -= c["steady"]',
        test_drives_and_brakes.test_viscous_friction_of_load_and_rod, (0.2,),
    ),
    Mutant(
        storage.Store, "fill", 'held - c["start"]', 'held + c["start"]',
        test_stores.test_flow_in_is_what_is_held_more_over_the_duration,
    ),
    Mutant(
        storage.Store, "fill", 'c["high"] - c["low"]', 'c["high"] + c["low"]',
        test_stores.test_a_spring_takes_oil_in_proportion, (12.5, 0.25),
    ),
    Mutant(
        storage, "squeeze", "np.exp(-over / reach)", "np.exp(+over / reach)",
        test_stores.test_terms_of_a_real_gas, ("real1", 100),
    ),
    Mutant(
        warm_gas.WarmStore, "fill", 'c["rate"] > 0.0', 'c["rate"] >= 0.0',
        test_stores.test_a_step_without_duration_leaves_the_gas_as_it_is,
    ),
    Mutant(
        transmissions.Coupling, "fill", "lost * way * (driving + driven)",
        "lost * way * (driving - driven)",
        test_drives_and_brakes.test_a_gear_loses_in_either_direction_of_the_power, (1.0, -0.01),
    ),
    Mutant(
        pipe_curve, "along", "value += beyond * slope", "value -= beyond * slope",
        test_pipe_curve.test_beyond_the_last_point_the_curve_goes_on_straight,
    ),
    Mutant(
        bores.Hole, "fill", 'c["start"] * s.widen', 'c["start"] / s.widen',
        test_smoothing.test_a_wide_road_has_wide_laminar_starts,
    ),
    Mutant(
        modulated.Modulated, "fill", "leak * s.creep", "leak / s.creep",
        test_smoothing.test_a_wide_road_has_wide_bands_and_leaky_seats,
    ),
    Mutant(
        smoothing, "_within", "np.minimum(found, most, out=found)", "found",
        test_units.test_a_torque_control_looks_at_the_drop_of_its_own_way, (0, 200, 1.0),
    ),
    Mutant(
        rotary, "turned", 'lost: Array = c["stick"]', 'lost: Array = 0.0 * c["stick"]',
        test_units.test_each_loss_alone, ("stick", 1.5),
    ),
    Mutant(
        rotary, "_cutoff", '(c["cutoff"] - high) / band', '(c["cutoff"] + high) / band',
        test_units.test_the_side_with_less_pressure_does_not_cut_off,
    ),
    Mutant(
        rotary, "_torque", "if has.either:", "if not has.either:",
        test_units.test_a_torque_control_of_a_closed_loop_looks_both_ways, (-1.0,),
    ),
    Mutant(
        newton._Run, "_finish", "done[left[~near]] = False", "done[left[near]] = False",
        test_acceptance.test_only_places_that_balance_are_kept, (True, True),
    ),
    Mutant(
        newton, "rounding", "np.abs(x[equations.pattern.columns])", "x[equations.pattern.columns]",
        test_acceptance.test_rounding_is_a_few_times_that_of_the_terms_of_a_balance,
    ),
    Mutant(
        ill_posed, "_overdetermined", 'perm_type="column"', 'perm_type="row"',
        test_ill_posed.test_balances_with_one_unknown_less_than_they_need,
        ([[1, 0, 0], [1, 0, 0], [1, 1, 1]], [(0, 1)]),
    ),
    Mutant(
        starts, "_pull", "(answer != 0.0)", "(answer == 0.0)",
        test_second_points.test_steep_intersection_is_unstable_and_parts_the_ways,
    ),
    Mutant(
        work, "_imbalance", "& ~found", "& found",
        test_varied_figures.test_the_imbalance_is_that_of_the_worst_junction,
    ),
    Mutant(
        sensitivity, "both_sides", "value == 0.0", "value != 0.0",
        test_sensitivity.test_a_load_of_nothing_has_the_slope_of_a_small_load,
    ),
    Mutant(
        results, "outside", "start + before", "start - before",
        test_tanks_and_coolers.test_the_level_swings_from_where_the_rods_stand_at_the_start,
    ),
    Mutant(
        results, "_torque_behind", '(*UNITS, "coupling")', "UNITS",
        test_drives.test_shaft_end_carries_a_gearbox_behind,
    ),
]  # fmt: skip


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda m: f"{m.function}: {m.new}")
def test_the_test_of_a_mutant_fails(mutant: Mutant, monkeypatch: pytest.MonkeyPatch) -> None:
    mutant.test(*mutant.given)
    right = getattr(mutant.owner, mutant.function)
    text = textwrap.dedent(inspect.getsource(right))
    assert mutant.old in text, "the function has changed: choose the mutant anew"
    spoilt: dict[str, Callable[..., object]] = {}
    module = sys.modules[right.__module__]
    code = f"from __future__ import annotations\n{text.replace(mutant.old, mutant.new)}"
    exec(compile(code, module.__name__, "exec"), vars(module), spoilt)
    monkeypatch.setattr(mutant.owner, mutant.function, spoilt[mutant.function])
    if mutant.function in mutant.test.__globals__:
        monkeypatch.setitem(mutant.test.__globals__, mutant.function, spoilt[mutant.function])
    with pytest.raises((AssertionError, ValueError)):
        mutant.test(*mutant.given)
