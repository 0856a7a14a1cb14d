"""What pictures of questions say in words: each plan and its days, each verdict and how many."""

from xml.etree import ElementTree

from drawn_fields import drawn_forecast
from invented_runs import FIVE, comparison
from matplotlib.figure import Figure
from PIL import Image
from staffed import answer

from simulation.present.pictures.figure import save_figure
from simulation.questions.compare.picture import describe_comparison
from simulation.questions.forecast.drawn.figures import s_curve_picture
from simulation.questions.forecast.drawn.s_curve import describe_s_curve
from simulation.questions.staffing.picture import describe_teams


def test_a_comparison_names_each_plan_its_days_and_the_reference():
    found = comparison(deadline="8 d")
    said = describe_comparison(found)
    assert all(name in said for name in FIVE)
    assert said.count("(the reference)") == 1
    for one in found.plans:
        assert f"P80 {one.outcome.p80.value / 24:.1f}" in said or "after the last day simulated" in said
    assert said.count("on time") == 5


def test_of_many_plans_those_that_matter_are_named_and_the_others_counted():
    names = (*FIVE, *(f"twin {number}" for number in range(7)))
    said = describe_comparison(comparison(*names, reference=len(names) - 1))
    assert said.count(";") == 10
    assert "(the reference)" in said
    assert "2 more in the table" in said


def test_a_plan_beyond_the_horizon_says_so():
    said = describe_comparison(comparison("as written", "never", "open"))
    assert "never P50 after the last day simulated" in said
    assert "P90 after the last day simulated" in said
    assert "inf" not in said


def test_the_teams_are_counted_by_verdict_and_the_answer_is_named():
    found = answer("answered")
    said = describe_teams(found)
    assert f"{len(found.teams)} teams" in said
    assert f"the smallest that meets it is {found.answer[0].candidate.name}" in said
    assert sum(int(word) for word, what in zip(said.split(), said.split()[1:], strict=False)
               if word.isdigit() and what.strip(",.;") in ("meets", "does", "left", "too")) == len(found.teams)  # fmt: skip


def test_teams_that_are_never_ready_have_no_days():
    assert "inf" not in describe_teams(answer("never ready"))


def test_the_s_curve_says_its_quantiles():
    said = describe_s_curve(drawn_forecast())
    for share in (0.5, 0.8, 0.9):
        assert f"{100 * share:.0f} % by {drawn_forecast().readiness.quantile(share).value / 24:.1f} days" in said
    cut_off = drawn_forecast("some unfinished")
    assert 0 < cut_off.unfinished < cut_off.run_count
    assert f"{cut_off.unfinished} not ready within the 1.8 days simulated" in describe_s_curve(cut_off)


def test_a_saved_picture_holds_its_words_with_names_as_they_are(tmp_path):
    said = "1 <script> & 2 % of “runway”"
    vector, pixels = save_figure(Figure, tmp_path / "picture", said)
    assert said in [one.text for one in ElementTree.parse(vector).iter() if one.tag.endswith("description")]
    with Image.open(pixels) as picture:
        assert picture.text["Description"] == said


def test_the_pictures_of_a_forecast_hold_what_they_say(tmp_path):
    found = drawn_forecast()
    vector, _ = s_curve_picture(found).save(tmp_path)
    assert describe_s_curve(found) in [one.text for one in ElementTree.parse(vector).iter() if one.tag.endswith("description")]
