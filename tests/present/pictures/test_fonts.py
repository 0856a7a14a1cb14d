"""A name in any script is shown: by a font that has its letters, or as boxes that are spoken of; never with a raw warning."""

import logging
import warnings

from simulation.present.pictures.figure import blank, draw_words, save_figure
from simulation.present.pictures.fonts import BOXES, boxes_note, find_font, lacking, use_fonts, without_font

CHINESE = "\u8dd1\u9053"


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


def test_a_picture_with_such_a_name_is_drawn_without_a_warning(tmp_path, caplog):
    def draw():
        figure = blank(6.0, 3.0)
        draw_words(figure, 0.5, f"The strip {CHINESE}", f"below {CHINESE}", f"note {CHINESE}")
        use_fonts(figure)
        return figure

    with warnings.catch_warnings(), caplog.at_level(logging.WARNING):
        warnings.simplefilter("error")
        files = save_figure(draw, tmp_path / "named", "A picture.")
    assert all(file.stat().st_size > 1000 for file in files)
    assert caplog.records == []
