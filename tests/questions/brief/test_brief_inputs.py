"""The assumptions of a brief: every key of a scenario, with what was written, or the default and where it comes from."""

import re

import pytest
from briefed import SHORT

from simulation.questions.brief.inputs import (
    CHOICE,
    NO_SOURCE,
    PLANNING,
    UNSET,
    WRITTEN,
    inputs_block,
    inputs_of,
    origin_of,
    put_together,
)
from simulation.scenario import Change, load_scenario, parse_scenario, shipped, vary
from simulation.scenario.types.section import Section

NAMES = ("first_look", "relief_strip")


def by_key(scenario):
    return {one.key: one for one in inputs_of(scenario)}


@pytest.mark.parametrize("name", NAMES)
def test_every_key_that_a_planner_wrote_is_from_the_scenario_as_it_stands(name):
    text = shipped(name).read_text(encoding="utf-8")
    found = by_key(load_scenario(shipped(name)))
    assert found["horizon"].origin == WRITTEN
    for key, value in re.findall(r'^(title|horizon) = "([^"]*)"', text, re.MULTILINE):
        assert (found[key].value, found[key].origin) == (value, WRITTEN)


def test_values_spreads_and_origins_of_the_shipped_scenario():
    found = by_key(load_scenario())
    place = found["laying.place"]
    assert (place.value, place.origin) == ("30 s to 60 s", WRITTEN)
    assert place.spread == "P10 to P90 (lognormal); scatter 30 %; shared by crews"
    assert found["laying.efficiency"].value == "0.1 to 0.8, most likely 0.38"
    assert (found["laying.openers"].value, found["laying.openers"].origin) == ("2", PLANNING)
    assert "UFC 3-270-07" in found["mat.pallet_full"].origin
    assert found["area.runway.start"].value == "centre-out"
    assert found["laying.open_pallet"].spread == "none"
    assert found["forklifts.count"].spread == ""


@pytest.mark.parametrize("name", NAMES)
def test_every_default_amount_says_where_it_comes_from_and_every_key_what_it_means(name):
    found = inputs_of(load_scenario(shipped(name)))
    assert len(found) > 100
    assert [one.key for one in found if one.origin == NO_SOURCE] == []
    assert [one.key for one in found if one.default and not one.meaning] == []
    assert {one.origin for one in found if one.origin in (CHOICE, UNSET)} == {CHOICE, UNSET}


def test_no_field_of_any_section_in_use_is_left_out():
    scenario = load_scenario()
    keys = [one.key for one in inputs_of(scenario)]
    assert len(keys) == len(set(keys))

    def count(section):
        total = 0
        for name in type(section).model_fields:
            value = getattr(section, name)
            blocks = value if isinstance(value, tuple) and value and isinstance(value[0], Section) else (value,)
            total += sum(count(one) if isinstance(one, Section) else name != "name" for one in blocks)
        return total

    assert len(keys) == count(scenario)


def test_a_section_that_nobody_wrote_says_what_holds_instead():
    dry = SHORT.split("[weather]")[0]
    model = by_key(parse_scenario(dry))["weather.model"]
    assert (model.value, model.origin) == ("none", "default: none, dry throughout")


def test_a_changed_key_says_so():
    changed = vary(parse_scenario(SHORT), [Change("forklifts.count", "+1"), Change("crew.*.people", "20")])
    found = by_key(changed)
    assert found["forklifts.count"].origin == "changed for this study: forklifts.count=+1"
    assert found["crew.red.people"].origin == "changed for this study: crew.*.people=20"
    assert found["crew.red.people"].value == "20"
    assert found["forklifts.count"].value == "4"


def test_the_origin_is_what_the_text_says_of_it():
    assert origin_of("Picking one up. Planning value.") == PLANNING
    assert origin_of("Where it is. Default: the low end (planning value).") == "default: the low end (planning value)"
    assert origin_of("Whether it is so.", CHOICE) == CHOICE
    assert origin_of("An amount.") == NO_SOURCE
    assert origin_of("Mats (AMS glossary) are counted. Default: none.") == "default: none"


def test_defaults_that_are_alike_in_all_blocks_are_told_once():
    inputs = inputs_of(load_scenario())
    together = put_together(inputs)
    keys = [one.key for one in together]
    assert "area.*.from" in keys
    assert "area.runway.from" not in keys
    assert "area.runway.width" in keys  # written
    assert "area.taxiway.end_ramps" in keys  # the runway's is another
    assert len(together) < len(inputs)


def test_paper_holds_every_input_too():
    block = inputs_block(load_scenario())
    running = " ".join(text for _, text in block.groups)
    for row in block.table.rows:
        assert row[0] in running, row[0]


def test_the_text_over_a_section_that_is_written_is_no_origin_of_its_keys():
    assert by_key(parse_scenario(SHORT))["weather.model"].origin == CHOICE
