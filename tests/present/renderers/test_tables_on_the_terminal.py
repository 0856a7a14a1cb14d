"""The forecast and the take-off as text: readable at 80 and 120 columns, and in no colour when nobody looks."""

import io

import pytest
from invented_runs import TWO_AREAS, invented_runs, invented_scenario
from rich.console import Console

from simulation.field import take_off
from simulation.present.renderers.terminal import print_answer
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.reading import read_runs
from simulation.questions.takeoff.answer import takeoff_answer
from simulation.scenario import parse_scenario
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline

SCENARIO = invented_scenario()
LARGER = TWO_AREAS + "\n[accessories]\nspares = 0.2\n"


def console(width):
    return Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)


def printed(scenario=SCENARIO, count=200, width=80, deadline=None, asked=None, full=True, **how):
    limit = read_deadline(deadline, make_calendar(scenario)) if deadline else None
    page = console(width)
    found = read_runs(scenario, invented_runs(scenario, count, **how), 7, asked or count, limit)
    print_answer(forecast_answer(found), page, full)
    return page.file.getvalue()


@pytest.mark.parametrize("width", [80, 120])
@pytest.mark.parametrize("how", [{}, {"unfinished": 0.15}, {"unfinished": 1.0}, {"count": 3}, {"deadline": "8 d"}])
def test_no_line_is_wider_than_the_terminal_and_no_number_is_cut(width, how):
    text = printed(width=width, **how)
    assert max(len(line) for line in text.splitlines()) <= width
    assert "\x1b" not in text
    assert "nan" not in text
    assert "inf " not in text
    if how.get("count") != 3:  # there the sign stands for a limit that is not set, and is explained
        assert "…" not in text


def test_every_milestone_stands_on_one_line_with_its_quantiles():
    text = printed()
    (days, band) = [line for line in text.splitlines() if line.startswith("operational readiness   ")]
    assert len([word for word in days.split() if word[0].isdigit()]) == 7
    assert "P50" in band
    assert "shift" in band


@pytest.mark.parametrize("how", [{}, {"unfinished": 0.15}, {"unfinished": 1.0}, {"count": 3}, {"deadline": "8 d"}])
def test_the_short_form_has_at_most_45_lines_and_ends_with_the_answer(how):
    lines = printed(full=False, **how).splitlines()
    assert len(lines) <= 45
    last = " ".join(" ".join(lines).split())[-200:]
    never = how.get("unfinished") == 1.0
    assert ("Fewer than four runs in five" if never else "Four runs in five reach operational readiness by") in last
    assert ("; the deadline 8 d is met in " in last) == ("deadline" in how)


def test_intervals_are_followed_by_what_they_do_not_cover():
    flat = " ".join(printed().split())
    assert "95 % interval" in flat
    assert "sampling error only" in flat
    assert "does not cover wrong inputs or a wrong model" in flat


def test_a_deadline_stands_with_number_interval_and_word_in_the_last_lines():
    tail = " ".join(printed(deadline="8 d").split())[-900:]
    assert "Ready by the deadline 8 d (8.0 days, Thu 10 Apr 2031 06:00)" in tail
    assert "95 % interval" in tail
    assert "likely" in tail


def test_unfinished_runs_and_a_stopped_run_are_said_first():
    flat = " ".join(printed(unfinished=0.15, asked=1000).split())
    assert "30 runs of 200 not ready within the 40.0 days simulated: counted as late, so no mean is given." in flat
    assert "Stopped early: 200 of 1,000 runs done." in flat
    assert "nine runs in ten (P90) after the last day simulated beyond" in flat
    assert "Fewer than 90 % of the runs are ready by then, so P90 is not known." in flat


def test_a_few_runs_are_said_to_be_few_and_bear_no_word():
    text = " ".join(printed(count=20, deadline="8 d").split())
    assert "Read first: Only 20 runs: too few to promise anything by." in text[:300]
    assert "of 20 runs (95 % interval" in text
    assert "likely" not in text.replace("likelihood", "")
    assert "too few" not in printed()


def test_what_lies_beyond_the_horizon_is_said_once_and_a_lower_bound_bears_no_word():
    text = " ".join(printed(unfinished=0.6, deadline="45 d").split())
    unfinished = "120 runs of 200 not ready within the 40.0 days simulated: counted as late, so no mean is given."
    assert unfinished in text
    assert text.count("Fewer than half of the runs are ready by then, so P50, P80 and P90 are not known.") == 1
    assert "at least 40.0 % (95 % interval" in text
    assert "likely" not in text[text.index("Ready by the deadline") :]
    assert text.endswith(
        "Fewer than four runs in five reach operational readiness within the 40.0 days simulated; "
        "the deadline 45 d is met in at least 40 % of runs."
    )
    half = " ".join(printed(unfinished=0.4).split())
    assert "Fewer than 80 % of the runs are ready by then, so P80 and P90 are not known." in half


def test_a_night_crew_stands_with_its_hours():
    own = TWO_AREAS.replace('name = "blue.2"', 'name = "blue.2"\nshift = { hours = ["20:00-04:00"], lighting = true }')
    flat = " ".join(printed(invented_scenario(own), width=200).split())
    assert "Laying shifts: 1 06:00-12:00 (red), 2 13:00-18:00 (red), 3 20:00-04:00 (blue.2)." in flat
    assert "A field finished after 04:00 of the next morning counts as ready the next day." in flat


def test_rates_stand_beside_the_published_ones_with_sources():
    flat = " ".join(printed(width=200).split())
    for part in (
        "sq ft a day",
        "per on-site person-hour",
        "service news 2009",
        "DTIC AD0758444",
        "NAVEDTRA 14045",
        "spares used up in 10.0 %",
        "half mats in 5.0 %",
        "limit 120",
        "45: 38 in crews, 3 forklift operators, 4 truck drivers",
    ):
        assert part in flat


def test_names_are_printed_as_written_whatever_they_hold():
    text = printed(invented_scenario(TWO_AREAS.replace('"runway open"', '"[red]open[/] :warning:"')), width=120)
    assert "[red]open[/] :warning:" in text


def test_forty_milestones_are_forty_times_readable():
    more = "".join(f'[[milestone]]\nname = "part {n:02d}"\nareas = ["runway"]\n' for n in range(40))
    text = printed(invented_scenario(TWO_AREAS + more))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert text.count("part 17") == 2


def test_cautions_end_the_page():
    tail = " ".join(printed().split())[-400:]
    assert "technical manual" in tail
    assert "lifting limits" in tail
    assert "planning values" in tail


def test_the_take_off_shows_pallets_alone_pooled_and_by_area():
    quantities = take_off(SCENARIO)
    page = console(80)
    answer = takeoff_answer(SCENARIO, quantities)
    print_answer(answer, page, full=True)
    text = page.file.getvalue()
    assert max(len(line) for line in text.splitlines()) <= 80
    pooled = next(line for line in text.splitlines() if line.startswith("field") and "mats" in line)
    assert pooled.split()[1] == str(quantities.need.pallets)
    assert f"{quantities.by_area_alone:.1f}" in text
    assert "runway, alone" in text
    assert answer.record["need"]["pallets"] == quantities.need.pallets
    assert [area["name"] for area in answer.record["areas"]] == ["runway", "apron"]


def test_a_deadline_in_the_morning_is_followed_by_the_chance_at_the_end_of_that_day():
    runs = invented_runs(SCENARIO, 200)
    day = 24.0 * 8 + 12  # 18:00 of the day that begins with the deadline
    share = (runs["milestone.operational readiness"] <= day).mean()
    flat = " ".join(printed(deadline="8 d").split())
    assert f"By the end of that day, 18:00: {100 * share:.1f} %." in flat


@pytest.mark.parametrize("deadline", ["2031-04-10", "8.5 d"])
def test_a_deadline_at_or_after_the_end_of_its_days_work_is_not(deadline):
    assert "By the end of that day" not in " ".join(printed(deadline=deadline).split())


def test_the_key_strips_of_a_long_field_in_metres_are_counted_at_80_columns():
    area = """length = "1300.2768 m"
width = "29.2608 m"
"""
    text = f"""starts = 2031-05-12T06:00:00
[[area]]
name = "runway"
{area}
[[area]]
name = "west side apron"
{area}
[[crew]]
name = "red"
people = 16
areas = ["runway", "west side apron"]
[supply]
on_hand = 4000
"""
    scenario = parse_scenario(text)
    quantities = take_off(scenario)
    page = console(80)
    print_answer(takeoff_answer(scenario, quantities), page)
    lines = page.file.getvalue().splitlines()
    (field,) = [
        line for line in lines if line.startswith("field ") and "," in line and "%" not in line and len(line.split()) == 7
    ]
    assert field.split()[-1] == str(quantities.total("key_strips"))


def test_the_order_says_how_much_more_than_needed_is_ordered_of_what_is_no_mat():
    scenario = parse_scenario(LARGER)
    page = console(80)
    print_answer(takeoff_answer(scenario, take_off(scenario)), page, full=True)
    (line,) = (take for take in take_off(scenario).ordered.lines if take.item == "locking bar")
    assert line.order == pytest.approx(1.2 * line.need, abs=1)
    assert "of everything else 20 % more than is needed" in " ".join(page.file.getvalue().split())


def test_the_sign_of_a_limit_that_is_not_known_is_explained_only_where_it_stands():
    for how in ({"unfinished": 1.0}, {"count": 20, "unfinished": 1.0}, {}, {"count": 3}, {"count": 3, "unfinished": 1.0}):
        text = printed(**how)
        assert ("… means that so few runs set no limit" in text) == ("…" in text.replace("… means", "")), how
