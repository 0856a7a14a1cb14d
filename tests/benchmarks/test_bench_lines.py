"""Is the comparison one of equals? Whoever lays a line must finish it at the same hour, up to the luck of the draw.

Two means agree where they differ by less than `LIMIT` standard errors of their difference: at 3.5 equals are refused once in two
thousand times, and every sample here is seeded. That the samples are large enough to notice an unequal line is tested as well.
"""

import math
import random
import statistics
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
import salabim
from contestants import reduced_by_hand, reduced_in_salabim, reduced_in_simpy, same_line_by_hand
from contestants.benchmark_lines import Lay, ReducedLine, SameLine, by_this_program, reduced_scenario, runway_of, same_scenario
from contestants.reduced_in_ciw import in_ciw
from contestants.same_line_by_mats import by_mats

from simulation.construction import compile_plan

LIMIT = 3.5
REDUCED = reduced_scenario(100)
SAME = same_scenario(1000)


def apart(one: list[float], other: list[float]) -> float:
    """Return by how many standard errors of their difference two means differ."""
    error = math.sqrt(statistics.variance(one) / len(one) + statistics.variance(other) / len(other))
    return abs(statistics.mean(one) - statistics.mean(other)) / error


def in_an_environment(finish: Callable[..., float]) -> Callable[..., float]:
    """Return a way to lay the reduced line in salabim that is called like the others."""
    return lambda line, *draws: finish(line, salabim.Environment(trace=False), *draws)


@pytest.fixture(scope="module")
def reduced_floor() -> list[float]:
    return reduced_by_hand.by_hand(ReducedLine.of(REDUCED))(range(3000))


@pytest.fixture(scope="module")
def same_floor() -> list[float]:
    return same_line_by_hand.by_hand(SameLine.of(SAME))(range(800))


@pytest.mark.parametrize(
    ("lay", "runs"),
    [
        pytest.param(by_this_program(REDUCED), 200, id="this program"),
        pytest.param(reduced_in_simpy.in_simpy_by_pallets(ReducedLine.of(REDUCED)), 200, id="SimPy by pallets"),
        pytest.param(reduced_in_simpy.in_simpy_by_workers(ReducedLine.of(REDUCED)), 200, id="SimPy by workers"),
        pytest.param(
            reduced_in_salabim.in_salabim_by_pallets(ReducedLine.of(REDUCED)), 80, id="salabim by pallets", marks=pytest.mark.slow
        ),
        pytest.param(
            reduced_in_salabim.in_salabim_by_workers(ReducedLine.of(REDUCED)),
            200,
            id="salabim by workers",
            marks=pytest.mark.slow,
        ),
        pytest.param(in_ciw(ReducedLine.of(REDUCED)), 150, id="ciw"),
    ],
)
def test_everybody_finishes_the_reduced_line_at_the_hour_of_the_heap_loop(lay: Lay, runs: int, reduced_floor: list[float]):
    finished = lay(range(runs))
    assert apart(finished, reduced_floor) < LIMIT
    # Runs spread alike too: the deviation of n normal draws has an error of 1/√(2n); half more is allowed for skew.
    spread = statistics.stdev(finished) / statistics.stdev(reduced_floor)
    assert abs(spread - 1.0) < LIMIT * 1.5 / math.sqrt(2 * runs)


@pytest.mark.parametrize("change", [{"forklifts": 3}, {"trip": 0.1283}, {"row": 0.066}, {"every": 0.1375}, {"row": 0.054}])
def test_a_reduced_line_with_a_number_off_by_a_tenth_would_be_noticed(change: dict[str, float], reduced_floor: list[float]):
    other = replace(ReducedLine.of(REDUCED), **change)
    assert apart(reduced_by_hand.by_hand(other, seed=2)(range(150)), reduced_floor) > LIMIT


@pytest.mark.parametrize(
    "finish",
    [
        pytest.param(reduced_in_simpy.by_pallets, id="SimPy by pallets"),
        pytest.param(reduced_in_simpy.by_workers, id="SimPy by workers"),
        pytest.param(in_an_environment(reduced_in_salabim.by_pallets), id="salabim by pallets"),
        pytest.param(in_an_environment(reduced_in_salabim.by_workers), id="salabim by workers"),
    ],
)
@pytest.mark.parametrize("seed", range(2))
def test_with_the_same_draws_everybody_finishes_the_reduced_line_with_the_heap_loop(finish: Callable[..., float], seed: int):
    line = ReducedLine.of(REDUCED)
    luck = random.Random(seed)
    trips, pallets = ([luck.expovariate(1.0 / mean) for _ in range(200)] for mean in (line.trip, 2 * line.row))
    by_hand, by_library = (one(line, iter(trips).__next__, iter(pallets).__next__) for one in (reduced_by_hand.finish, finish))
    assert by_library == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize(
    ("lay", "runs"),
    [
        pytest.param(by_this_program(SAME), 150, id="this program"),
        pytest.param(by_mats(SameLine.of(SAME)), 100, id="SimPy by mats", marks=pytest.mark.slow),
    ],
)
def test_everybody_finishes_the_same_line_at_the_hour_of_the_heap_loop(lay: Lay, runs: int, same_floor: list[float]):
    assert apart(lay(range(runs)), same_floor) < LIMIT


@pytest.mark.parametrize(
    "change",
    [
        {"forklifts": 4},
        {"trucks": 5},
        {"on_hand": 0},
        {"sound": 20.0},
        {"efficiency": 0.45},
        {"spans": ((0.0, 6.5), (7.0, 12.0))},
    ],
)
def test_a_same_line_with_another_number_would_be_noticed(change: dict[str, Any], same_floor: list[float]):
    other = replace(SameLine.of(SAME), **change)
    assert apart(same_line_by_hand.by_hand(other, seed=2)(range(100)), same_floor) > LIMIT


def test_the_numbers_of_the_reduced_line_are_those_of_its_file():
    line = ReducedLine.of(reduced_scenario())
    assert line == ReducedLine(400, pytest.approx(7.5 / 60), 2, pytest.approx(7 / 60), pytest.approx(3.6 / 60), 2)


def test_the_same_line_is_used_up_to_the_last_mat():
    line = SameLine.of(same_scenario())
    assert sum(map(sum, line.pieces)) == line.total * line.mats
    assert [sum(edge[start : start + 2]) for edge in line.pieces for start in range(0, len(edge), 2)] == [line.mats] * line.total
    assert line.spans == ((0.0, 6.0), (7.0, 12.0))


@pytest.mark.parametrize(("feet", "rows"), [(300, 150), (12_000, 6_000)])
def test_the_runway_of_any_length_is_the_shipped_one_but_for_its_length(feet: int, rows: int):
    plan = compile_plan(runway_of(feet))
    assert [area.rows for area in plan.areas] == [rows]
    assert not plan.sky.dry
    assert plan.supply.total * plan.laying.pallet_pieces >= 6.5 * rows
