"""What early opening costs, and which start opens which length first, on a field whose answer is known beforehand."""

import re
from dataclasses import replace

import pytest
from scenarios import RUNWAY, USED_EARLY, changed, make_scenario, written
from words_on_pictures import assert_readable, drawn, text_of

from simulation import RunContext, forecast, opening
from simulation.present.answer import Figure
from simulation.present.words.change_format import HOURS
from simulation.questions.forecast.file_names import FURTHER, S_CURVE
from simulation.questions.forecast.sentences import answer_lines
from simulation.questions.opening.answer import OPENING_STRIPS, opening_answer
from simulation.questions.opening.asked import read_lengths, read_windows
from simulation.questions.opening.picture import conclude_opening, draw_opening
from simulation.questions.opening.sentences import price_words
from simulation.scenario import ScenarioError
from simulation.stats.paired_difference import Difference, difference_of_quantiles

CREWS = [{"name": name, "people": 14, "areas": ["runway"]} for name in ("red", "blue")]
FIELD = written(changed(USED_EARLY, area=[{**RUNWAY, "start": "centre-out"}], crew=CREWS))
#: As few as measure a difference.
FEW = RunContext(runs=20, workers=1)


@pytest.fixture(scope="module")
def asked():
    return opening(make_scenario(FIELD), FEW, "80,160", "07:00-10:00")


def test_every_length_is_tried_from_both_starts_with_windows_and_without(asked):
    ways = [(row.opening.start, row.opening.length, row.opening.windows) for row in asked.rows]
    flown = ("07:00-10:00",)
    assert ways == [(start, length, one) for start in ("centre-out", "one-end") for length in (80, 160) for one in ((), flown)]
    assert all(len(row.first) == len(row.whole) == 20 for row in asked.rows)


def test_opening_alone_costs_nothing_to_the_bit_and_windows_never_bring_the_whole_forward(asked):
    for start in asked.starts:
        plain = [asked.row(start, length, False) for length in asked.lengths]
        assert plain[0].whole == plain[1].whole
        for length in asked.lengths:
            flown, unflown = asked.row(start, length, True), asked.row(start, length, False)
            assert flown.first == unflown.first
            assert all(later >= sooner - 1e-9 for later, sooner in zip(flown.whole, unflown.whole, strict=True))
            assert flown.price.value >= 0


def test_a_longer_length_is_usable_no_sooner_and_the_earlier_opening_costs_more(asked):
    for start in asked.starts:
        short, long = (asked.row(start, length, True) for length in asked.lengths)
        assert all(first <= later for first, later in zip(short.first, long.first, strict=True))
        assert short.price.value >= long.price.value


def test_two_crews_from_the_centre_open_a_length_before_two_crews_at_one_end(asked):
    centre, end = (asked.row(start, 160, False) for start in ("centre-out", "one-end"))
    assert sum(centre.first) < sum(end.first)
    first = next(line for line in opening_answer(asked).lines if "160 ft: centre-out opens it first" in line)
    assert re.search(r"first, by [\d.]+ (hours|days) at P80 \(95 % interval [<\d.]+ to [\d.]+\)", first)


def test_windows_outside_the_shifts_change_no_run():
    found = opening(make_scenario(FIELD), FEW, windows="20:00-04:00")
    assert all(row.identical and row.price.value == 0 for row in found.rows if row.opening.windows)
    assert "flying costs the whole nothing, every run is done at the same hour" in opening_answer(found).headline


def test_without_windows_the_answer_says_that_opening_costs_nothing():
    answer = opening_answer(opening(make_scenario(FIELD), RunContext(runs=3, workers=1)))
    assert answer.headline.endswith("without flying windows that costs the whole nothing.")


def test_lengths_are_read_in_the_units_of_the_scenario():
    scenario = make_scenario(FIELD)
    assert read_lengths("160, 80", scenario) == (80.0, 160.0)
    assert read_lengths("30 m", scenario) == (pytest.approx(98.425, abs=0.001),)
    metric = make_scenario(f'units = "metric"\n{FIELD}')
    assert read_lengths("30", metric) == (pytest.approx(98.425, abs=0.001),)


@pytest.mark.parametrize(
    ("read", "text", "said"),
    [
        (read_lengths, "300", 'lengths: 300 ft of runway can never be usable; write lengths up to "240 ft"'),
        (read_lengths, "long", 'lengths: "long" is not a length; write --lengths 2000,2600 or --lengths 600m,800m'),
        (read_windows, "7-9", 'windows: "7-9" is neither a span of hours nor a time; write --windows 06:00-10:00,16:30'),
        (read_windows, "", 'windows: "" is neither a span of hours nor a time; write --windows 06:00-10:00,16:30'),
        (read_windows, "07:00-09:00,", 'windows: "" is neither a span of hours nor a time; write --windows 06:00-10:00,16:30'),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_line(read, text, said):
    with pytest.raises(ScenarioError) as error:
        read(text, make_scenario(FIELD))
    assert str(error.value) == said


def test_a_scenario_without_a_usable_length_is_refused():
    with pytest.raises(ScenarioError, match="no milestone asks for a usable length"):
        opening(make_scenario(FIELD, milestone=None), FEW)


def test_the_price_told_is_the_paired_difference_of_two_forecasts(asked):
    def whole(**flying):
        found = forecast(make_scenario(FIELD, flying=flying), FEW)  # its milestone asks for 80 ft
        return tuple(found.runs["milestone.whole"])

    plain, flown = whole(**{"from": "first use"}), whole(**{"from": "first use", "windows": ["07:00-10:00"]})
    price = difference_of_quantiles(plain, flown, 0.8)
    assert asked.row("centre-out", 80.0, True).price == price
    assert price.value > 0.0


def test_from_fewer_than_20_runs_no_price_has_an_interval_and_none_is_told_as_measured(asked):
    fewer = opening(make_scenario(FIELD), RunContext(runs=19, workers=1), "80", "07:00-10:00")
    row = fewer.row("centre-out", 80.0, True)
    assert (row.price.value > 0.0, row.price.low, row.price.high, row.price.measurable) == (True, None, None, False)
    assert "fewer than 20 runs do not say what flying costs the whole" in opening_answer(fewer).headline
    assert all("opens it first, by" not in line for line in opening_answer(fewer).lines)
    assert asked.row("centre-out", 80.0, True).price.low is not None


TASK = """
[[task]]
name = "lights"
after = [{ area = "runway", to = "80 ft" }]
gang = "from crew red"
people = 4
team = 2
pieces = 4
each = "15 min"
"""


def test_no_picture_of_an_opening_bears_the_name_of_one_of_a_forecast_in_the_same_folder():
    answer = opening_answer(opening(make_scenario(FIELD + TASK), RunContext(runs=2, workers=1)))
    names = [block.name for part in answer.parts for block in part.blocks if isinstance(block, Figure)]
    assert names == ["opening", OPENING_STRIPS]
    assert not {*names} & {S_CURVE, *FURTHER}


def test_the_picture_has_its_whole_title_an_axis_for_every_length_and_a_legend_for_its_bands(asked):
    figure = drawn(draw_opening, asked)
    assert_readable(figure)
    said = text_of(figure)
    assert conclude_opening(asked) in said
    assert "…" not in said
    assert "until that length is first usable" in said
    assert "until first use" not in said
    assert all(f"{start}, P10 to P90" in said for start in asked.starts)


def test_of_a_single_length_the_spreads_of_the_starts_stand_apart_and_no_band_is_named_that_is_not_drawn(asked):
    short = replace(asked, rows=tuple(row for row in asked.rows if row.opening.length == 80.0))
    figure = drawn(draw_opening, short)
    assert_readable(figure)
    (axes,) = figure.axes
    heights = {line.get_ydata()[0] for line in axes.get_lines() if line.get_marker() in ("o", "s")}
    assert len(heights) == 2
    assert [text.get_text() for text in axes.get_legend().get_texts()] == [
        "centre-out, P50,\nP10 to P90",
        "one-end, P50,\nP10 to P90",
    ]


END = {"make": "50 min", "take_up": "25 min"}


def test_with_temporary_ends_the_price_is_that_of_two_forecasts_one_with_them_and_one_without():
    """Without windows the ends alone have a price, and first use comes later by making them."""
    for windows in ("07:00-10:00", None):
        asked = opening(make_scenario(FIELD, temporary_end=END), FEW, windows=windows)
        used, plain = asked.row("centre-out", 80, True), asked.row("centre-out", 80, False)
        flying = {"from": "first use", **({"windows": [windows]} if windows else {})}
        with_ends = forecast(make_scenario(FIELD, flying=flying, temporary_end=END), FEW).runs
        without = forecast(make_scenario(FIELD), FEW).runs
        assert used.whole == tuple(with_ends["milestone.whole"]) and plain.whole == tuple(without["milestone.whole"])
        assert used.price == difference_of_quantiles(plain.whole, used.whole, 0.8)
        assert all(0.8 < later - sooner < 24.0 for later, sooner in zip(used.first, plain.first, strict=True))
        answer = opening_answer(asked)
        use = "flying with temporary ends" if windows else "making temporary ends"
        assert use in answer.headline and any("made" in line and "in the mean" in line for line in answer.lines)
        ways = {way["start"]: way for way in answer.record["ways"] if "temporary_ends" in way}
        assert ways["centre-out"]["temporary_ends"]["made_mean"] == sum(with_ends["temporary ends.made"]) / FEW.runs


@pytest.mark.parametrize("weather", [{"wet_spell": "6 h", "dry_spell": "20 h"}, {"model": "none"}])
def test_a_forecast_tells_late_temporary_ends_by_the_share_of_runs_that_opening_tells(weather):
    field = make_scenario(FIELD, flying={"from": "first use", "windows": ["07:00-10:00"]}, temporary_end=END, weather=weather)
    said = [line for line in answer_lines(forecast(field, FEW)) if "flying window begins" in line]
    asked = opening(field, FEW)
    late = sum(count > 0 for count in asked.row("centre-out", 80, True).late) / FEW.runs
    share = f"{100 * late:.1f} %"
    assert said == ([f"In {share} of runs a flying window begins before the temporary end stands."] if late else [])
    assert (late > 0) == ("wet_spell" in weather)
    assert any(f"in {share} of the runs one is held up" in line for line in opening_answer(asked).lines) == (late > 0)


GEAR = """
[[task]]
name = "gear"
people = 2
team = 2
pieces = 1
each = "EACH"
"""


@pytest.mark.parametrize(("each", "held"), [("40 h", True), ("10 min", False)])
def test_a_length_that_lies_before_the_task_that_it_is_used_with_is_said_to_wait_for_that_task(each, held):
    field = FIELD.replace('length = "80 ft" }', 'length = "80 ft", with = ["gear"] }') + GEAR.replace("EACH", each)
    result = opening(make_scenario(field), RunContext(runs=4, workers=1), "80,120")
    said = "Centre-out and one-end: gear is done only after 80 ft and 120 ft lie in all runs: "
    assert [row.held for row in result.rows] == [("gear", float(held))] * len(result.rows)
    assert any(line.startswith(said) for line in opening_answer(result).lines) == held


def test_a_price_that_is_not_settled_says_how_much_it_may_be_and_never_nothing_alone(asked):
    row = replace(asked.row("centre-out", 80.0, True), identical=False, price=Difference(41.0, 0.0, 50.0))
    assert price_words(row, HOURS) == (
        "flying costs the whole between nothing and 50.0 hours at P80 (95 % interval; more runs would tell)"
    )
