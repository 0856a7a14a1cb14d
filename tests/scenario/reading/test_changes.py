"""Does a change by address reach what it names, and nothing else, and say where an address leads nowhere?"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import SHORT, make_scenario, sound

from simulation.replicate import Store, do_runs
from simulation.replicate.repeating import repeat
from simulation.scenario import Change, ScenarioError, load_scenario, parse_scenario, read_team, read_variation, vary
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Records


def changed(scenario, *texts):
    return vary(scenario, [read_variation(text)[0] for text in texts])


@pytest.fixture(scope="module")
def relief():
    return load_scenario()


def test_a_key_of_a_table_of_a_named_block_and_of_a_numbered_one_is_changed(relief):
    assert changed(relief, "forklifts.count=5").forklifts.count == 5
    assert [crew.people for crew in changed(relief, "crew.A.people=26").crew] == [26, 20]
    assert [crew.people for crew in changed(relief, "crew.2.people=26").crew] == [20, 26]
    assert changed(relief, "supply.trucks.1.count=9").supply.trucks[0].count == 9
    assert changed(relief, "area.runway.start=one-end").area[0].start == "one-end"


def test_a_star_stands_for_every_block(relief):
    assert [crew.people for crew in changed(relief, "crew.*.people=30").crew] == [30, 30]


def test_nothing_else_is_changed_and_the_scenario_itself_stays_as_it_was(relief):
    before = relief.model_dump()
    other = changed(relief, "forklifts.count=5").model_dump()
    other["forklifts"]["count"] = before["forklifts"]["count"]
    assert other == before == relief.model_dump()


def test_changes_add_up(relief):
    twice = changed(changed(relief, "forklifts.count=+1", "crew.A.people=24"), "forklifts.count=+1")
    assert (twice.forklifts.count, twice.crew[0].people) == (relief.forklifts.count + 2, 24)


def test_a_whole_number_is_added_to_and_a_time_is_multiplied(relief):
    assert [crew.people for crew in changed(relief, "crew.*.people=-4").crew] == [16, 16]
    level = changed(relief, "laying.place=x0.5").laying.place.level
    assert isinstance(level, Lognormal)
    assert level == Lognormal(relief.laying.place.level.p10 * 0.5, relief.laying.place.level.p90 * 0.5)
    assert changed(relief, "laying.place=x1").laying.place == relief.laying.place
    assert changed(relief, "horizon=x0.5").horizon == relief.horizon / 2


def test_a_key_whose_name_python_keeps_for_itself_is_reached(relief):
    way_back = changed(relief, "supply.trucks.1.return=x2").supply.trucks[0]
    assert way_back.back.level.p90 == relief.supply.trucks[0].back.level.p90 * 2
    assert changed(relief, "supply.trucks.1.return=2 h").supply.trucks[0].back.level == Constant(2.0)


def test_a_table_that_is_not_written_is_made():
    bare = parse_scenario(sound(""))
    assert changed(bare, "forklifts.count=4").forklifts.count == 4
    place = changed(bare, "laying.place={ p10 = '30 s', p90 = '60 s' }").laying.place
    assert place.level == Lognormal(0.008333333333, 0.016666666667)


def test_records_are_multiplied_and_are_read_once_more_from_what_was_kept(tmp_path):
    (tmp_path / "places.csv").write_text("s\n36\n72\n")
    scenario = parse_scenario(sound('[laying]\nplace = { data = "places.csv", unit = "s" }'), folder=tmp_path)
    (tmp_path / "places.csv").unlink()
    assert changed(scenario, "laying.place=x2").laying.place.level == Records((0.02, 0.04), "places.csv")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("crew.rad.people=20", "use one of: *, A, B"),
        ("crew.3.people=20", 'there is no "3"'),
        ("forklifts.cuont=2", "did you mean count?"),
        ("forklift.count=2", "did you mean forklifts?"),
        ("forklift.count=+1", "unknown key; did you mean forklifts?"),
        ("grading.gang=x2", "unknown key; did you mean gangs?"),
        ("laying.place=3 ft", "is not a duration"),
        ("forklifts.count=many", "forklifts.count"),
        ("forklifts.count=x2", "cannot be multiplied"),
        ("laying.place=x0", "leaves nothing"),
        ("laying.efficiency=x5", "laying.efficiency"),
        ("title=+1", "no whole number"),
        ("title.x=2", "has no keys"),
        ("crew..people=2", "is not an address"),
        ("crew.A.people=-100", "out of range"),
    ],
)
def test_an_address_or_value_that_cannot_be_is_named_with_what_would_be_right(relief, text, said):
    with pytest.raises(ScenarioError) as refused:
        changed(relief, text)
    assert said in str(refused.value)


@pytest.mark.parametrize("text", ["", "=2", "forklifts.count", "forklifts.count=", "forklifts.count=2,,3", "a=2,"])
def test_what_names_no_key_or_no_value_is_refused(text):
    with pytest.raises(ScenarioError, match="write KEY="):
        read_variation(text)


def test_commas_in_quotes_and_brackets_part_nothing():
    values = [change.text for change in read_variation("k={ p10 = '1 s', p90 = '2 s' },[1, 2],\"a,b\",x2,-3,one-end")]
    assert values == ["{ p10 = '1 s', p90 = '2 s' }", "[1, 2]", '"a,b"', "x2", "-3", "one-end"]


@given(st.lists(st.integers(0, 10**6), min_size=1, max_size=6))
def test_whole_numbers_are_read_as_they_are_written(numbers):
    read = read_variation("a.b=" + ",".join(map(str, numbers)))
    assert [change.value for change in read] == numbers
    assert all(change.added is None and change.factor is None for change in read)


@given(st.text(min_size=1, max_size=12).filter(lambda name: name.isprintable() and name == name.strip()))
def test_a_block_is_reached_under_any_name_in_quotes(name):
    quoted = '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"'
    text = sound("").replace('name = "red"', f"name = {quoted}")
    scenario = parse_scenario(text)
    assert vary(scenario, [Change(f"crew.{quoted}.people", "31")]).crew[0].people == 31


def test_a_team_stands_in_the_place_of_the_crews_one_of_them_after_the_other(relief):
    first, second = relief.crew
    crews = vary(relief, [read_team("3x18").instead(relief)]).crew
    assert [(crew.name, crew.people, crew.areas) for crew in crews] == [
        ("A", 18, first.areas),
        ("B", 18, second.areas),
        ("A 2", 18, first.areas),
    ]
    assert vary(relief, [read_team("2x20").instead(relief)]) == relief
    for wrong in ("3", "0x4", "x3", "2x", "2x-3", "two"):
        with pytest.raises(ScenarioError, match="no team"):
            read_team(wrong)


def test_what_only_the_crews_left_out_lay_the_last_new_one_lays_after_its_own(relief):
    swapped = vary(relief, [Change("crew.A.areas", '["apron", "runway"]'), Change("crew.B.areas", '["runway", "taxiway"]')])
    (only,) = vary(swapped, [read_team("1x30").instead(swapped)]).crew
    assert only.areas == ("apron", "runway", "taxiway")


def test_a_changed_run_is_listed_with_its_changes_and_comes_out_again(tmp_path):
    scenario = changed(load_scenario("configs/first_look.toml"), "forklifts.count=+1", "laying.place=x0.9")
    do_runs(scenario, 3, workers=1, folder=tmp_path)
    with Store(tmp_path, reading=True) as kept:
        assert kept.manifests()[0].changes == (("forklifts.count", "+1"), ("laying.place", "x0.9"))
    found = repeat(tmp_path, workers=1)
    assert found.agrees
    assert found.changed == ()


OWN = [
    Change("crew.B.from", "2 day"),
    Change("crew.B.second_crew", "relief"),
    Change("crew.B.shift", '{ hours = ["19:00-05:00"], lighting = true, night_rate = 0.8, rest_every = 7 }'),
]


def test_new_crews_keep_all_that_the_crews_have_in_whose_place_they_stand(relief):
    own = vary(relief, OWN)
    crews = vary(own, [read_team("4x18").instead(own)]).crew
    for place, crew in enumerate(crews):
        like = own.crew[place % 2]
        assert crew.model_dump() == {**like.model_dump(), "name": crew.name, "people": 18}


def test_a_copy_has_every_key_of_its_block_but_the_name(relief):
    own = vary(relief, [*OWN, Change("crew.B.from", "x1.5"), Change("crew.B.people", "+3")])
    more = vary(own, [Change("crew.B 2", "copy of crew.B")])
    assert more.crew[:2] == own.crew
    assert more.crew[2].model_dump() == {**own.crew[1].model_dump(), "name": "B 2"}
    assert (more.crew[2].people, more.crew[2].since) == (23, 72.0)  # what was changed before is copied, multiplied or added
    two = vary(relief, [Change("supply.trucks.1.from", "x1"), Change("shifts.forklift", "copy of shifts.all")])
    assert two.shifts.forklift == two.shifts.all


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (Change("crew.B", "copy of crew.A"), 'there is a "B" already'),
        (Change("crew.green", "copy of crew.grean"), 'there is no "grean"'),
        (Change("crew.green", "copy of crew.A.people"), "is not one block"),
        (Change("shifts.all", "copy of shifts.laying"), "is there already"),
        (Change("title.more", "copy of crew.A"), "is no place for a block"),
        (Change("area", "crews of 20 + 20"), "crews stand under crew alone"),
    ],
)
def test_a_copy_that_has_no_place_or_no_pattern_is_refused(relief, change, wrong):
    with pytest.raises(ScenarioError, match=wrong):
        vary(relief, [change])


def test_people_of_a_crew_that_is_left_out_come_from_the_last_of_the_new_ones():
    crews = [{"name": name, "people": 16, "areas": ["strip"]} for name in ("red", "blue")]
    scenario = make_scenario(SHORT, crew=crews, task=[{"name": "a", "each": "1 h", "gang": "from crew blue", "people": 3}])
    assert vary(scenario, [Change("crew", "crews of 20")]).task[0].gang == "from crew red"
    assert vary(scenario, [Change("crew", "crews of 20 + 12 + 9")]).task[0].gang == "from crew blue"
