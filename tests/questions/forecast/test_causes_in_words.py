"""The sentences on causes: parts add up to what is shown of the whole, and why late runs are late is read off the chains."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from invented_runs import TWO_AREAS, invented_runs, invented_scenario

from simulation.construction.trace.chain import of_calendar
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.cause_sentences import FEWEST_FOR_HALVES, say_causes, say_late
from simulation.questions.forecast.reading import read_runs
from simulation.study.causes_of_time import find_causes, name_crews

SCENARIO = invented_scenario()
READY = "operational readiness"


def read(count=200, runs=None):
    return read_runs(SCENARIO, invented_runs(SCENARIO, count) if runs is None else runs, 7, count)


def slowed(cause, hours, count=40):
    """Return invented runs whose later half spends so many hours more on one cause, and is ready so much later."""
    runs = invented_runs(SCENARIO, count)
    late = np.argsort(runs[f"milestone.{READY}"], kind="stable")[count // 2 :]
    runs[f"cause.late.{cause}"][late] += hours
    runs[f"milestone.{READY}"][late] += hours
    return runs


def table_of(answer, title):
    return next(block for part in answer.parts for block in part.blocks if getattr(block, "title", "").startswith(title))


def test_a_cause_has_the_same_hours_and_share_in_a_forecast_and_in_what_holds_it_up_and_they_add_up_within_rounding():
    runs = invented_runs(SCENARIO, 60)
    table = table_of(forecast_answer(read(60, runs)), "What takes")
    for column in (1, 2, 3):
        *parts, whole = [float(row[column].removesuffix(" %")) for row in table.rows]
        assert math.fsum(parts) == pytest.approx(whole, abs=0.05 * len(table.rows))
    leading = attribute_hours(runs, READY)
    shown = {cells[0]: cells[1:3] for cells in table.rows}
    assert shown.popitem()[1] == (f"{leading.hours:.1f}", "100.0 %")
    causes = [cause for holder in (*leading.holders, leading.calendar) for cause in holder.causes]
    assert shown == {cause.name: (f"{cause.hours:.1f}", f"{100.0 * cause.hours / leading.hours:.1f} %") for cause in causes}


def test_the_hours_outside_shifts_are_the_sum_of_those_whose_shifts_they_are():
    said = say_causes(read())
    whole, each = re.search(r"([\d,]+) lie outside shifts \(([^)]*)\)", said).groups()
    assert int(whole) == sum(int(number) for number in re.findall(r" (\d+)", each))


def test_where_one_crew_keeps_hours_of_its_own_the_common_hours_bear_the_name_of_the_other():
    own = '\n[[crew]]\nname = "blue.2"\npeople = 18\n'
    mixed = invented_scenario(TWO_AREAS.replace(own, f'{own}shift = {{ hours = ["18:00-24:00"], lighting = true }}\n'))
    assert mixed.crew[1].shift is not None
    runs = invented_runs(SCENARIO, 40)
    said = say_causes(read_runs(mixed, runs, 7, 40))
    assert re.search(r"lie outside shifts \(crew red \d+\)", said)
    assert re.search(r"lie outside shifts \(crews \d+\)", say_causes(read_runs(SCENARIO, runs, 7, 40)))


def test_where_every_crew_keeps_hours_of_its_own_the_hours_in_which_the_sweep_waits_are_those_of_all_or_of_the_only_one():
    night, areas = 'shift = { hours = ["18:00-24:00"], lighting = true }\n', 'areas = ["runway", "apron"]\n'
    own = TWO_AREAS.replace("people = 20\n", f"people = 20\n{night}").replace("people = 18\n", f"people = 18\n{night}")
    runs = invented_runs(SCENARIO, 40)
    assert re.search(r"lie outside shifts \(all crews \d+\)", say_causes(read_runs(invented_scenario(own), runs, 7, 40)))
    blue = f'[[crew]]\nname = "blue.2"\npeople = 18\n{night}{areas}'
    alone = invented_scenario(own.replace(blue, ""))
    assert [crew.name for crew in alone.crew] == ["red"]
    causes = find_causes(runs, READY)
    asleep = next(row for row in causes if row.cause == "off shift, crews")
    both = name_crews([*causes, replace(asleep, cause="off shift, crew red")], alone)
    (whole,) = [row for row in both if row.cause.startswith("off shift, crew")]
    assert whole.cause == "off shift, crew red"
    assert (whole.hours, whole.growth) == pytest.approx((2.0 * asleep.hours, 2.0 * asleep.growth))
    assert whole.thirds == pytest.approx({third: 2.0 * hours for third, hours in asleep.thirds.items()})


@pytest.mark.parametrize("cause", ["rain", "laying rows"])
def test_what_later_runs_spend_more_hours_on_is_named_first_with_its_hours(cause):
    forecast = read(40, slowed(cause, 60.0))
    (said,) = say_late(forecast)
    growth = {row.cause: row.growth for row in find_causes(forecast.runs, READY)}
    assert max((name for name in growth if not of_calendar(name)), key=growth.get) == cause
    assert f"mostly because of {cause} ({growth[cause]:,.0f} h more)" in said
    assert f"ready {math.fsum(growth.values()):,.0f} h after the earlier half" in said


def test_few_runs_and_runs_that_are_alike_say_nothing_of_late_ones():
    assert say_late(read(FEWEST_FOR_HALVES - 1)) == []
    alike = read(40)
    assert say_late(replace(alike, causes=tuple(replace(row, growth=0.0) for row in alike.causes))) == []
