"""The smallest team that meets a deadline, on little fields whose answers are known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from staffed import known_hours, level, staffed, true_chance

from simulation import forecast, staffing
from simulation.questions.staffing.candidates import read_search
from simulation.questions.staffing.verdicts import FIRST, MOST, NAMED, STEP, Verdict
from simulation.replicate import do_runs
from simulation.scenario import Change, ScenarioError, read_team, vary
from simulation.stats.quantiles import order_statistic
from simulation.study.deadline import Deadline, on_time
from simulation.study.run_context import RunContext

TWO = [Change("forklifts.count", "2")]
#: One crew of 16 is ready by then in 79.5 of 100 runs: a little too seldom.
DEADLINE = known_hours(16, level(0.795))


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    """Return a function that asks for the smallest team; it reads the runs that other tests did of the same team."""
    kept = tmp_path_factory.mktemp("kept")

    def ask(crews, deadline=DEADLINE, scenario=None, start=None, forklifts=None, most=MOST, **context):
        search = read_search(crews, start, forklifts)
        context = RunContext(deadline=f"{deadline!r} h", workers=1, **{"folder": kept, **context})
        return staffing(scenario or staffed(), context, search=search, most=most)

    return ask


def told(found):
    return [
        (one.candidate.name, one.verdict.value, one.on_time, one.runs, one.low, one.high, one.outcome.hours)
        for one in found.teams
    ]


def test_the_smallest_team_that_meets_the_deadline_is_found_and_those_below_it_are_judged(asked):
    found = asked("1x14..20:2", most=FIRST + 3 * STEP)
    assert [one.verdict.value for one in found.teams] == ["does not", "too close to call", "meets", "meets"]
    assert [one.candidate.name for one in found.answer] == ["1x18"]
    assert [one.candidate.name for one in found.smaller] == ["1x16"]
    assert found.limits is None
    for one in found.teams:
        assert one.low < true_chance(one.candidate.team.people, DEADLINE) < one.high


def test_runs_go_where_the_answer_is_open(asked):
    found = asked("1x14..20:2", most=FIRST + 3 * STEP)
    runs = {one.candidate.name: one.runs for one in found.teams}
    assert runs["1x14"] == runs["1x20"] == FIRST
    assert FIRST + STEP < runs["1x16"] <= FIRST + 3 * STEP


def test_a_team_larger_than_the_answer_is_left_open_rather_than_inferred(asked):
    # On one laying edge a second crew goes elsewhere, where there is nothing to lay: 2x14 are as late as 1x14 and 14 people more.
    found = asked("1x18,2x14", deadline=known_hours(14, level(0.82)))
    by_name = {one.candidate.name: one for one in found.teams}
    assert by_name["1x18"].verdict is Verdict.MEETS
    assert (by_name["2x14"].verdict, by_name["2x14"].runs) == (Verdict.OPEN, FIRST)
    assert found.smaller == ()


def test_teams_of_one_size_are_all_judged_and_the_earliest_stands_first(asked):
    found = asked("1x20", deadline=24.0, scenario=staffed(length=120), start="one-end,centre-out", forklifts="2")
    alike = found.answer
    assert len({one.candidate.size for one in alike}) == 1
    assert [one.outcome.p80.value for one in alike] == sorted(one.outcome.p80.value for one in alike)
    assert len(alike) == 2


def test_on_an_edge_already_full_people_added_gain_nothing(asked):
    found = asked("1x24..40:4", scenario=staffed({"p10": "50 s", "p90": "90 s"}, rows_in_work=1))
    assert len({one.outcome.hours[:FIRST] for one in found.teams}) == 1
    assert found.teams[found.helping.at].candidate.name == "1x24"
    assert (found.helping.gain.value, found.helping.gain.low, found.helping.gain.high) == (0.0, 0.0, 0.0)


def test_a_second_crew_on_one_forklift_makes_things_worse_and_is_never_inferred_to_help(asked):
    # Two edges of one strip, fed by one forklift that sets down a pallet in 4 min: what it brings one crew can lay, and two crews
    # draw it back and forth between the laying edges.
    fed = staffed(length=120, start="centre-out", forklifts=1, handle="4 min")
    found = asked("1..2x16", deadline=12.0, scenario=fed)
    one, two = (judged.outcome for judged in found.teams)
    assert (one.people, two.people) == (18, 34)
    assert two.p50.value > one.p50.value
    assert found.teams[found.helping.at].candidate.name == "1x16"
    one, two = (do_runs(row.candidate.scenario, found.helping.runs, workers=1) for row in found.teams)
    ready = "milestone.operational readiness"
    assert found.helping.gain.value == order_statistic(two[ready], 0.8) - order_statistic(one[ready], 0.8) > 0
    assert [judged.runs for judged in found.teams] == [FIRST, NAMED]  # each judged by runs of its own; the nearest is shown


def test_where_no_team_meets_the_deadline_what_limits_the_best_is_named(asked):
    laying = asked("1x12..14:2", deadline=8.2)
    assert laying.answer == ()
    assert {one.verdict for one in laying.teams} == {Verdict.DOES_NOT}
    closing = laying.limits
    assert closing.index == 1
    assert closing.causes[0].cause == "final sweep, inspection and marking"  # 8 of some 9 hours
    fed = asked("1x16", deadline=15.0, scenario=staffed(length=120, handle="10 min", forklifts=1)).limits
    assert fed.causes[0].cause == "forklift trips"
    (crew, forklifts) = fed.use
    assert forklifts.share(forklifts.working) > crew.share(crew.working)


def test_a_team_that_is_never_ready_is_told_up_to_the_horizon_and_judged_all_the_same(asked):
    from simulation.scenario import Change, vary

    late = vary(staffed(), [Change("horizon", "8.2 h")])
    found = asked("1x8..10:2", deadline=8.1, scenario=late)
    assert {one.verdict for one in found.teams} == {Verdict.DOES_NOT}
    assert not found.limits.reached
    assert sum(one.hours for one in found.limits.causes) == pytest.approx(8.2)
    assert found.teams[found.limits.index].candidate.name == "1x10"  # as hopeless as the other one, and larger


def test_a_run_that_was_stopped_goes_on_to_the_same_verdicts(asked, tmp_path):
    def stopping(when):
        def told_of(done, expected):
            if when(done, expected):
                raise KeyboardInterrupt

        return told_of

    crews, most = "1x14..18:2", FIRST + 2 * STEP
    whole = asked(crews, most=most, folder=None)
    assert whole.stopped == ""
    # Once among the first runs of all teams, once among those of a team that is still open.
    for when in (lambda done, _: done >= 2.5 * FIRST, lambda done, _: done > 3 * FIRST):
        part = asked(crews, most=most, folder=tmp_path, progress=stopping(when))
        assert part.stopped == "stopped early"
    assert {one.verdict for one in part.teams} >= {Verdict.DOES_NOT, Verdict.OPEN}
    assert told(asked(crews, most=most, folder=tmp_path)) == told(whole)


def test_runs_that_are_kept_already_do_not_change_a_verdict(asked, tmp_path):
    crews, most = "1x14..16:2", FIRST + STEP
    fresh = asked(crews, most=most, folder=None)
    for one in fresh.teams:
        do_runs(one.candidate.scenario, 450, workers=1, folder=tmp_path)
    assert told(asked(crews, most=most, folder=tmp_path)) == told(fresh)


def test_the_effort_is_said_before_the_first_run_and_holds(asked, tmp_path):
    said, seen, crews = [], [], "1x14..18:2"
    asked(crews, most=FIRST + 2 * STEP, folder=tmp_path, tell=said.append, progress=lambda *now: seen.append(now))
    done = seen[-1][0]
    (before,) = said
    assert before.startswith(f"3 teams to try: from {3 * FIRST} runs, ")
    assert f", to {3 * (FIRST + 2 * STEP)} runs, " in before
    assert 3 * FIRST <= done <= 3 * (FIRST + 2 * STEP)
    asked(crews, most=FIRST + 2 * STEP, folder=tmp_path, tell=said.append)
    assert said[1].startswith(f"3 teams to try: at most {3 * (FIRST + 2 * STEP) - done} runs, ")


def test_progress_never_passes_what_is_expected(asked):
    seen = []
    found = asked("1x14..18:2", most=FIRST + 2 * STEP, folder=None, progress=lambda *now: seen.append(now))
    assert all(done <= expected for done, expected in seen)
    assert sum(one.runs for one in found.teams) <= seen[-1][0] <= sum(max(one.runs, 2 * FIRST) for one in found.teams)
    assert seen[0][1] == 3 * FIRST


@pytest.mark.parametrize("confidence", [0.0, 1.0, -0.1, 80.0, float("nan")])
def test_a_confidence_that_is_no_chance_is_refused(confidence):
    with pytest.raises(ValueError, match="must lie between 0 and 1"):
        staffing(staffed(), RunContext(deadline="9 d"), confidence=confidence)


@pytest.mark.parametrize("most", [0, NAMED - 1, 10**7])
def test_a_number_of_runs_out_of_range_is_refused(most):
    with pytest.raises(ValueError, match="must be 100 to 100,000"):
        staffing(staffed(), RunContext(deadline="9 d"), most=most)


def test_a_deadline_beyond_the_horizon_is_refused_because_nobody_is_simulated_so_far():
    with pytest.raises(ScenarioError, match="91 d lies beyond the 90 days simulated"):
        staffing(staffed(), RunContext(deadline="91 d"))


def test_one_more_forklift_is_tried_for_the_answer_run_by_run(asked):
    scenario = staffed(forklifts=1, handle="5 min")
    found = asked("1x20", deadline=48.0, scenario=scenario)
    more = found.one_more
    assert (more.index, more.forklifts) == (0, 2)
    by_hand = [
        do_runs(vary(scenario, [read_team("1x20").instead(scenario), *extra]), 2 * FIRST, workers=1) for extra in ([], TWO)
    ]
    ready = "milestone.operational readiness"
    assert list(more.before.hours) == by_hand[0][ready].tolist()
    assert list(more.after.hours) == by_hand[1][ready].tolist()
    assert more.against.p80.high < 0  # one forklift holds this crew up


def test_one_more_forklift_that_nobody_waits_for_changes_nothing(asked):
    found = asked("1x20", deadline=48.0)
    assert (found.one_more.against.p80.value, found.one_more.against.p80.low) == (0.0, 0.0)


#: Where two teams alike take twice the first runs to be told apart, and where one takes more runs than the others to be judged.
ROWS = {"doubled": ("1x15..16", NAMED), "judged longer": ("1x14..18:2", FIRST + 2 * STEP)}


@pytest.mark.parametrize("name", ROWS)
def test_p80_of_a_team_is_that_of_the_forecast_of_the_changed_file_and_by_the_deadline_where_8_runs_of_10_are(asked, name):
    crews, most = ROWS[name]
    scenario = staffed(handle="20 s", forklifts=1)
    found = asked(crews, deadline=DEADLINE, scenario=scenario, most=most)
    for row in found.teams:
        changed = vary(scenario, [row.candidate.team.instead(scenario)])
        by_hand = forecast(changed, RunContext(runs=row.runs, deadline=found.deadline.text, workers=1))
        assert row.outcome.p80.value == by_hand.readiness.quantile(0.8).value
        assert (row.outcome.chance.count, row.outcome.chance.runs) == (row.on_time, row.runs)
        assert (by_hand.deadline.chance.count, by_hand.deadline.chance.runs) == (row.on_time, row.runs)
        assert on_time(row.outcome.p80.value, found.deadline) == (row.chance >= 0.8)


@given(count=st.integers(80, 120), early=st.integers(0, 120), share=st.sampled_from([0.5, 0.8, 0.9]))
def test_a_quantile_is_by_the_deadline_exactly_where_its_share_of_runs_is(count, early, share):
    limit, early = Deadline("1 d", 24.0), min(early, count)
    hours = [24.0] * early + [24.5] * (count - early)
    assert on_time(order_statistic(hours, share), limit) == (early / count >= share)
