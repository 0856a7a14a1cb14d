"""Is a picture drawn again only where it would be another one, or is not there any more as it was written?"""

from functools import partial

import pytest
from matplotlib.figure import Figure as Drawn

from simulation.present.answer import Answer, Figure, Page, Part, Text
from simulation.present.own_files import RECORD, NotReplaced
from simulation.present.pictures import drawn_before
from simulation.present.pictures.drawn_before import drawn_from
from simulation.present.pictures.figure import blank
from simulation.present.renderers.record import write_answer
from simulation.scenario import load_scenario, shipped

_drawings: list[object] = []


def _draw(shown: object) -> Drawn:
    _drawings.append(shown)
    figure = blank(2.0, 1.0)
    figure.text(0.1, 0.5, str(shown)[:10])
    return figure


def _describe(shown: object) -> str:
    return f"It shows {str(shown)[:10]}."


def _picture(shown: object) -> Figure:
    return Figure("made", "A picture", partial(_draw, shown), partial(_describe, shown))


def _write(folder, shown, **more):
    answer = Answer("made", "Invented strip", "about", "headline", pages=(Page("a", "A", (Part("P", (_picture(shown),)),)),))
    before = len(_drawings)
    files = write_answer(answer, folder, lambda _: "text", **more)
    assert {file.name for file in files} >= {"made.svg", "made.png"}
    return len(_drawings) - before


def test_the_same_picture_is_not_drawn_again_and_stays_as_it_was(tmp_path):
    assert _write(tmp_path, 7) == 1
    drawn = {file.name: file.read_bytes() for file in tmp_path.glob("made.*g")}
    assert _write(tmp_path, 7) == 0
    assert {file.name: file.read_bytes() for file in tmp_path.glob("made.*g")} == drawn


def test_another_picture_is_drawn(tmp_path):
    assert [_write(tmp_path, shown) for shown in (7, 8, 8, 7)] == [1, 1, 0, 1]


@pytest.mark.parametrize("name", ["made.svg", "made.png"])
def test_a_picture_that_was_taken_away_is_drawn_again(tmp_path, name):
    _write(tmp_path, 7)
    (tmp_path / name).unlink()
    assert _write(tmp_path, 7) == 1
    assert (tmp_path / name).is_file()


def test_a_picture_that_somebody_changed_is_not_replaced_and_with_force_it_is_drawn_again(tmp_path):
    _write(tmp_path, 7)
    (tmp_path / "made.svg").write_text("mine", encoding="utf-8")
    with pytest.raises(NotReplaced):
        _write(tmp_path, 7)
    assert _write(tmp_path, 7, force=True) == 1
    assert (tmp_path / "made.svg").read_text(encoding="utf-8") != "mine"


def test_a_record_that_tells_an_origin_and_no_file_copies_nothing(tmp_path):
    _write(tmp_path, 7)
    told = drawn_from(_picture(7))
    (tmp_path / RECORD).write_text(f'{{"made.svg": {{"by": "made", "sha256": [], "from": "{told}"}}}}', encoding="utf-8")
    assert _write(tmp_path, 7, force=True) == 1


def test_another_program_draws_again(tmp_path, monkeypatch):
    _write(tmp_path, 7)
    monkeypatch.setattr(drawn_before, "_program", lambda: "another")
    assert _write(tmp_path, 7) == 1


def test_what_a_picture_is_drawn_from_is_told_alike_of_a_scenario_read_twice():
    one, other = (load_scenario(shipped("first_look")) for _ in range(2))
    assert drawn_from(_picture(one)) == drawn_from(_picture(other)) != ""
    longer = one.model_copy(update={"title": "Another strip"})
    assert drawn_from(_picture(longer)) != drawn_from(_picture(one))


def test_a_picture_of_what_cannot_be_written_down_is_drawn_each_time(tmp_path):
    assert drawn_from(_picture(lambda: None)) == ""
    assert [_write(tmp_path, lambda: None) for _ in range(2)] == [1, 1]


def test_a_text_is_set_again_only_where_it_says_something_else_or_is_not_there_as_it_was(tmp_path):
    texts: list[str] = []

    def write(said: str) -> int:
        page = Page("a", "A", (Part("P", (Text(said),)),))
        before = len(texts)
        answer = Answer("made", "Invented strip", "about", "headline", pages=(page,), sheets={"runs.csv": "1"})
        files = write_answer(answer, tmp_path, lambda answer: texts.append(answer.headline) or f"{said}\n")
        assert [file.name for file in files] == ["made.json", "made.txt", "runs.csv"]
        assert (tmp_path / "made.txt").read_text(encoding="utf-8") == f"{said}\n"
        return len(texts) - before

    assert [write(said) for said in ("one", "one", "two", "two", "one")] == [1, 0, 1, 0, 1]
    (tmp_path / "made.txt").unlink()
    assert write("one") == 1
