"""A repair either way takes what its parts take, and the way that is quicker changes where their ratio says."""

import math

import pytest
from scenarios import LEAST, make_scenario
from words_on_pictures import assert_readable, drawn, text_of

from simulation.questions.repair.answer import repair_answer
from simulation.questions.repair.picture import draw_repair
from simulation.questions.repair.sentences import hours_kept, repair_lines, switch_words
from simulation.questions.repair.study import middle, repair
from simulation.scenario import ScenarioError, parse_scenario

#: Six teams place the six mats of a row at once, a minute each; nothing else takes time, and nothing is uncertain.
LAID_IN_A_MINUTE = {
    "overhead": 3, "pick_up": "0 s", "place": "1 min", "walk": "1000000 mph", "lock": "0 s", "open_pallet": "0 s",
    "rows_in_work": 12, "efficiency": 1.0, "damaged_mats": 0.0, "key_strip": "10 min",
}  # fmt: skip
MENDED = {
    "get_ready": "0 min", "open_again": "0 min", "cut": "4 min", "lift_out": "3 min", "set_mat": "2 min", "screws": "1 min",
    "draw_out": "20 min", "stuck": 0.0, "take_up": 0.5, "along": 3.0, "reverse": 2.0, "mend": "60 ft**2/h",
}  # fmt: skip


def field(repair=None, **tables):
    return make_scenario(
        {
            "area": [{"name": "strip", "length": "300 ft", "width": "66 ft"}],
            "crew": [{"name": "red", "people": 16, "areas": ["strip"]}],
            "supply": {"on_hand": 120},
            "laying": LAID_IN_A_MINUTE,
            "repair": MENDED | (repair or {}),
            **tables,
        }
    )


def minutes(hours):
    return middle(hours) * 60


def test_opening_costs_the_strip_and_its_rows_up_and_down_and_cutting_costs_each_mat():
    found = repair(field(), "strip 151 ft", mats=1, runs=2).asked
    # Row 75; key strips before rows 55 and 105.
    assert minutes(found.cut_out) == pytest.approx(10, abs=1e-4)
    assert [minutes(way) for way in found.opened] == pytest.approx([30 + 30 * (0.5 + 1), 30 + 21 * (3 * 0.5 + 2)], abs=1e-3)


def test_opening_is_quicker_from_the_number_of_mats_at_which_the_costs_meet():
    asked = repair(field(), "strip 151 ft", mats=3, runs=2)

    def costs(case):
        first = min(mat.row for mat in case.mats)
        return 10 * len(case.mats), 30 + (105 - first) * 1.5

    expected = next(case.size for case in asked.cases if costs(case)[0] > costs(case)[1])
    # Eight mats lie in rows 71 to 78 and cost 80 minutes, opening 81; nine in rows 71 to 79 cost 90.
    assert asked.switch == expected == 9
    for mats, opening in ((8, False), (9, True), (20, True)):
        assert repair(field(), "strip 151 ft", mats=mats, runs=2).asked.opening_wins is opening


def test_with_dearer_strips_it_pays_later_or_never():
    assert repair(field({"draw_out": "60 min"}), "strip 151 ft", runs=2).switch == 13
    never = repair(field({"draw_out": "40 h"}), "strip 151 ft", runs=2)
    assert never.switch is None
    assert never.cases[-1].size >= 100


def test_two_gangs_halve_the_cutting_of_an_even_number_of_mats():
    one, two = (repair(field({"gangs": gangs}), "strip 151 ft", mats=6, runs=2).asked for gangs in (1, 2))
    assert minutes(one.cut_out) == pytest.approx(2 * minutes(two.cut_out))
    assert minutes(repair(field({"gangs": 2}), "strip 151 ft", mats=1, runs=2).asked.cut_out) == pytest.approx(10)


def test_the_ground_of_a_crater_is_mended_either_way_before_mats_are_set():
    found = repair(field(), "strip 151 ft", crater="10 ft", runs=2).asked
    assert found.ground == pytest.approx(78.54, abs=0.01)
    assert minutes(found.cut_out) == pytest.approx(10 * len(found.mats) + 78.54, abs=0.01)
    first = min(mat.row for mat in found.mats)
    assert minutes(found.opened[0]) == pytest.approx(30 + (105 - first) * 1.5 + 78.54, abs=0.01)


def test_begun_in_the_evening_it_goes_on_in_the_morning():
    shifts = {"all": {"hours": ["06:00-18:00"]}}
    scenario = field(shifts=shifts, top={"starts": "2031-04-02T06:00:00", "horizon": "30 day"})
    through = repair(scenario, "strip 151 ft", mats=12, runs=2).asked
    kept = repair(scenario, "strip 151 ft", mats=12, begin="10 d 11 h", runs=2).asked
    assert minutes(through.cut_out) == pytest.approx(120)
    assert minutes(kept.cut_out) == pytest.approx(120 + 12 * 60)


def test_a_crew_with_hours_of_its_own_mends_in_these():
    night = [{"name": "red", "people": 16, "areas": ["strip"], "shift": {"hours": ["18:00-24:00"], "lighting": True}}]
    scenario = field(crew=night, top={"starts": "2031-04-02T06:00:00", "horizon": "30 day"})
    kept = repair(scenario, "strip 151 ft", mats=12, begin="10 d", runs=2).asked
    assert minutes(kept.cut_out) == pytest.approx(12 * 60 + 120)


TWO_CREWS = [
    {"name": "red", "people": 16, "areas": ["strip"], "shift": {"hours": ["06:00-18:00"]}},
    {"name": "owl", "people": 12, "areas": ["strip"], "shift": {"hours": ["18:00-24:00", "00:00-06:00"], "lighting": True}},
]


def test_a_strip_that_closes_at_night_is_begun_by_the_night_crew_and_handed_over():
    scenario = field(crew=TWO_CREWS, top={"starts": "2031-04-02T06:00:00", "horizon": "30 day"})
    by_day, by_night = (repair(scenario, "strip 151 ft", mats=12, begin=begin, runs=2) for begin in ("10 d", "10 d 20 h"))
    assert (by_day.crew.name, by_night.crew.name) == ("red", "owl")
    assert minutes(by_night.asked.cut_out) == pytest.approx(120)
    assert hours_kept(by_night) == "closed Sun 13 Apr 2031 02:00, begun by crew owl, at work then, and mended on shift"
    assert any("Crew owl hands it over at the end of its hours to red" in line for line in repair_lines(by_night))
    assert "12 (crew owl)" in str(repair_answer(by_night).pages[0].parts[1])
    # 05:00 is an hour before the night ends, and the day crew goes on at once; from one that comes later nobody takes it over.
    at_dawn = {"mats": 12, "begin": "10 d 23 h", "runs": 2}
    assert minutes(repair(scenario, "strip 151 ft", **at_dawn).asked.cut_out) == pytest.approx(120)
    later = field(
        crew=[TWO_CREWS[0] | {"from": "20 day"}, TWO_CREWS[1]], top={"starts": "2031-04-02T06:00:00", "horizon": "30 day"}
    )
    assert minutes(repair(later, "strip 151 ft", **at_dawn).asked.cut_out) == pytest.approx(120 + 12 * 60)
    # Fewer people lay each opened row again, and so the strip is closed for longer.
    assert middle(by_night.asked.opened[0]) > middle(by_day.asked.opened[0])


def test_a_season_is_mended_by_the_first_crew_whenever_the_asked_repair_begins():
    scenario = field(
        crew=TWO_CREWS,
        top={"starts": "2031-04-02T06:00:00", "horizon": "30 day"},
        damage={"per_day": 0.5, "stay": "60 day", "touchdown": "100 ft"},
    )
    spent = [repair(scenario, "strip 151 ft", mats=2, begin=begin, runs=3).season.closed for begin in ("10 d", "10 d 20 h")]
    assert spent[0].tolist() == spent[1].tolist()


def test_against_the_direction_of_assembly_the_same_rows_are_open_sooner():
    # Row 80 lies in the middle between the key strips before rows 55 and 105: 25 rows on one side, 26 on the other.
    against, along = repair(parse_scenario(LEAST, "strip.toml"), "strip 161 ft", runs=40).asked.opened
    assert (against < along).mean() > 0.8  # in the others the key strip on that side sticks
    assert middle(against) < 0.9 * middle(along)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"at": "strip"}, "names no station"),
        ({"at": "stirp 100 ft"}, "did you mean strip?"),
        ({"at": "strip 301 ft"}, "write 0 to 300 ft"),
        ({"at": "strip 100 parsec"}, "is no length"),
        ({"at": "strip 100 ft", "across": "67 ft"}, "write 0 to 66 ft"),
        ({"at": "strip 100 ft", "mats": 401}, "write 1 to 400"),
        ({"at": "strip 100 ft", "crater": "20 min"}, "is no length"),
        ({"at": "strip 100 ft", "crater": "900 ft"}, "out of range"),
        ({"at": "strip 100 ft", "crater": "10 ft", "mats": 2}, "the crater alone reaches under"),
        ({"at": "strip 100 ft", "begin": "tomorrow"}, "is not a duration"),
        ({"at": "strip 100 ft", "begin": "400 day"}, "after the last day simulated"),
    ],
)
def test_what_cannot_be_is_refused_with_what_can(options, said):
    with pytest.raises(ScenarioError) as refused:
        repair(field(), runs=2, **options)
    assert said in str(refused.value)


def test_damage_in_an_end_ramp_is_refused():
    ramped = field(area=[{"name": "strip", "length": "300 ft", "width": "66 ft", "end_ramps": True}])
    for options in ({"at": "strip 4 ft"}, {"at": "strip 14 ft", "crater": "12 ft"}):
        with pytest.raises(ScenarioError, match="ramp"):
            repair(ramped, runs=2, **options)


def test_beside_a_key_strip_a_few_mats_are_opened_sooner_and_more_that_reach_beyond_it_are_not():
    # The first key strip stands before row 5, the next one before row 55: what reaches beyond row 4 is opened from there.
    asked = repair(field(), "strip 0 ft", mats=5, runs=2)
    spans = asked.opened_sizes
    assert len(spans) == 2 and spans[-1][0] == asked.switch
    for case in asked.cases:
        beyond = max(mat.row for mat in case.mats) > 4
        costs = 30 + 5 * (0.5 + 1) if not beyond else 40 + 20 + 55 * 1.5
        assert minutes(case.opened[0]) == pytest.approx(costs, abs=1e-3)
        assert case.opening_wins is (10 * len(case.mats) > costs)
        assert case.opening_wins is any(low <= case.size <= high for low, high in spans)
    (low, high), (last, _) = spans
    assert f"quicker here for {low:.0f} to {high:.0f} mats, and from {last:.0f} mats on" in switch_words(asked)


def test_of_a_crater_at_an_edge_only_the_ground_under_the_area_is_mended():
    middle_of_it, at_edge, at_corner = (
        repair(field(), at, crater="20 ft", across=across, runs=1).asked.ground
        for at, across in (("strip 151 ft", None), ("strip 151 ft", "0 ft"), ("strip 0 ft", "66 ft"))
    )
    assert middle_of_it == pytest.approx(100 * math.pi)
    assert at_edge == pytest.approx(50 * math.pi, rel=1e-4)
    assert at_corner == pytest.approx(25 * math.pi, rel=1e-4)


def test_a_crater_larger_than_the_area_leaves_its_own_ground_to_be_mended():
    short = field(area=[{"name": "strip", "length": "40 ft", "width": "36 ft"}])
    found = repair(short, "strip 20 ft", crater="60 ft", runs=1).asked
    assert found.ground == pytest.approx(40 * 36)
    assert len(found.mats) == 70 and found.best is None


def test_between_two_laying_edges_nothing_can_be_opened_and_at_a_ramp_its_own_key_strip_can():
    centre = field(area=[{"name": "strip", "length": "300 ft", "width": "66 ft", "start": "centre-out"}])
    assert repair(centre, "strip 150 ft", mats=8, runs=1).asked.best is None
    ramped = field(area=[{"name": "strip", "length": "300 ft", "width": "66 ft", "end_ramps": True}])
    against, along = repair(ramped, "strip 11 ft", mats=1, runs=1).asked.opened
    assert [minutes(against), minutes(along)] == pytest.approx([30 + 50 * 1.5, 30 + 1 * (3 * 0.5 + 2)], abs=1e-3)


def test_where_lengths_are_metric_craters_are_tried_by_the_half_metre():
    metric = field(area=[{"name": "strip", "length": "90.22 m", "width": "20.12 m"}])
    sizes = [case.size for case in repair(metric, "strip 45 m", crater="3 m", runs=1).cases]
    assert all(abs(size * 0.3048 * 2 - round(size * 0.3048 * 2)) < 1e-6 for size in sizes)


def test_of_a_guide_rail_it_is_said_that_it_is_not_counted():
    railed = field(area=[{"name": "strip", "length": "300 ft", "width": "66 ft", "guide_rail": True}], supply={"on_hand": 200})
    assert any("guide rail is taken to stay" in line for line in repair_lines(repair(railed, "strip 151 ft", runs=1)))


def test_repairs_that_keep_the_shifts_close_the_strip_for_the_nights_between():
    certain = {
        "per_day": 0.5,
        "per_1000_landings": 0.0,
        "mats": 1.0,
        "inspect_every": "0 h",
        "stay": "100 day",
        "touchdown": "50 ft",
    }
    day = {"shifts": {"laying": {"hours": ["06:00-18:00"]}}, "top": {"starts": "2031-04-02T06:00:00", "horizon": "20 day"}}
    slow = {"cut": "4 h", "draw_out": "40 h"}
    any_hour, shifts = (
        repair(field(slow, damage=certain | {"work": work}, **day), "strip 151 ft", runs=20).season
        for work in ("any hour", "shifts")
    )
    assert shifts.by_shifts and not any_hour.by_shifts
    # 4.1 hours of work each. Of repairs found at any hour half wait for the morning, six hours on average; of the others those
    # found in the last 4.1 of twelve hours go on behind a night of twelve.
    each = [season.closed.sum() / season.repairs.sum() for season in (any_hour, shifts)]
    assert each[0] == pytest.approx(4.1, rel=0.06)
    assert each[1] == pytest.approx(4.1 + 0.5 * 6 + 0.5 * 4.1 / 12 * 12, rel=0.1)


def test_the_picture_has_a_legend_for_its_bands_and_says_which_hours_count():
    through, kept = (drawn(draw_repair, repair(field(), "strip 151 ft", mats=2, begin=begin, runs=4)) for begin in (None, "20 h"))
    for figure in (through, kept):
        assert_readable(figure)
        assert all(f"{way}, P10 to P90" in text_of(figure) for way in ("cut out and replaced", "opened at the nearest key strip"))
    assert "worked through whatever the hour" in text_of(through)
    assert "closed Thu 3 Apr 2031 02:00, nobody at work then; begun by crew red, 06:00, and mended on shift" in text_of(kept)
    assert "hours off shift too" in text_of(kept)
    assert "off shift" not in text_of(through)
