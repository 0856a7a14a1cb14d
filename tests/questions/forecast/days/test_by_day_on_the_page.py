"""The exceedance table by day, as text and as JSON."""

import io
import json

import pytest
from invented_runs import TWO_AREAS, invented_runs, invented_scenario
from rich.console import Console

from simulation.present.renderers.record import as_json
from simulation.present.renderers.terminal import print_answer
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.reading import read_runs
from simulation.questions.forecast.record import forecast_record

SCENARIO = invented_scenario()


def read(scenario=SCENARIO, count=200, **how):
    return read_runs(scenario, invented_runs(scenario, count, **how), 7, count)


def section(found, width=80):
    page = Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)
    print_answer(forecast_answer(found), page, full=True)
    text = page.file.getvalue()
    start = text.index("is not reached yet, by day")
    return text[start : text.index("What takes the time", start) if "What takes the time" in text else None]


@pytest.mark.parametrize("how", [{}, {"unfinished": 0.15}, {"sd": 60.0}, {"count": 1}])
def test_a_line_for_each_day_with_date_days_both_chances_interval_and_word(how):
    found = read(**how)
    text = section(found)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "…" not in text
    rows = [line for line in text.splitlines() if " Apr " in line or " May " in line]
    assert len(rows) == len(found.by_day) <= 16
    for row, one in zip(rows, found.by_day, strict=True):
        assert f"{one.hours / 24:.1f}" in row
        assert f"{100 * one.ready:.1f} %" in row
        assert f"{100 * one.not_ready.low:.1f} to {100 * one.not_ready.high:.1f} %" in row
        assert row.rstrip().endswith(one.likelihood or "%")
    assert ("being ready is" in text) == (how != {"count": 1})


def test_the_date_is_that_of_the_day_and_its_end_is_said():
    # Start is Wed 2 April 06:00; the last shift ends at 18:00, which is hour 12 of the day.
    found = read()
    first = found.by_day[0]
    day = 2 + round((first.hours - 12.0) / 24.0)
    text = section(found)
    assert f" {day} Apr " in next(line for line in text.splitlines() if " Apr " in line)
    assert "A field finished after 18:00 counts as ready the next day." in " ".join(text.split())


def test_a_night_shift_ends_the_day_on_which_it_began():
    nights = invented_scenario(TWO_AREAS + '[shifts.all]\nhours = ["20:00-04:00"]\nlighting = true\n')
    found = read(nights, sd=0.0, count=3)  # ready at hour 168 + 3: 09:00 of Wed 9 April
    text = section(found)
    assert "finished after 04:00 of the next morning counts" in " ".join(text.split())
    (one,) = found.by_day
    assert nights.starts.hour == 6
    assert found.calendar.moment(one.hours).strftime("%H:%M") == "04:00"
    assert f"{found.calendar.moment(one.hours - 5.0).day} Apr" in text


def test_unfinished_runs_are_said_never_to_count_as_ready():
    text = " ".join(section(read(unfinished=0.15)).split())
    assert "30 runs not ready by the last day simulated: never counted as ready" in text
    assert "exact (Clopper-Pearson)" in text
    assert "sampling error only" in text


def test_where_no_run_was_ready_there_is_no_table():
    page = Console(file=io.StringIO(), width=80, markup=False, highlight=False, emoji=False)
    found = read(count=10, unfinished=1.0)
    print_answer(forecast_answer(found), page, full=True)
    assert found.by_day == ()
    assert "not reached yet" not in page.file.getvalue()


def test_the_summary_has_the_same_days():
    found = read(unfinished=0.15)
    days = json.loads(as_json(forecast_record(found)))["by_day"]
    assert len(days) == len(found.by_day)
    for day, one in zip(days, found.by_day, strict=True):
        assert day["days"] == one.hours / 24
        assert day["ready"] + day["not_ready"]["share"] == pytest.approx(1.0)
        assert day["not_ready"]["interval"] == [one.not_ready.low, one.not_ready.high]
        assert day["likelihood_ready"] == one.likelihood
        assert day["moment"].endswith("18:00")
    assert days[-1]["not_ready"]["share"] == 0.15
