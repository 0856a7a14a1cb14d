"""The brief in a real browser: by keyboard the decision sheet shows the right plan, and the page is accessible."""

import re
from dataclasses import replace

import pytest
from briefed import EVIL, EVIL_STRIP, blank_image, briefed, findings, page_of
from browser import check_access, contrast, opened

from simulation.present import answer as content
from simulation.present.words.wording import days
from simulation.questions.brief.decision_grid import Choice
from simulation.questions.brief.files import write_brief
from simulation.stats.chances import estimate_chance, likelihood_word
from simulation.study.changes.default_plans import CENTRE_OUT, ONE_END

#: Rows of a table that the accessibility check looks at: each further one is built as they are.
ROWS = 3


def shortened(block):
    """Return a block with a few rows only, where it is a table."""
    if isinstance(block, content.Inputs):
        return replace(block, table=shortened(block.table))
    return replace(block, rows=block.rows[:ROWS]) if isinstance(block, content.Table) else block


@pytest.fixture(scope="module")
def short_file(tmp_path_factory):
    """Write the brief with everything in it, but every table cut short."""
    brief = briefed(full=True)
    pages = tuple(
        replace(page, parts=tuple(replace(part, blocks=tuple(map(shortened, part.blocks))) for part in page.parts))
        for page in brief.pages
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("simulation.present.renderers.page.render_image", blank_image)
        return write_brief(replace(brief, pages=pages), tmp_path_factory.mktemp("short") / "brief.html")


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    file = tmp_path_factory.mktemp("brief") / "brief.html"
    file.write_text(page_of(full=True), encoding="utf-8")
    return file


def bands_on(page):
    return {name: page.inner_text(f'[data-band="{name}"]') for name in ("P50", "P80", "P90")}


def bands_of(outcome):
    return {band.name: days(band.value) for band in (outcome.p50, outcome.p80, outcome.p90)}


def focused(page):
    return page.evaluate("document.activeElement.id")


def to(page, name):
    """Go to a field by the tabulator key."""
    for _ in range(60):
        if focused(page) == name:
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{name} cannot be reached by keyboard")


def test_the_sheet_begins_with_the_scenario_as_written(browser, short_file):
    grid = findings(full=True).grid
    with opened(browser, short_file) as page:
        assert bands_on(page) == bands_of(grid.plan(grid.as_written).outcome)
        assert page.inner_text("#sheet-change") == "This is the scenario as written."
        assert page.get_attribute("#sheet-answer", "aria-live") == "polite"


def test_arrow_keys_change_the_plan_and_the_numbers_are_that_plan_s(browser, short_file):
    grid = findings(full=True).grid
    own = grid.as_written
    assert (own.people, own.start) == (16, ONE_END)
    with opened(browser, short_file) as page:
        page.focus(".skip")
        to(page, "sheet-people")
        page.keyboard.press("ArrowUp")  # fewer people
        fewer = grid.plan(Choice(12, ONE_END, own.forklifts))
        assert bands_on(page) == bands_of(fewer.outcome)
        assert bands_on(page) != bands_of(grid.plan(own).outcome)
        assert f"{fewer.outcome.people} people on site" in page.inner_text("#sheet-answer")
        page.keyboard.press("Tab")
        assert focused(page) == "sheet-start"
        page.keyboard.press("ArrowUp")
        page.keyboard.press("Tab")
        page.keyboard.press("ArrowDown")  # one forklift more
        other = grid.plan(Choice(12, CENTRE_OUT, own.forklifts + 1))
        assert page.eval_on_selector("#sheet-start", "one => one.value") == CENTRE_OUT
        assert bands_on(page) == bands_of(other.outcome)
        to(page, "sheet-own")
        page.keyboard.press("Enter")
        assert bands_on(page) == bands_of(grid.plan(own).outcome)


def test_the_chance_is_counted_for_any_deadline(browser, short_file):
    grid = findings(full=True).grid
    hours = grid.plan(grid.as_written).outcome.hours
    assert len(hours) == 120  # those of the forecast: one plan has one chance
    with opened(browser, short_file) as page:
        chance = findings(full=True).forecast.deadline.chance
        assert f"{chance.count} of 120 runs" in page.inner_text("#sheet-chance")
        page.fill("#sheet-deadline", "0.45")
        count = sum(one <= 0.45 * 24 for one in hours)
        assert 0 < count < 120
        low, high = grid_interval(count, 120)
        said = page.inner_text("#sheet-chance")
        assert (
            f"Ready by 0.5 days: {100 * count / 120:.0f} %, {likelihood_word(estimate_chance(count, 120))}; {count} of 120 runs"
            in said
        )
        assert f"(95 % interval {100 * low:.0f} to {100 * high:.0f} %)" in said
        page.select_option("#sheet-people", "12")
        fewer = grid.plan(Choice(12, grid.as_written.start, grid.as_written.forklifts)).outcome
        assert (len(fewer.hours), len(fewer.paired)) == (20, 20)
        # As written, and the change of the chance in runs that both have.
        share = count / 120 + (sum(one <= 0.45 * 24 for one in fewer.hours) - sum(one <= 0.45 * 24 for one in hours[:20])) / 20
        said = page.inner_text("#sheet-chance")
        assert f"Ready by 0.5 days: {100 * share:.0f} %; as written: {100 * count / 120:.0f} %." in said  # too few for a word
        assert "The change is measured in 20 runs of both." in said
        page.fill("#sheet-deadline", "")
        assert page.inner_text("#sheet-chance").startswith("Give a deadline")


def grid_interval(count, runs):
    from scipy.stats import binomtest

    found = binomtest(count, runs).proportion_ci(0.95, method="exact")
    return found.low, found.high


def test_the_curve_steps_once_for_each_run_and_changes_with_the_plan(browser, short_file):
    with opened(browser, short_file) as page:
        paths = page.eval_on_selector_all("#sheet-curve path", "(all) => all.map((one) => one.getAttribute('d'))")
        assert paths[0] == paths[1]  # the scenario as written over itself
        page.select_option("#sheet-people", "12")
        own, chosen = page.eval_on_selector_all("#sheet-curve path", "(all) => all.map((one) => one.getAttribute('d'))")
        assert own == paths[0]
        assert chosen != own
        assert chosen.count("V") <= len(findings(full=True).forecast.table)
        assert "P80" in page.get_attribute("#sheet-curve svg", "aria-label")


#: Elements that are cut, or that one would have to scroll sideways to read; a picture may move in its own frame.
OUTSIDE = """[...document.querySelectorAll("body *")].filter((one) => {
  const box = one.getBoundingClientRect(), seen = box.width > 1 && box.height > 1 && !one.classList.contains("skip");
  const scrolls = one.scrollWidth > one.clientWidth + 1 && !["visible", "clip"].includes(getComputedStyle(one).overflowX);
  return seen && !one.closest("thead, .picture") && (box.right > innerWidth + 1 || (scrolls && one.clientWidth > 1));
}).map((one) => one.outerHTML.slice(0, 80))"""


def test_nothing_is_cut_or_scrolled_sideways_and_every_cell_of_a_card_on_a_narrow_screen_names_its_column(browser, file):
    with opened(browser, file) as page:
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        for width in (1280, 640, 360):  # 640 is a wide screen at 200 %
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert (width, page.evaluate(OUTSIDE)) == (width, [])
        cells = "[...document.querySelectorAll('tbody td')]"
        assert page.evaluate(f"{cells}.filter((one) => !one.dataset.label).length") == 0
        assert page.evaluate(f"getComputedStyle({cells}[0], '::before').content") not in ("none", "normal")


def test_a_picture_keeps_its_letters_on_a_phone_and_moves_in_its_own_frame(browser, file):
    with opened(browser, file, width=390) as page:
        assert page.eval_on_selector(".picture img", "one => one.getBoundingClientRect().width / one.naturalWidth") > 0.75
        assert page.eval_on_selector(".picture", "one => one.clientWidth") <= 390
        assert page.is_visible(".sideways")
        page.set_viewport_size({"width": 1280, "height": 900})
        assert not page.is_visible(".sideways")


def test_the_decision_sheet_is_one_key_press_from_the_top(browser, short_file):
    with opened(browser, short_file) as page:
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        assert focused(page) == "decision-sheet"
        top = page.evaluate("document.getElementById('sheet').getBoundingClientRect().top")
        assert 0 <= top < 900
        assert page.eval_on_selector("nav a", "one => one.textContent") == "Decision sheet"


def test_letters_stand_out_in_the_light_and_in_the_dark(browser, short_file):
    with opened(browser, short_file) as page:
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            inks = "[...document.querySelectorAll('body, main *, nav *')].map((one) => getComputedStyle(one).color)"
            ground = colour(page.evaluate("getComputedStyle(document.documentElement).backgroundColor"))
            assert (sum(ground) < 200) == (scheme == "dark")
            for ink in set(page.evaluate(inks)):
                assert contrast(colour(ink), ground) >= 4.5, scheme


def colour(text):
    return [int(part) for part in re.findall(r"\d+", text)[:3]]


def test_a_script_in_a_name_does_not_run(browser, tmp_path):
    file = tmp_path / "evil.html"
    file.write_text(page_of(runs=20, plans=True, text=EVIL_STRIP), encoding="utf-8")
    with opened(browser, file) as page:
        page.select_option("#sheet-people", "12")
        assert page.inner_text("h1") == EVIL
        assert page.evaluate("window.ran") is None


def test_a_script_that_is_put_into_the_page_does_not_run(browser, short_file):
    page = browser.new_page()
    page.goto(short_file.resolve().as_uri())
    page.evaluate("const one = document.createElement('script'); one.textContent = 'window.ran = 1'; document.body.append(one)")
    assert page.evaluate("window.ran") is None
    page.close()


def test_the_page_passes_the_accessibility_check(browser, short_file):
    check_brief(browser, short_file, 400)


@pytest.mark.slow
@pytest.mark.parametrize("width", [400, 1280])
def test_the_whole_page_passes_the_accessibility_check(browser, file, width):
    check_brief(browser, file, width)


def check_brief(browser, file, width):
    with opened(browser, file, width=width) as page:
        page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
        check_access(page, also={"image-alt", "heading-order", "select-name"})
