"""A real browser without a window, for the tests of pages; where there is none they are skipped and say so."""

import shutil
from contextlib import contextmanager
from pathlib import Path

import pytest

#: The rules of accessibility, where .ci/run puts them: npm install --no-save --prefix .axe axe-core
AXE = Path(__file__).resolve().parents[2] / ".axe" / "node_modules" / "axe-core" / "axe.min.js"
#: What the system's packages call it.
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


@pytest.fixture(scope="session")
def browser():
    """Start the system's Chromium once for the tests of a process."""
    cause_of_time = pytest.importorskip(
        "playwright.sync_api", reason="the browser driver is not installed: pip install playwright"
    )
    program = next((found for found in map(shutil.which, NAMES) if found), None)
    if program is None:
        pytest.skip("no Chromium on the path: install the system's package chromium")
    with cause_of_time.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield started
        started.close()


@contextmanager
def opened(browser, file, width=1280, height=900, color_scheme="light"):
    """Open a file as a page without a network; it must ask for nothing else, and its scripts must not fail.

    All are shown in one window, one after the other: to start another takes longer than to load a page.
    """
    page = browser.contexts[0].pages[0] if browser.contexts else browser.new_context(offline=True).new_page()
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=color_scheme)
    asked, failed = [], []
    hears = {
        "request": lambda request: asked.append(request.url),
        "pageerror": lambda error: failed.append(str(error)),
        "console": lambda line: failed.append(line.text) if line.type in ("error", "warning") else None,
    }
    for event, hear in hears.items():
        page.on(event, hear)
    address = Path(file).resolve().as_uri()
    try:
        page.goto(address)
        yield page
        assert failed == []
        assert [url for url in asked if url != address and not url.startswith("data:")] == []
    finally:
        for event, hear in hears.items():
            page.remove_listener(event, hear)
        page.goto("about:blank")


def check_access(page, also=()):
    """Hold a page against axe-core's rules; those named must have found something to look at."""
    if not AXE.exists():
        pytest.skip("axe-core is not there: npm install --no-save --prefix .axe axe-core")
    page.evaluate(AXE.read_text(encoding="utf-8"))  # a page of its own allows no script beside its own
    verdict = page.evaluate("axe.run(document)")
    problems = [(rule["id"], rule["nodes"][0]["html"][:100], len(rule["nodes"])) for rule in verdict["violations"]]
    assert problems == []
    assert {"color-contrast", "label", *also} <= {rule["id"] for rule in verdict["passes"]}


def contrast(one, other):
    """Return the contrast ratio of two colours (Web Content Accessibility Guidelines 2.1, 1.4.3; formula from memory)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour):
    linear = [part / 255 / 12.92 if part / 255 <= 0.04045 else ((part / 255 + 0.055) / 1.055) ** 2.4 for part in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
