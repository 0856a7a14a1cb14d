"""The page of a replay in a real browser: offline, by keyboard, harmless whatever a title says, and true to the frames."""

import json
import re

import pytest
from browser import check_access, contrast, opened
from drawn_fields import EVIL, replay

from simulation.present.renderers.page import as_data
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
        for _ in range(8):
            page.keyboard.press("Tab")
            reached.append(page.evaluate("document.activeElement.id"))
        assert reached == ["first", "back", "play", "next", "last", "stone", "pace", "hour"]
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


@pytest.mark.parametrize(("sheet", "width"), [("lying", 1280), ("upright", 375)])
def test_the_drawing_is_that_of_the_frame(browser, file, sheet, width):
    record = make_record(replay())
    frames, drawing = record["frames"], record[sheet]
    scale = drawing["bar"][1] / float(drawing["bar"][0].replace(",", "").removesuffix(" ft"))
    with opened(browser, file, width=width) as page:
        for number in (5, len(frames) - 1):
            page.keyboard.press("Home")
            for _ in range(number):
                page.keyboard.press("ArrowRight")
            frame = frames[number]
            slabs = "#plan polygon.laid"
            drawn = every(page, slabs, "one.getBBox().width * one.getBBox().height")
            lying = [sum(upto - first for first, upto in spans) for spans in frame["lying"]]
            feet = [2.0 * rows * wide for rows, wide in zip(lying, (72.0, 72.0, 36.0), strict=True) if rows]
            assert drawn == pytest.approx([one * scale**2 for one in feet], rel=0.03)
            letters = every(page, "#plan g:last-of-type text", "one.textContent")
            assert letters == [symbol[1] for symbol in drawing["moving"][number]["symbols"]]
            rows = every(page, "#edges tr", "[...one.children].map((cell) => cell.textContent)")
            assert rows == [list(line) for line in frame["edges"]]


def cut_words(page):
    """Return the words of the drawings that run past their edge."""
    past = "box.x < -1 || box.x + box.width > one.ownerSVGElement.viewBox.baseVal.width + 1"
    cut = every(page, "svg text", f"(() => {{ const box = one.getBBox(); return {past} ? one.textContent : ''; }})()")
    return [words for words in cut if words]


@pytest.mark.parametrize("width", [375, 640, 1280])  # 640 is a wide screen at 200 %
def test_nothing_is_cut_or_scrolled_sideways_and_every_word_is_large_enough(browser, file, width):
    with opened(browser, file, width=width) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        wider = "one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 1 && !one.closest('.unseen') ? one.outerHTML : ''"
        assert [shown for shown in every(page, "main :not(svg *)", wider) if shown] == []
        page.keyboard.press("ArrowRight")
        assert cut_words(page) == []
        sizes = every(page, "p, td, th, button, li, h1, h2, figcaption", "parseFloat(getComputedStyle(one).fontSize)")
        assert min(sizes) >= 12.0
        drawn = every(page, "svg text", "parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a")
        assert min(drawn) >= 11.5
        heights = every(page, "button, select, #hour", "one.getBoundingClientRect().height")
        assert min(heights) >= 24.0


def test_the_drawing_turns_with_the_screen_and_keeps_its_hour(browser, file):
    with opened(browser, file, width=1280) as page:
        page.keyboard.press("ArrowRight")
        page.set_viewport_size({"width": 375, "height": 800})
        page.wait_for_function("document.getElementById('plan').classList.contains('upright')")
        tall = page.evaluate(
            "(() => { const box = document.getElementById('plan').viewBox.baseVal; return box.height / box.width; })()"
        )
        assert tall > 1.0
        assert shown_frame(page) == 1


def test_words_and_kinds_of_ground_stand_out_in_either_theme(browser, file):
    with opened(browser, file) as page:
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            inks = every(page, "main :not(svg, svg *, [aria-pressed=true]), header *, footer *", "getComputedStyle(one).color")
            drawn = every(page, "svg text:not(.letters)", "getComputedStyle(one).fill")
            of_page = "getComputedStyle(document.documentElement)"
            behind = colour(page.evaluate(f"{of_page}.backgroundColor"))
            names = ("ink", "sky", "night", "graded", "laid")
            tone = {name: colour(page.evaluate(f"{of_page}.getPropertyValue('--{name}')")) for name in names}
            assert (sum(behind) < 128) == (scheme == "dark")
            assert min(contrast(colour(ink), behind) for ink in set(inks)) >= 4.5, scheme
            assert min(contrast(colour(ink), tone[name]) for ink in set(drawn) for name in ("sky", "night")) >= 4.5, scheme
            assert contrast(tone["laid"], tone["sky"]) >= 3.0, scheme  # WCAG 1.4.11: parts of a drawing
            assert contrast(tone["ink"], tone["laid"]) >= 3.0, scheme
            assert contrast(tone["graded"], tone["sky"]) >= 1.3, scheme  # its dotted outline bounds it


def colour(text):
    """Return the parts of a colour as CSS words it."""
    text = text.strip()
    if text.startswith("#"):
        digits = text[1:] if len(text) == 7 else "".join(2 * digit for digit in text[1:])
        return tuple(int(digits[start : start + 2], 16) for start in (0, 2, 4))
    return tuple(int(part) for part in re.findall(r"\d+", text)[:3])


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (375, "dark")])
def test_the_page_passes_the_rules_of_accessibility(browser, file, width, scheme):
    with opened(browser, file, width=width, color_scheme=scheme) as page:
        check_access(page)


def test_a_script_in_a_title_or_a_name_is_text(browser, tmp_path):
    shown = replay(title=EVIL, area=EVIL, milestone=EVIL)
    file = write_replay(shown, tmp_path / "evil.html")
    with opened(browser, file, width=375) as page:
        page.keyboard.press("End")
        assert cut_words(page) == []  # so long a name is written smaller
        assert page.evaluate("document.documentElement.scrollWidth") <= 375
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
