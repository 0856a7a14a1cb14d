"""A scenario in which every key differs from its default: nothing that a planner may write is left out of it."""

from typing import get_args

import pytest
from every_key_scenario import ENDINGS, every_key
from pydantic import TypeAdapter

from simulation.scenario import load_scenario, vary
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.change import Change
from simulation.scenario.types.section import Section
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain


def section_in(annotation):
    """The table that a key holds, or several of it."""
    if isinstance(annotation, type) and issubclass(annotation, Section):
        return annotation
    return next((found for part in get_args(annotation) if (found := section_in(part))), None)


def inner(values):
    """The tables among values of one key, those in lists one by one."""
    for value in values:
        yield from (one for one in (value if isinstance(value, tuple) else (value,)) if isinstance(one, Section))


def alike(model, tables, path=""):
    """Yield the address of every key that is missing from all of some tables, or as its default in all of them."""
    tables = list(tables)
    for name, field in model.model_fields.items():
        here = f"{path}{field.alias or name}"
        values = [getattr(table, name) for table in tables]
        if section := section_in(field.annotation):
            yield from alike(section, inner(values), f"{here}.")
        elif field.is_required():
            yield from () if values else [here]
        else:
            default = field.get_default(call_default_factory=True)
            default = None if default is None else TypeAdapter(field.rebuild_annotation()).validate_python(default)
            if all(value == default for value in values):
                yield here


def addresses(model, path=""):
    """Yield the address of every key there is."""
    for name, field in model.model_fields.items():
        here = f"{path}{field.alias or name}"
        section = section_in(field.annotation)
        yield from addresses(section, f"{here}.") if section else [here]


def test_no_key_is_missing_or_as_its_default():
    assert list(alike(Scenario, map(every_key, ENDINGS))) == []


def test_a_key_that_is_missing_or_as_its_default_is_found():
    everything = set(addresses(Scenario))
    assert {"crew.shift.fatigue", "supply.trucks.return", "weather.records.only", "book.grader.passes.speed"} <= everything
    assert len(everything) > 300
    scenario = every_key()
    missing = set(alike(Scenario, [scenario]))
    assert {"supply.rail.load", "weather.step", "weather.climate.wet_days", "weather.states.wet"} <= missing
    assert "crew.shift.fatigue" not in missing
    for change in (
        Change("crew.night.shift.fatigue", "0.0"),
        Change("book.grader.blade", "9 ft"),
        Change("cold.stops", '["laying", "grading"]'),
    ):
        found = set(alike(Scenario, [vary(scenario, [change])])) - missing
        assert found == {change.address.replace(".night", "")}
    assert len(set(alike(Scenario, [load_scenario()]))) > 150


def quantities(section):
    for name, value in section:
        del name
        if isinstance(value, Uncertain):
            yield value
        for one in inner([value]):
            yield from quantities(one)


def test_every_form_of_an_uncertain_quantity_is_there():
    found = list(quantities(every_key()))
    assert {type(one.level) for one in found} == {Constant, Pert, Lognormal, Records}
    assert {one.scatter for one in found if isinstance(one.scatter, str)} == {"exponential", "erlang-2"}
    assert {(one.shared_by, one.correlation) for one in found} >= {("hands", 0.7), ("hands", 0.5), ("joints", 1.0), (None, 1.0)}


def test_every_choice_of_a_crew_without_a_edge_is_there():
    assert [crew.second_crew for crew in every_key().crew] == ["elsewhere", "relief", "merge"]


@pytest.mark.parametrize("ending", sorted(ENDINGS.keys() - {"taken_up"}))
def test_its_weather_is_the_one_that_its_ending_names(ending):
    model = every_key(ending).weather.model
    assert model == ending.replace("_", "-")
