"""The page of a replay in a real browser: offline, by keyboard, harmless whatever a title says, and true to the frames."""

import json
import re

import pytest
from browser import contrast, opened
from replayed import EVIL, replay

from simulation.present.page import as_data
from simulation.questions.replay.files import write_replay
from simulation.questions.replay.page import make_record, page_of
from simulation.questions.replay.words import clock_line


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    return write_replay(replay(), tmp_path_factory.mktemp("page") / "replay.html")


def shown_frame(page):
    return int(page.evaluate("document.body.dataset.frame"))


def every(page, which, what):
    """Return something of every element that a selector finds."""
    return page.eval_on_selector_all(which, f"(found) => found.map((one) => {what})")


def test_the_page_asks_for_nothing_and_shows_hour_zero(browser, file):
    with opened(browser, file) as page:
        assert page.title() == "Replay: A small field"
        assert page.inner_text("#clock") == clock_line(replay(), 0.0)
        assert shown_frame(page) == 0


def test_keys_step_jump_and_play(browser, file):
    last = len(replay().frames) - 1
    with opened(browser, file) as page:
        press = page.keyboard.press
        press("ArrowRight")
        press("ArrowRight")
        press("ArrowLeft")
        assert shown_frame(page) == 1
        press("End")
        press("ArrowRight")
        assert shown_frame(page) == last
        assert page.inner_text("#state") == "end of the run"
        press("Home")
        assert shown_frame(page) == 0
        press("m")
        reached = replay().milestones[0]
        assert replay().frames[shown_frame(page)].hour >= reached[1] > replay().frames[shown_frame(page) - 1].hour
        assert f"{reached[0]}: reached" in page.inner_text("#stones")
        press("Home")
        press(" ")
        assert page.get_attribute("#play", "aria-pressed") == "true"
        for _ in range(100):
            page.wait_for_timeout(50)
            if shown_frame(page) >= 2:
                break
        assert shown_frame(page) >= 2
        press(" ")
        stopped = shown_frame(page)
        assert page.get_attribute("#play", "aria-pressed") == "false"
        page.wait_for_timeout(400)
        assert shown_frame(page) == stopped


def test_every_control_is_reached_by_tab_and_does_its_work(browser, file):
    with opened(browser, file) as page:
        reached = []
        for _ in range(9):
            page.keyboard.press("Tab")
            reached.append(page.evaluate("document.activeElement.id"))
        assert reached == ["first", "back", "play", "next", "last", "stone", "pace", "hour", "drawing"]
        page.focus("#next")
        page.keyboard.press("Enter")
        page.keyboard.press(" ")
        assert shown_frame(page) == 2
        page.focus("#hour")
        page.keyboard.press("ArrowRight")
        assert shown_frame(page) == 3
        assert page.get_attribute("#hour", "aria-valuetext").startswith(page.inner_text("#clock"))
        page.keyboard.press("End")
        assert shown_frame(page) == len(replay().frames) - 1


def test_the_drawing_is_that_of_the_frame(browser, file):
    record = make_record(replay())
    frames, scale = record["frames"], record["bar"][1] / float(record["bar"][0].replace(",", "").removesuffix(" ft"))
    with opened(browser, file) as page:
        for number in (5, len(frames) - 1):
            page.keyboard.press("Home")
            for _ in range(number):
                page.keyboard.press("ArrowRight")
            frame = frames[number]
            slabs = "#plan polygon[fill='#8f8f8f']"
            drawn = every(page, slabs, "one.getBBox().width * one.getBBox().height")
            feet = [2.0 * laid * wide for laid, wide in zip(frame["laid"], (72.0, 72.0, 36.0), strict=True) if laid]
            assert drawn == pytest.approx([one * scale**2 for one in feet], rel=0.03)
            letters = every(page, "#plan g:last-of-type text", "one.textContent")
            assert letters == [one[1] for one in frame["symbols"]]
            rows = every(page, "#edges tr", "[...one.children].map((cell) => cell.textContent)")
            assert rows == [list(line) for line in frame["edges"]]


@pytest.mark.parametrize("width", [360, 1280])
def test_the_page_is_no_wider_than_the_screen_and_its_words_are_readable(browser, file, width):
    with opened(browser, file, width=width) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        sizes = every(page, "p, td, th, button, li, h1, h2, figcaption", "parseFloat(getComputedStyle(one).fontSize)")
        assert min(sizes) >= 12.0
        heights = every(page, "button, select, #hour", "one.getBoundingClientRect().height")
        assert min(heights) >= 24.0


def test_words_stand_out_from_what_is_behind_them(browser, file):
    with opened(browser, file) as page:
        inks = set(every(page, "main *, header *, footer *", "getComputedStyle(one).color"))
    for ink in inks:
        assert contrast([int(part) for part in re.findall(r"\d+", ink)[:3]], [255, 255, 255]) >= 4.5


def test_a_script_in_a_title_or_a_name_is_text(browser, tmp_path):
    shown = replay(title=EVIL, area=EVIL, milestone=EVIL)
    file = write_replay(shown, tmp_path / "evil.html")
    with opened(browser, file) as page:
        page.keyboard.press("End")
        assert page.evaluate("document.body.id") == ""
        assert page.inner_text("h1") == EVIL
        assert EVIL in page.inner_text("#stones")
        assert page.evaluate("document.scripts.length") == 2


def test_the_data_are_closed_into_their_element_whatever_they_hold():
    words = {"a": EVIL + "<!-- \u2028 ]]>"}
    text = as_data(words)
    assert not set("<>&\u2028") & set(text)
    assert json.loads(text) == words


def test_the_same_run_gives_the_same_page_without_addresses_in_it():
    page = page_of(replay())
    assert page == page_of(replay())
    assert re.findall(r"https?://[^\"' ]+", page) == ["http://www.w3.org/2000/svg"]
    assert "@@" not in page
