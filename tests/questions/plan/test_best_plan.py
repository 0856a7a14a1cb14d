"""The best plan is found among all that may be chosen, never outside the limits, and more of what is there is never worse."""

import math
from dataclasses import replace

import pytest
from fields import BOUND, bound, by_crew, by_forklift
from scenarios import changed, make_scenario

from simulation.questions.plan import beside, proposing, study
from simulation.questions.plan.crew_choices import share_out
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.objective import Objective
from simulation.questions.plan.sentences import plan_lines
from simulation.questions.plan.space import Space, read_choices
from simulation.questions.plan.study import NoPlanError, best_plan
from simulation.questions.plan.usual_choices import usual_choices
from simulation.questions.plan.worded.headline import plan_headline
from simulation.replicate import do_runs
from simulation.replicate.identity import scenario_hash
from simulation.scenario import ScenarioError, load_scenario, parse_scenario
from simulation.scenario.reading.changed_text import write_changed
from simulation.stats.group_sequential import Effect
from simulation.stats.paired_difference import Difference
from simulation.stats.quantiles import order_statistic
from simulation.stats.selection.by_intervals import PairedLooks
from simulation.study.people import count_people
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished

FEW = RunContext(runs=8, workers=1)
UNCERTAIN = {"pick_up": "20 s", "place": {"p10": "30 s", "p90": "50 s"}}


def spaced(scenario, limits, texts=None):
    return Space(scenario, limits, usual_choices(scenario, limits) if texts is None else read_choices(scenario, texts))


def plans_of(space):
    return [plan for picks in space.combinations() if (plan := space.plan(picks)) is not None]


@pytest.mark.parametrize("limits", [Limits(people=30), Limits(people=18, forklifts=2), Limits(forklifts=1)])
def test_no_plan_of_the_space_breaks_a_limit(limits):
    scenario = by_crew()
    plans = plans_of(spaced(scenario, limits))
    assert plans
    for plan in plans:
        assert limits.people is None or count_people(plan.scenario).total <= limits.people
        assert limits.forklifts is None or plan.scenario.forklifts.count <= limits.forklifts


def test_crews_take_all_the_people_that_the_forklifts_of_the_same_plan_leave():
    plans = plans_of(spaced(by_crew(), Limits(people=40, forklifts=4)))
    assert {plan.people for plan in plans if "crew red" in plan.name} >= {40}
    assert share_out(50, [1, 2]) == [17, 33]


def test_where_a_forklift_binds_the_most_forklifts_are_chosen_and_one_more_would_buy_something():
    result = best_plan(by_forklift(), FEW, Limits(forklifts=2), read_choices(by_forklift(), ["forklifts.count=2,3"]))
    assert result.best.scenario.forklifts.count == 2
    assert result.outside == 1  # three are one too many, and never simulated
    assert result.as_written.change.value == pytest.approx(1.2, abs=1e-3)
    more = next(row for row in result.of("more") if row.plan.name == "one more forklift")
    assert more.change.value < -0.1
    assert plan_headline(result).startswith("Best plan within the limits: crew red 12; strip from one end; 2 forklifts; ")
    assert "1.2 hours earlier than as written" in plan_headline(result)


def test_in_a_space_that_is_tried_whole_the_answer_is_that_of_many_runs_of_every_plan():
    scenario = by_crew(UNCERTAIN)
    texts = ["crew.red.people=8,14,18", "forklifts.count=3"]
    result = best_plan(scenario, RunContext(runs=60, workers=1), choices=read_choices(scenario, texts))
    assert result.search.whole and result.search.sure
    whole = {}
    for plan in plans_of(spaced(scenario, Limits(), texts)):
        hours = do_runs(plan.scenario, 100, workers=1)["milestone.ready"].tolist()
        whole[plan.name] = order_statistic(hours, 0.8)
    assert whole[result.best.name] <= min(whole.values()) + result.margin
    assert result.best.scenario.crew[0].people == 18
    assert result.search.done <= 0.6 * 100 * len(whole)


def test_more_people_allowed_are_never_worse():
    dates = []
    for people in (14, 20):
        result = best_plan(by_crew(UNCERTAIN), RunContext(runs=12, workers=1), Limits(people=people))
        assert count_people(result.best.scenario).total <= people
        dates.append(result.value)
    assert dates == sorted(dates, reverse=True)


def test_of_plans_that_are_as_quick_the_one_of_fewer_people_is_named():
    # One row at a time takes all its mats one after the other, whoever stands by.
    scenario = by_crew({"rows_in_work": 1}, crew={"people": 40})
    result = best_plan(scenario, FEW, choices=read_choices(scenario, ["crew.red.people=30,50"]))
    assert result.best.scenario.crew[0].people == 30
    assert result.as_written.identical


def test_a_plan_beside_the_best_is_named_by_what_is_otherwise_than_in_that_one():
    space = spaced(by_crew(), Limits(), ["forklifts.count=3,4", "crew.red.people=14,18"])
    best, other, fewer = (space.plan(picks) for picks in ((2, 2), (1, 2), (2, 0)))
    assert other.against(best) == "forklifts.count=3"
    assert fewer.against(best) == "crew.red.people as written"
    assert best.against(replace(best, words=())) == best.name == "forklifts.count=4, crew.red.people=18"


def test_nothing_is_changed_that_gains_nothing(monkeypatch):
    monkeypatch.setattr(proposing, "LISTED", 0)  # climbed, not listed
    scenario = by_crew(UNCERTAIN)
    texts = ["laying.pick_up=19.99 s", "crew.red.people=14,18"]  # a ten thousandth earlier
    result = best_plan(scenario, RunContext(runs=25, workers=1), choices=read_choices(scenario, texts))
    assert result.best.name == "crew.red.people=18"


def test_it_is_the_same_for_any_workers_and_after_a_stop(tmp_path):
    def stop(done, _):
        if done > 30:
            raise KeyboardInterrupt

    def known(result):
        return result.best.name, result.search, [(row.plan.name, row.change) for row in result.rows]

    scenario, limits = by_crew(UNCERTAIN), Limits(people=20)
    whole = known(best_plan(scenario, RunContext(runs=20, workers=1), limits))
    part = best_plan(scenario, RunContext(runs=20, workers=1, folder=tmp_path, progress=stop), limits)
    assert part.stopped and not part.search.sure
    said = next(line for line in plan_lines(part) if "Not settled (stopped early)" in line)
    assert len(part.search.tried) == 1 and said.endswith("it is in front after 20 runs; no other plan was tried yet.")
    assert known(best_plan(scenario, RunContext(runs=20, workers=2, folder=tmp_path), limits)) == whole


def interrupt_at(monkeypatch, of, name, call):
    """Have an interrupt strike at a call of a method, where no run is in work."""
    plain, calls = getattr(of, name), []

    def strike(*given, **named):
        calls.append(name)
        if len(calls) == call:
            raise KeyboardInterrupt
        return plain(*given, **named)

    monkeypatch.setattr(of, name, strike)


@pytest.mark.parametrize(
    ("of", "name", "call"),
    [
        (Space, "_make", 4),
        (PairedLooks, "pairs", 1),
        (beside, "change_plan", 1),
        (study, "hold_against", 2),
    ],
)
def test_a_stop_between_two_batches_leaves_what_is_known_by_then(tmp_path, monkeypatch, of, name, call):
    scenario, context = by_crew(UNCERTAIN), RunContext(runs=20, workers=1, folder=tmp_path)
    choices = read_choices(scenario, ["crew.red.people=14,18,20"])
    whole = best_plan(scenario, RunContext(runs=20, workers=1), choices=choices)
    with monkeypatch.context() as once:
        interrupt_at(once, of, name, call)
        part = best_plan(scenario, context, choices=choices)
    assert part.stopped == "stopped early"
    row = part.as_written
    assert row.runs == 20 and row.change.value > 0 and row.change.low <= row.change.value <= row.change.high
    said = " ".join([plan_headline(part), *plan_lines(part)])
    if of not in (study, beside):
        assert plan_headline(part).startswith("In front when stopped, not settled: crew red ")
        assert "Not settled (stopped early)" in said
    assert str(row.runs) in said or row.change.measurable
    again = best_plan(scenario, context, choices=choices)
    assert (again.best.name, again.search, again.rows) == (whole.best.name, whole.search, whole.rows)


def test_a_stop_before_the_first_plan_is_tried_is_one_sentence(monkeypatch):
    interrupt_at(monkeypatch, Space, "_make", 1)
    with pytest.raises(NothingFinished, match=r"^stopped early, before the first plan was tried$"):
        best_plan(by_crew(UNCERTAIN), FEW, choices=read_choices(by_crew(), ["crew.red.people=14,18"]))


def test_runs_of_all_plans_together_are_no_more_than_were_given_and_what_is_not_settled_is_said(monkeypatch):
    monkeypatch.setattr(Objective, "find_margin", lambda *_: 0.002)  # far less than a shift
    scenario = by_crew({**UNCERTAIN, "place": {"p10": "30 s", "p90": "50 s", "scatter": 0.3}})
    choices, given, seen = read_choices(scenario, ["crew.red.people=8,10,14,18", "forklifts.count=3"]), 420, []
    context = RunContext(runs=800, workers=1, progress=lambda *now: seen.append(now))
    result = best_plan(scenario, context, choices=choices, budget=given)
    assert all(done <= expected <= given for done, expected in seen)
    assert result.search.done <= given and result.search.spent and not result.search.sure
    assert plan_headline(result).startswith("Best plan so far: ")
    part = result.search.budget
    said = next(
        line
        for line in plan_lines(result)
        if f"Not settled (another look would take more than its {part} runs; the other {given - part} of {given} are for " in line
    )
    assert "not told apart from it; another may be up to " in said and said.endswith("More runs narrow it: --budget 840.")
    assert math.isfinite(result.search.ahead)


def test_a_gain_that_is_measurable_but_less_than_is_told_is_said_to_be_less():
    result = best_plan(by_forklift(), FEW, Limits(forklifts=2), read_choices(by_forklift(), ["forklifts.count=2"]))
    rows = [
        replace(row, change=Difference(-0.01, -0.02, -0.005), effect=Effect.MEASURABLE) if row.thing == "people" else row
        for row in result.rows
    ]
    (said,) = [line for line in plan_lines(replace(result, rows=tuple(rows))) if line.startswith("What more would buy")]
    assert "ten more people in the crews: less than 0.1 hours" in said


def test_limits_stand_in_the_scenario_and_may_be_asked_otherwise_and_no_run_depends_on_them():
    plain = by_crew()
    limited = parse_scenario(
        f"{plain.source.text}\n[limits]\npeople = 30\nloads_a_day = 9\n[choose]\nvalues = ['forklifts.count=4']\n"
    )
    assert Limits.of(limited) == Limits(people=30, loads_a_day=9)
    assert Limits.of(limited, people=20, forklifts=3) == Limits(20, 3, 9)
    assert limited.choose.values == ("forklifts.count=4",)
    assert scenario_hash(limited) == scenario_hash(plain)


def test_where_the_plan_as_written_breaks_a_limit_it_is_said_by_how_much():
    scenario = bound(forklifts={"count": 3})
    result = best_plan(scenario, FEW, Limits(forklifts=2), read_choices(scenario, ["forklifts.count=1,2"]))
    assert result.as_written is None
    assert "The plan as written breaks the limits: forklifts: 3 where 2 may be, 1 too many." in plan_lines(result)


def test_where_no_plan_keeps_within_the_limits_it_is_said_which_and_by_how_much():
    scenario = bound(forklifts={"count": 3})
    with pytest.raises(
        NoPlanError, match=r"no plan keeps within the limits; the nearest has people: (\d+) where 2 may be, \d+ too many"
    ):
        best_plan(scenario, FEW, Limits(people=2), read_choices(scenario, ["forklifts.count=2"]))


def test_the_best_plan_is_written_as_the_planner_s_own_text_with_its_comments():
    scenario = load_scenario()
    plans = plans_of(spaced(scenario, Limits(), ["forklifts.count=4", "crew.B.people=+3", "crews=1x30"]))
    comments = [line for line in scenario.source.text.splitlines() if line.startswith("#")]
    assert comments
    for plan in plans:
        text = write_changed(plan.scenario)
        assert parse_scenario(text).model_dump() == plan.scenario.model_dump()
        if "crews" not in plan.name:
            assert all(line in text for line in comments)


@pytest.mark.parametrize("text", ["forklift.count=2", "forklifts.count=x2", "crews=2", "forklifts.count"])
def test_a_choice_that_cannot_be_read_is_refused(text):
    with pytest.raises(ScenarioError):
        read_choices(by_crew(), [text])


def test_a_crew_may_keep_the_hours_of_another_and_the_file_says_so():
    night = {"hours": ["19:00-24:00"], "lighting": True}
    crews = [{"name": "red", "people": 12, "areas": ["strip"]}, {"name": "owl", "people": 12, "areas": ["strip"], "shift": night}]
    scenario = make_scenario(changed(BOUND, crew=crews))
    words = [option.words for options in usual_choices(scenario, Limits()) for option in options]
    assert "red keeps the hours of owl" in words
    plan = next(plan for plan in plans_of(spaced(scenario, Limits(forklifts=2))) if plan.name == "red keeps the hours of owl")
    assert plan.scenario.crew[0].shift == scenario.crew[1].shift
    assert parse_scenario(write_changed(plan.scenario)).model_dump() == plan.scenario.model_dump()
