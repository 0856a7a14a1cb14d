"""Plans are of one kind where they differ in one thing, the one that changes the number of people most."""

import pytest

from simulation.questions.compare.kinds import find_kinds

WRITTEN = "as written"


def test_the_plan_as_written_takes_the_place_that_is_missing_in_the_grid():
    names = [WRITTEN, "people=16, forklifts.count=2", "people=24, forklifts.count=2", "people=16, forklifts.count=3"]
    assert find_kinds(names, [30, 20, 28, 22]) == [f"forklifts.count={count}" for count in (3, 2, 2, 3)]


def test_without_a_place_for_it_the_plan_as_written_stands_alone():
    names = [WRITTEN, *(f"people={people}, forklifts.count={count}" for count in (2, 3) for people in (16, 24))]
    assert find_kinds(names, [20, 20, 28, 22, 30]) == [None, *(f"forklifts.count={count}" for count in (2, 2, 3, 3))]


def test_equal_crews_are_joined_by_how_many_there_are():
    names = [WRITTEN, "1x24", "1x48", "2x12", "2x24"]
    assert find_kinds(names, [40, 30, 54, 30, 54]) == [None, "1 crew", "1 crew", "2 crews", "2 crews"]


@pytest.mark.parametrize(
    ("names", "people", "kinds"),
    [
        ([WRITTEN, "people=16", "people=24"], [20, 18, 26], ["", "", ""]),
        ([WRITTEN, "people=16", "people=24", "forklifts.count=5"], [20, 18, 26, 22], ["", "", "", None]),
        ([WRITTEN, "start=one-end"], [20, 20], [None, None]),
        (["short", "long"], [20, 30], [None, None]),
    ],
)
def test_one_key_is_one_line_and_what_changes_no_people_is_none(names, people, kinds):
    assert find_kinds(names, people) == kinds
