import re

import pytest
from pydantic_core import PydanticUndefined
from scenarios import sound

from simulation.scenario import parse_scenario
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.section import Section
from simulation.scenario.types.uncertainty.uncertain import Uncertain
from simulation.study.people import count_people

ORIGIN = re.compile(
    r"planning value|common practice|NAVEDTRA|UFC|service news|official service history|the method's|default:", re.IGNORECASE
)


def sections(model=Section):
    for inner in model.__subclasses__():
        yield inner
        yield from sections(inner)


FIELDS = [(model, name, field) for model in sections() for name, field in model.model_fields.items()]
WITH_DEFAULT = [one for one in FIELDS if not one[2].is_required()]


def is_amount(field):
    """Whether a default is a number or a quantity, rather than a choice, a list or a table of its own."""
    default = field.default
    if isinstance(default, bool) or default in (None, PydanticUndefined, ()):
        return False
    return "Literal" not in str(field.annotation)


@pytest.mark.parametrize(("model", "name", "field"), WITH_DEFAULT, ids=[f"{one[0].__name__}.{one[1]}" for one in WITH_DEFAULT])
def test_every_default_says_what_it_means_and_an_amount_says_where_it_comes_from(model, name, field):
    meaning = model.meanings().get(name)
    assert meaning, f"{model.__name__}.{name} says nothing"
    assert not is_amount(field) or ORIGIN.search(meaning), meaning


def test_the_check_of_origins_sees_the_amounts():
    amounts = {f"{model.__name__}.{name}" for model, name, field in WITH_DEFAULT if is_amount(field)}
    assert {"Mat.mass", "Laying.place", "Forklifts.count", "Supply.spares", "Shift.hours", "Weather.step"} <= amounts
    assert len(amounts) > 45
    assert not ORIGIN.search("Picking one pallet up, or setting it down.")


def test_nothing_but_areas_crews_and_supply_has_to_be_written():
    assert {name for name, field in Scenario.model_fields.items() if field.is_required()} == {"area", "crew", "supply"}
    scenario = parse_scenario(sound())
    assert scenario.grading.done == 1.0
    assert scenario.weather.model == "none"
    assert scenario.site is None


def test_a_default_is_read_as_if_it_stood_in_the_scenario():
    scenario = parse_scenario(sound())
    assert scenario.mat.mass == 155.0
    assert scenario.horizon == 2880.0
    assert isinstance(scenario.laying.place, Uncertain)
    assert scenario.shifts.all.hours == ((6.0, 12.0), (13.0, 18.0))


def test_the_default_bundle_covers_288_square_feet():
    """UFC 3-270-07 (2002) 2-4.2.8.3 (read in the source's text): 11 full and 2 half mats."""
    mat = parse_scenario(sound()).mat
    assert (mat.pallet_full * mat.full + mat.pallet_half * mat.half) * mat.row_depth == 288.0


def test_a_scenario_cannot_be_changed_once_it_is_read():
    scenario = parse_scenario(sound())
    with pytest.raises(ValueError):
        scenario.crew[0].people = 30


def test_people_on_site_include_operators_drivers_and_gangs():
    truck = '[[supply.trucks]]\ncount = 6\nhaul = "1 h"\nreturn = "1 h"\n'
    assert count_people(parse_scenario(sound())).total == 18 + 3
    assert count_people(parse_scenario(sound(truck, "[grading]\ndone = 0.5\ngangs = 2\npeople = 5"))).total == 18 + 3 + 6 + 10
