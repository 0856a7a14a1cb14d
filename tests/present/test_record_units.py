"""A record names the units of numbers whose keys do not."""

from briefed import findings
from invented_runs import comparison

from simulation.present.record_shapes import ANSWER_UNITS
from simulation.questions.compare.record import compare_record
from simulation.questions.forecast.record import forecast_record


def test_a_forecast_and_a_comparison_say_what_their_numbers_are_in():
    forecast = findings().forecast
    for record in (forecast_record(forecast), compare_record(comparison())):
        assert record["units"] == ANSWER_UNITS
        assert record["units"]["days"].startswith("24 hours")
    book = forecast_record(forecast)["by_the_book"]
    assert {"person_days", "workdays"} <= set(book) & set(ANSWER_UNITS)
