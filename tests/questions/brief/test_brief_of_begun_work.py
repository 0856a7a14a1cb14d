"""Does a brief of work that has begun open with where it stands, in the numbers of its own forecast?"""

import pytest
from scenarios import SHORT, SHORT_LOG

from simulation import RunContext, SiteLog, begin_by, brief
from simulation.questions.brief.answer import brief_answer
from simulation.questions.brief.study import Asked
from simulation.scenario import parse_scenario


@pytest.fixture(scope="module")
def made():
    begun = begin_by(parse_scenario(SHORT), SiteLog("log.csv", SHORT_LOG))
    return brief(begun, RunContext(runs=12, workers=1, deadline="30 h"), Asked(4, measures=False, plans=[], grid=False))


def test_page_one_opens_with_where_the_work_stands(made):
    answer = brief_answer(made)
    part = answer.pages[0].parts[0]
    assert part.title == "Where do we stand?"
    assert "20 % of the field is laid" in part.blocks[0].text
    assert [figure.name for figure in answer.figures if figure.name == "update"] == ["update"]


def test_its_numbers_are_those_of_the_forecast_of_the_brief(made):
    assert made.standing.now.hours == tuple(made.forecast.runs[f"milestone.{made.forecast.readiness.name}"])
    assert brief_answer(made).record["update"]["now"]["p80"]["days"] == made.forecast.readiness.quantile(0.8).value / 24
