"""What a brief says: the numbers of the analysis, each with its words, in the order of the questions."""

import math

import pytest
from briefed import EVIL, EVIL_STRIP, MANY_MILESTONES, SHORT, UNFINISHED, briefed, findings

from simulation.field import take_off
from simulation.present import answer as content
from simulation.present.answer import CAUTIONS
from simulation.present.words import wording
from simulation.present.words.change_format import whole
from simulation.present.words.pallet_words import planned_in_words, to_order_in_words
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.questions.bottlenecks.sentences import bottleneck_lines, held_back
from simulation.questions.brief.study import Asked, brief
from simulation.questions.forecast.cause_sentences import say_causes
from simulation.questions.forecast.sentences import headline
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext


def part_of(brief, title):
    return next(part for page in brief.pages for part in page.parts if part.title == title)


def tables_of(part):
    return {one.title: one for one in part.blocks if isinstance(one, content.Table)}


def said(part):
    """Return all sentences of a part in one text."""
    lines = []
    for one in part.blocks:
        lines += [one.text] if isinstance(one, content.Text) else list(getattr(one, "items", ()))
    return " ".join(lines)


def test_the_pages_answer_in_the_order_of_the_questions():
    brief = briefed(full=True)
    assert [page.key for page in brief.pages] == [
        "answer", "risk", "plans", "conditions", "takeoff", "method", "cautions", "repeat", "assumptions",
    ]  # fmt: skip
    assert [part.title for part in brief.pages[0].parts] == [
        "When is it ready?", "How likely by the deadline?", "What holds it up?", "What would help most?", "What to order?",
    ]  # fmt: skip


def test_the_first_page_says_the_quantiles_of_the_forecast_as_dates_and_days():
    forecast = findings(full=True).forecast
    part = part_of(briefed(full=True), "When is it ready?")
    (table,) = tables_of(part).values()
    assert [type(block) for block in part.blocks[:3]] == [
        content.Text,
        content.Table,
        content.Figure,
    ]  # the S-curve stands on the first page
    for row, share in zip(table.rows, (0.5, 0.8, 0.9), strict=True):
        band = forecast.readiness.quantile(share)
        when = wording.moment(forecast.calendar, band.value)
        assert row[1:] == (when, f"{band.value / 24:.1f}", f"{band.low / 24:.1f} to {band.high / 24:.1f}")
        assert band.name in row[0]
    eighty = forecast.readiness.quantile(0.8)
    assert wording.moment(forecast.calendar, eighty.value) in part.blocks[0].text
    assert part.blocks[0].text == briefed(full=True).headline == headline(forecast)
    assert "sampling error only" in " ".join(table.notes)


def test_a_likelihood_word_stands_beside_its_number():
    found = findings(full=True).forecast.deadline
    text = said(part_of(briefed(full=True), "How likely by the deadline?"))
    assert wording.percent(found.chance.probability) in text
    assert f"), {found.likelihood}. " in text


def test_twenty_runs_are_told_by_their_count_without_a_word_and_with_a_warning():
    chance = findings(runs=20).forecast.deadline.chance
    brief = briefed(runs=20)
    text = said(part_of(brief, "How likely by the deadline?"))
    assert f"in {chance.count} of 20 runs (95 % interval" in text
    assert "likely" not in text.replace("likelihood", "")
    assert any("Only 20 runs" in line for line in brief.warnings)
    assert not any("Only" in line for line in briefed(full=True).warnings)


def test_without_a_deadline_the_brief_says_where_the_chance_of_each_day_stands():
    brief = briefed(deadline=None)
    assert "No deadline was given" in said(part_of(brief, "How likely by the deadline?"))
    days = tables_of(part_of(brief, "Ready by which day?")).popitem()[1]
    assert len(days.rows) == len(findings(deadline=None).forecast.by_day) > 0


def test_runs_that_are_not_ready_are_warned_of_and_never_counted_as_ready():
    forecast = findings(UNFINISHED).forecast
    assert 0 < forecast.unfinished < 60
    brief = briefed(UNFINISHED)
    assert any(
        line.startswith(f"{forecast.unfinished} runs of 120 not ready within the 1.1 days simulated") for line in brief.warnings
    )
    table = tables_of(part_of(brief, "When is it ready?")).popitem()[1]
    assert table.rows[2][2] == wording.short_days(forecast.readiness.quantile(0.9).value)


def test_a_field_that_is_never_ready_is_told_as_such():
    brief = briefed(SHORT.replace("20 day", "2 h"), runs=20, full=True)
    assert part_of(brief, "When is it ready?").blocks[0].text.startswith("Fewer than four runs in five reach")
    assert "No run was ready" in said(part_of(brief, "What holds it up?"))
    assert any("Fewer than half of the runs are ready by then" in line for line in brief.warnings)


def test_what_drives_it_is_of_the_forecast_and_what_would_help_is_of_the_bottlenecks():
    found = findings(full=True)
    lines = bottleneck_lines(found.measures)
    drives, helps = (part_of(briefed(full=True), title) for title in ("What holds it up?", "What would help most?"))
    own = held_back(attribute_hours(found.forecast.runs, found.forecast.readiness.name))
    assert [own[0].removesuffix("."), *own[1:]] == [lines[0].partition("; ")[0].partition(", but")[0], *lines[1:3]]
    assert "useful: " in lines[0] or "helps measurably" in lines[0]
    assert [*(one.text for one in drives.blocks)][:3] == lines[
        :3
    ]  # what would help is held against the runs of the forecast: one plan has one P80 and one chance
    assert found.measures.outcome.p80 == found.comparison.plans[0].outcome.p80 == found.forecast.readiness.quantile(0.8)
    assert found.measures.outcome.chance == found.forecast.deadline.chance
    bought = next((block.items for block in helps.blocks if isinstance(block, content.Points)), ())
    assert list(bought) == lines[3 : 3 + len(bought)]
    assert lines[3 + len(bought)].startswith("Current plan: ")
    assert say_causes(found.forecast) in said(drives)  # in the words of the forecast


def test_every_change_that_was_tried_stands_in_its_table_with_the_paired_gain():
    found = findings(full=True).measures
    table = tables_of(part_of(briefed(full=True), "What each change would buy"))["Every change that was tried"]
    assert [row[0] for row in table.rows] == [one.trial.name for one in found.rows]
    for row, one in zip(table.rows, found.rows, strict=True):
        assert row[3] == whole(one.outcome.chance.probability)
        if not one.identical:
            assert ("(" in row[1]) == (not one.earlier_around_p80.measurable)


def test_the_plans_are_those_of_the_comparison_and_fewer_runs_are_owned_up_to():
    found = findings(full=True)
    table = tables_of(part_of(briefed(full=True), "Other plans under the same luck"))["All plans: days until ready"]
    ordered = [(index + 1, found.comparison.plans[index]) for index in found.comparison.by_p80]
    assert [row[0] for row in table.rows] == [f"{number} {one.outcome.name}" for number, one in ordered]
    assert [row[3] for row in table.rows] == [wording.short_days(one.outcome.p80.value) for _, one in ordered]
    assert any("Plan 1 is read from 120 runs. Any other plan is read as plan 1 plus the change" in note for note in table.notes)
    by_change = [one for one in found.comparison.plans if one.outcome.by_change]
    assert len(by_change) == len(found.comparison.plans) - 1
    for one in by_change:  # days and their change agree
        assert one.outcome.p80.value - found.comparison.plans[0].outcome.p80.value == pytest.approx(one.against.p80.value)


def test_under_hypercubes_too_the_scenario_as_written_has_one_p80_and_one_chance(tmp_path):
    scenario = parse_scenario(SHORT, "short.toml")
    found = brief(
        scenario,
        RunContext(runs=100, workers=1, deadline="28 h", sampling="lhs", folder=tmp_path),
        asked=Asked(20, True, None, True),
    )
    eighty, chance = found.forecast.readiness.quantile(0.8), found.forecast.deadline.chance
    for outcome in (
        found.measures.outcome,
        found.comparison.plans[found.comparison.reference].outcome,
        found.grid.plan(found.grid.as_written).outcome,
    ):
        assert (outcome.p80, outcome.chance) == (eighty, chance)
    for one in (*found.comparison.plans[1:], *found.measures.rows):
        assert one.outcome.p80.value == pytest.approx(eighty.value + one.against.p80.value)


def test_what_to_order_is_the_take_off():
    found = findings()
    quantities = take_off(found.forecast.scenario)
    text = said(part_of(briefed(), "What to order?"))
    assert text.startswith(to_order_in_words(quantities))
    assert planned_in_words(quantities) in text
    rows = tables_of(part_of(briefed(), "Quantities")).popitem()[1].rows
    assert rows[-1][0] == "field"
    assert rows[-1][3] == wording.number(quantities.total("rows"))


@pytest.mark.parametrize("text", [SHORT, MANY_MILESTONES])
def test_one_and_forty_milestones_each_have_a_line(text):
    milestones = findings(text).forecast.milestones
    tables = tables_of(part_of(briefed(text), "When is it ready?"))
    if len(milestones) == 1:
        assert len(tables) == 1
    else:
        assert len(milestones) == 40
        others = [row[0] for row in tables["Other milestones, days from the start"].rows]
        assert others == [milestone.name for milestone in milestones if not milestone.ready]


def test_the_cautions_the_method_and_what_repeats_the_run_are_there():
    brief, run = briefed(), findings().forecast.study.manifest
    assert part_of(brief, "Before anything is decided by this").blocks[0].items == CAUTIONS
    terms = dict(part_of(brief, "The study").blocks[0].rows)
    assert terms["do it again"].startswith(f"keystrip repeat reports/short/{run.number} ")
    assert run.identity.program in terms["program"]
    assert terms["scenario SHA-256"] == run.identity.scenario
    assert part_of(brief, "What was read").blocks[0].text == SHORT


def test_names_stand_as_they_are_written():
    brief = briefed(EVIL_STRIP)
    assert brief.title == EVIL
    assert tables_of(part_of(brief, "Quantities")).popitem()[1].rows[0][0] == EVIL


def test_what_was_left_out_is_said():
    brief = briefed()
    assert "plans" not in [page.key for page in brief.pages]
    assert "left out" in said(part_of(brief, "What would help most?"))
    assert all(math.isfinite(one) for one in findings().forecast.runs["milestone.operational readiness"])
