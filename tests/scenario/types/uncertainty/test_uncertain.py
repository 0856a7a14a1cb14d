import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import line, lines, sound

from simulation.scenario import parse_scenario
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert
from simulation.scenario.types.uncertainty.uncertain import Uncertain


def place(toml):
    return parse_scenario(sound(f"[laying]\nplace = {toml}")).laying.place


def said(toml, key="place"):
    return line(sound(f"[laying]\n{key} = {toml}"))


def test_a_plain_text_is_a_level_that_is_known():
    assert place('"90 s"') == Uncertain(Constant(0.025))
    assert place('"90 s"').certain


def test_a_mean_with_a_scatter_is_a_known_level_and_the_luck_of_the_moment():
    assert place('{ mean = "36 s", scatter = 0.3 }') == Uncertain(Constant(0.01), 0.3)
    assert not place('{ mean = "36 s", scatter = 0.3 }').certain


def test_two_quantiles_are_a_lognormal_level():
    assert place('{ p10 = "36 s", p90 = "72 s" }').level == Lognormal(0.01, 0.02)


def test_three_values_are_a_level_between_two_ends():
    assert place('{ low = "36 s", mode = "54 s", high = "72 s" }').level == Pert(0.01, 0.015, 0.02)


def test_a_range_of_no_width_is_a_known_level():
    assert place('{ p10 = "36 s", p90 = "36 s" }').level == Constant(0.01)
    assert place('{ low = "36 s", mode = "36 s", high = "36 s" }').level == Constant(0.01)


def test_a_bare_shared_name_moves_fully_together_and_a_correlation_in_part():
    assert place('{ mean = "1 min", shared_by = "crews" }').correlation == 1.0
    part = place('{ mean = "1 min", shared_by = { name = "crews", correlation = 0.25 } }')
    assert (part.shared_by, part.correlation) == ("crews", 0.25)


@given(st.floats(1, 1000), st.floats(1, 1000))
def test_two_quantiles_are_accepted_exactly_when_they_rise(p10, p90):
    text = sound(f'[laying]\nplace = {{ p10 = "{p10!r} s", p90 = "{p90!r} s" }}')
    assert (lines(text) == []) == (round(p10 / 3600, 12) <= round(p90 / 3600, 12))


@pytest.mark.parametrize("scatter", ['"exponential"', '"erlang-2"', "0", "0.3", "3"])
def test_a_scatter_is_a_coefficient_of_variation_or_a_name(scatter):
    assert lines(sound(f'[laying]\nplace = {{ mean = "1 min", scatter = {scatter} }}')) == []


@pytest.mark.parametrize("scatter", ['"gauss"', '"0.3"', "-0.1", "3.1", "nan", "inf", "true", "[0.3]"])
def test_any_other_scatter_is_refused_under_its_own_key(scatter):
    assert said(f'{{ mean = "1 min", scatter = {scatter} }}').startswith("laying.place.scatter: ")


@pytest.mark.parametrize(
    ("table", "complaint"),
    [
        ('"-1 min"', 'laying.place: "-1 min" is below zero; write 0 or more'),
        ("60", "laying.place: 60 has no unit; "),
        ("true", "laying.place: true is not a duration; "),
        ('["1 min", "2 min"]', "laying.place: a list is not a duration; "),
        ('"72 ft"', 'laying.place: "72 ft" is not a duration; '),
        ('"nan s"', 'laying.place: "nan s" is not a duration; '),
        ("{}", "laying.place: the level is given by nothing; give mean; or low, mode and high; or p10 and p90; or data"),
        ('{ p10 = "1 min" }', "laying.place: the level is given by p10; give mean"),
        ('{ mean = "1 min", p90 = "2 min" }', "laying.place: the level is given by mean, p90; give mean"),
        ('{ mean = "1 ft" }', 'laying.place.mean: "1 ft" is not a duration'),
        ('{ low = "1 min", mode = "-2 min", high = "3 min" }', 'laying.place.mode: "-2 min" is below zero'),
        ('{ low = "1 min", mode = "5 min", high = "3 min" }', "laying.place.mode: low, mode and high are not in rising"),
        ('{ p10 = "2 min", p90 = "1 min" }', "laying.place.p90: p10 and p90 are not positive and in rising order"),
        ('{ p10 = "0 min", p90 = "1 min" }', "laying.place.p90: p10 and p90 are not positive and in rising order"),
        ('{ p10 = "1 s", p90 = "1 h" }', "laying.place.p90: p90 is more than 1,000 times p10; write a narrower range"),
        ('{ mean = "1 min", scater = 0.3 }', "laying.place.scater: unknown key; did you mean scatter?"),
        ('{ mean = "1 min", unit = "min" }', "laying.place.unit: belongs to records, and there are none; leave it out"),
        ('{ mean = "1 min", shared_by = 3 }', "laying.place.shared_by: 3 does not say what is shared"),
        ('{ mean = "1 min", shared_by = "" }', 'laying.place.shared_by: "" does not say what is shared'),
        ('{ mean = "1 min", shared_by = { name = "a" } }', "laying.place.shared_by: a table does not say what is shared"),
        (
            '{ mean = "1 min", shared_by = { name = "a", correlation = true } }',
            "laying.place.shared_by: a table does not say what is shared",
        ),
        (
            '{ mean = "1 min", shared_by = { name = "a", correlation = 1.1 } }',
            "laying.place.shared_by: a table does not say what is shared",
        ),
    ],
)
def test_a_mistake_in_an_uncertain_quantity_is_said_under_its_own_key(table, complaint):
    assert said(table).startswith(complaint)


def test_every_mistake_in_one_table_is_said():
    toml = '{ p10 = "1 kg", p90 = 5, scatter = "wide", shared_by = 1, colour = 1 }'
    keys = [one.split(":")[0] for one in lines(sound(f"[laying]\nplace = {toml}"))]
    assert sorted(keys) == [f"laying.place.{key}" for key in ("colour", "p10", "p90", "scatter", "shared_by")]


def test_a_share_is_written_as_plain_numbers():
    assert lines(sound("[laying]\nefficiency = { low = 0.4, mode = 0.5, high = 0.6 }")) == []
    assert said('"0.5"', "efficiency").startswith('laying.efficiency: "0.5" is not a plain number; write a number such')
