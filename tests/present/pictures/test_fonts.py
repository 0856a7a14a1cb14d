"""A name in any script is shown: by a font that has its letters, or as boxes that are spoken of; never with a raw warning."""

import logging
import warnings

import pytest

from simulation.present.pictures.figure import blank, draw_words, save_figure
from simulation.present.pictures.fonts import BOXES, boxes_note, find_font, lacking, unshaped_note, use_fonts, without_font

CHINESE = "\u8dd1\u9053"
#: "Runway" in Devanagari and Tamil.
DEVANAGARI, TAMIL = "\u0930\u0928\u0935\u0947", "\u0b93\u0b9f\u0bc1\u0baa\u0bbe\u0ba4\u0bc8"


def test_latin_greek_cyrillic_and_arabic_need_no_other_font():
    assert lacking("Stand 4 Ω Стоянка مدرج") == frozenset()
    assert boxes_note("Стоянка", "Pictures show") == ""


def test_letters_that_no_font_has_are_named(monkeypatch):
    monkeypatch.setattr("simulation.present.pictures.fonts.find_font", lambda *_: None)
    assert without_font(f"runway {CHINESE}{CHINESE}") == "".join(sorted(CHINESE))
    note = boxes_note(f"runway {CHINESE}", "Pictures show")
    assert note.startswith("Pictures show boxes for letters that no font of this computer has: ")
    assert all(letter in note for letter in CHINESE)


def test_a_font_that_has_the_letters_helps_out(monkeypatch):
    monkeypatch.setattr("simulation.present.pictures.fonts._usual", lambda: frozenset(range(0x7F)))
    letters = lacking("Стоянка 4")
    assert letters == frozenset("Стоянка")
    helper = find_font(letters, truetype=True)
    assert helper is not None  # the usual font itself, which comes with matplotlib
    assert helper.letters == letters
    assert helper.name != BOXES
    assert without_font("Стоянка 4", truetype=True) == ""


def test_paper_says_which_scripts_it_does_not_put_together():
    assert unshaped_note(f"Stand 4 Ω Стоянка {CHINESE}") == ""
    assert unshaped_note("مدرج").startswith("Words of a script written from right to left stand in this paper's text")
    for word in (DEVANAGARI, TAMIL):
        note = unshaped_note(f"runway {word}")
        assert note.startswith("Words of a script whose letters change beside each other, such as Devanagari")
        assert note.endswith("print the HTML where it matters.")
    assert " or whose letters change beside each other" in unshaped_note(f"مدرج {TAMIL}")


@pytest.mark.parametrize("name", [CHINESE, DEVANAGARI, TAMIL])
def test_a_picture_with_such_a_name_is_drawn_without_a_warning(tmp_path, caplog, name):
    def draw():
        figure = blank(6.0, 3.0)
        draw_words(figure, 0.5, f"The strip {name}", f"below {name}", f"note {name}")
        use_fonts(figure)
        return figure

    with warnings.catch_warnings(), caplog.at_level(logging.WARNING):
        warnings.simplefilter("error")
        files = save_figure(draw, tmp_path / "named", "A picture.")
    assert all(file.stat().st_size > 1000 for file in files)
    assert caplog.records == []
