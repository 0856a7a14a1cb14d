"""Can anybody be in two places at once? And who goes first where several could?"""

import itertools
from collections import defaultdict

import pytest
from scenarios import strip
from small_runs import in_every_random_field, random_run, run, steps

from simulation.construction.plan.steps import ACTOR, END, KIND, KINDS, START


@in_every_random_field
def test_nobody_does_two_things_at_once(text):
    done = random_run(text)
    mine = defaultdict(list)
    for step in done.site.trace[1:]:
        mine[step[ACTOR]].append(step)
    for actor, doing in mine.items():
        if done.actors[actor].kind == "resupply":
            continue  # several orders can be on their way
        for before, after in itertools.pairwise(doing):
            assert before[END] <= after[START], (done.actors[actor], KINDS[before[KIND]].name, KINDS[after[KIND]].name)


@in_every_random_field
def test_the_same_run_has_the_same_steps_to_the_bit(text):
    once, again = random_run(text), run(text)
    plain = [[(*step[:2], *step[3:]) for step in done.site.trace] for done in (once, again)]
    assert plain[0] == plain[1]


def test_of_forklifts_that_could_all_go_the_lowest_number_goes_first():
    done = run(strip(forklifts={"count": 3, "staged_ahead": 6}))
    first = steps(done, "forklift trips")[:6]
    assert [done.actors[step[ACTOR]].name for step in first] == ["1", "2", "3", "1", "2", "3"]
    assert [step[START] for step in first[:3]] == [0.0] * 3


def test_of_crews_that_could_all_take_a_edge_the_first_one_written_takes_it():
    crew = [{"name": name, "people": 12, "areas": ["strip"]} for name in ("blue", "red")]
    done = run(strip(crew=crew))
    assert {done.actors[step[ACTOR]].name for step in steps(done, "laying rows")} == {"blue"}


@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_steps_of_a_run_are_shown_with_who_and_where_and_why(count):
    from scenarios import written

    from simulation.construction import run_once
    from simulation.scenario import parse_scenario

    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "start": "centre-out"}]
    crew = [{"name": name, "people": 12, "areas": ["strip"]} for name in ("red", "blue", "green")[:count]]
    built = run_once(parse_scenario(written(strip(area=area, crew=crew))))
    table = built.steps
    assert list(table.columns) == [
        "step",
        "actor",
        "work",
        "area",
        "number",
        "start",
        "end",
        "hours",
        "because",
        "waited",
        "held up",
        "off shift",
        "dark",
        "fatigue",
        "lightning",
        "rain",
        "wind",
        "wet ground",
        "heat",
        "cold",
    ]
    caused = table[table.because >= 0]
    assert (table.end.to_numpy()[caused.because] == caused.start).all()
    assert {"strip, low side", "strip, high side"} <= set(table.area)
    laying = table[table.work == "laying rows"]
    assert set(laying.actor) == {"crew red", "crew blue"} if count > 1 else {"crew red"}
