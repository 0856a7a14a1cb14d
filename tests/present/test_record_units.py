"""A record names the units of numbers whose keys do not."""

from briefed import findings

from simulation.present.record_shapes import ANSWER_UNITS
from simulation.questions.compare.record import compare_record
from simulation.questions.forecast.record import forecast_record


def test_a_forecast_and_a_comparison_say_what_their_numbers_are_in():
    found = findings(full=True)
    for record in (forecast_record(found.forecast), compare_record(found.grid.comparison)):
        assert record["units"] == ANSWER_UNITS
        assert record["units"]["days"].startswith("24 hours")
    book = forecast_record(found.forecast)["by_the_book"]
    assert {"person_days", "workdays"} <= set(book) & set(ANSWER_UNITS)
