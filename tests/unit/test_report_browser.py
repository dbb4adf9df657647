"""The page in a real browser, from disk: no console error, no request, switches work, pictures are not blank."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from platemaker.report import render_html
from tests.browsing import MARKS, canvas_colours, click, open_all, printed, started_browser
from tests.sample_findings import plate_findings, thin_web_findings
from tests.sample_pages import META, sample_meshes, sample_page_stack

pytestmark = MARKS


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("page") / "report.html"
    findings = plate_findings() + thin_web_findings()
    path.write_text(render_html(sample_page_stack(), findings, META, sample_meshes()), encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator:  # type: ignore[type-arg]
    with started_browser(tmp_path_factory.mktemp("profile")) as driver:
        yield driver


@pytest.fixture
def browser(started, address: str):  # type: ignore[no-untyped-def]
    started.get_log("browser")
    started.get_log("performance")
    started.get(address)
    canvas_colours(started)  # on a busy machine the page is loaded well before it is painted
    yield started
    assert [entry["message"] for entry in started.get_log("browser")] == []


def test_only_the_page_itself_is_asked_for(browser, address: str) -> None:  # type: ignore[no-untyped-def]
    canvas_colours(browser)
    messages = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    sent = [one["params"] for one in messages if one["method"] == "Network.requestWillBeSent"]
    asked = [one["request"]["url"] for one in sent if one["documentURL"] == address]
    assert address in asked
    assert [url for url in asked if url != address and not url.startswith("data:")] == []
    assert browser.execute_script("return window.hacked") is None
    assert "<script>window.hacked" in browser.title


def test_page_is_not_blank(browser) -> None:  # type: ignore[no-untyped-def]
    from PIL import Image

    picture = Image.open(io.BytesIO(browser.get_screenshot_as_png())).convert("RGB")
    colours = picture.getcolors(maxcolors=1 << 24) or []
    assert len(colours) > 50
    assert max(count for count, _ in colours) < 0.9 * picture.width * picture.height


def test_units_switch_everywhere_and_back(browser) -> None:  # type: ignore[no-untyped-def]
    open_all(browser)
    first = browser.execute_script("return document.body.innerText")
    assert "1.000 mm" in first
    click(browser, "button[data-unit=in]")
    text = browser.execute_script("return document.body.innerText")
    assert "0.0394 in" in text
    assert "1.000 mm" not in text
    drawn = browser.execute_script("return [...document.querySelectorAll('svg text.wall')].map(t => t.textContent)")
    assert "× 0.0394" in drawn
    assert browser.execute_script("return document.querySelector('button[data-unit=in]').ariaPressed") == "true"
    click(browser, "button[data-unit=mm]")
    assert browser.execute_script("return document.body.innerText") == first


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_no_two_labels_overlap_as_the_browser_lays_them(browser, unit: str) -> None:  # type: ignore[no-untyped-def]
    click(browser, f"button[data-unit={unit}]")
    open_all(browser)
    boxes = browser.execute_script(
        """
        return [...document.querySelectorAll("svg.view")].map((svg) => [...svg.querySelectorAll("text")].map((text) => {
          const box = text.getBBox(), size = Number(text.getAttribute("font-size"));
          const y = box.y + box.height / 2;
          return [text.textContent, box.x, y - 0.4 * size, box.x + box.width, y + 0.4 * size,
                  Number(text.getAttribute("textLength"))];
        }));
        """
    )
    assert sum(len(view) for view in boxes) > 60
    for view in boxes:
        for number, (name, x0, y0, x1, y1, length) in enumerate(view):
            # The browser lays letters as long as it was stated to, but rounds their widths and the last one's edge to
            # the pixels of the screen; a single letter it leaves alone. The boxes below are the browser's own.
            letter = (y1 - y0) / 0.8
            assert len(name) == 1 or x1 - x0 == pytest.approx(length, rel=0.01, abs=0.05 * letter), name
            for other, a0, b0, a1, b1, _ in view[:number]:
                share = 0.01 * (y1 - y0)
                apart = x1 <= a0 + share or a1 <= x0 + share or y1 <= b0 + share or b1 <= y0 + share
                assert apart, f"{name} and {other}"


def test_arcs_are_drawn_on_the_side_where_they_belong(browser) -> None:  # type: ignore[no-untyped-def]
    """The rounded corner of `counterbore_and_pocket`: the stock ends where a circle of 8 says, 8 - 8 / sqrt 2 in."""
    inside = browser.execute_script(
        """
        const path = [...document.querySelectorAll("svg.view path.stock")].find(
          (one) => one.getAttribute("d").includes("A8 8 0 0 0 60 "));
        const at = (x, y) => { const p = path.ownerSVGElement.createSVGPoint(); p.x = x; p.y = y;
          return path.isPointInFill(p); };
        const corner = 8 - 8 / Math.SQRT2;  // how far the rounded corner's middle lies from the sharp corner
        return [at(0, 0), at(-60 + corner + 0.01, -40 + corner + 0.01), at(-60 + corner - 0.01, -40 + corner - 0.01)];
        """
    )
    assert inside == [True, True, False]


def test_theme_switch_changes_page_and_drawings(browser) -> None:  # type: ignore[no-untyped-def]
    script = """return [getComputedStyle(document.body).backgroundColor,
        getComputedStyle(document.querySelector("svg .stock")).fill]"""
    before, light = browser.execute_script(script), canvas_colours(browser)
    click(browser, "#theme")
    after, dark = browser.execute_script(script), canvas_colours(browser)
    assert before[0] != after[0]
    assert before[1] != after[1]
    assert light != dark
    click(browser, "#theme")
    assert browser.execute_script(script) == before


def test_tables_sort_up_and_down_by_value(browser) -> None:  # type: ignore[no-untyped-def]
    def column() -> list[str]:
        cells = browser.execute_script(
            "return [...document.querySelectorAll('table.all tbody tr')].map(row => row.cells[5].innerText)"
        )
        return [cell.strip() for cell in cells]

    open_all(browser)
    click(browser, "button[data-show=v-pass]")
    head = "table.all thead th:nth-child(6)"
    click(browser, f"{head} button")
    rising = column()
    assert rising[:3] == ["1.000 mm", "1.333 d", "2.000"]
    assert rising[-1] == ""
    assert browser.execute_script(f"return document.querySelector('{head}').ariaSort") == "ascending"
    click(browser, f"{head} button")
    assert column() == rising[::-1]


def test_verdict_buttons_hide_rows(browser) -> None:  # type: ignore[no-untyped-def]
    count = "return [...document.querySelectorAll('table.all tbody tr')].filter(row => row.offsetParent).length"
    open_all(browser)
    assert browser.execute_script(count) == 5, "passes are folded away"
    click(browser, "button[data-show=v-pass]")
    assert browser.execute_script(count) == 8
    click(browser, "button[data-show=v-fail]")
    assert browser.execute_script(count) == 6


def test_a_link_to_what_the_search_hides_shows_it(browser) -> None:  # type: ignore[no-untyped-def]
    browser.execute_script(
        "const box = document.getElementById('search'); box.value = 'no such word'; box.dispatchEvent(new Event('input'))"
    )
    hidden = """
        const target = (link) => document.getElementById(link.hash.slice(1))?.closest("[data-find]");
        const link = [...document.querySelectorAll("a[href^='#']")].find(target);
        if (arguments[0]) link.click();
        return target(link).offsetParent === null;
    """
    assert browser.execute_script(hidden, False) is True
    assert browser.execute_script(hidden, True) is False or browser.execute_script(hidden, False) is False
    assert browser.execute_script("return document.getElementById('search').value") == ""


def test_stack_turns_by_key_hides_parts_and_pulls_apart(browser) -> None:  # type: ignore[no-untyped-def]
    from selenium.webdriver.common.keys import Keys

    picture = "return document.getElementById('stack-view').toDataURL()"
    start = canvas_colours(browser)
    assert len(start) > 6
    canvas = browser.find_element("id", "stack-view")
    shots = [browser.execute_script(picture)]
    for key in (Keys.ARROW_RIGHT, Keys.ARROW_UP, "+", Keys.HOME):
        canvas.send_keys(key)
        canvas_colours(browser)
        shots.append(browser.execute_script(picture))
    assert len(set(shots)) == 4
    assert shots[-1] == shots[0]
    browser.execute_script(
        "const p = document.getElementById('pull'); p.value = 100; p.dispatchEvent(new Event('input'))"
    )
    canvas_colours(browser)
    assert browser.execute_script(picture) not in shots
    for _ in range(3):
        browser.execute_script("document.querySelector('#bodies input:checked').click()")
    assert len(canvas_colours(browser)) == 1


def test_keyboard_reaches_every_control(browser) -> None:  # type: ignore[no-untyped-def]
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    open_all(browser)
    wanted = browser.execute_script(
        "return document.querySelectorAll('a[href], button, input, select, summary, canvas, .scroll').length"
    )
    reached = set()
    for _ in range(wanted + 5):
        ActionChains(browser).send_keys(Keys.TAB).perform()
        reached.add(browser.execute_script(
            "const all = [...document.querySelectorAll('a[href], button, input, select, summary, canvas, .scroll')];"
            "return all.indexOf(document.activeElement)"
        ))  # fmt: skip
    assert len(reached - {-1}) == wanted


def test_narrow_screen_does_not_scroll_sideways(browser) -> None:  # type: ignore[no-untyped-def]
    browser.set_window_size(500, 900)
    try:
        assert browser.execute_script("return document.documentElement.scrollWidth <= window.innerWidth")
    finally:
        browser.set_window_size(1280, 1000)


def test_page_prints_light_and_without_controls(browser, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]

    import pypdfium2

    click(browser, "#theme")
    file = tmp_path / "page.pdf"
    file.write_bytes(printed(browser))
    document = pypdfium2.PdfDocument(file)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    corner = document[0].render(scale=0.5).to_pil().convert("RGB").getpixel((3, 3))
    document.close()
    assert "Before anything is cut or run" in text
    assert "Skip to" not in text
    assert min(corner) > 200
