"""The first screen of the page in a real browser: verdict, picture and what to settle at once, nothing cut off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, Verdict, check_stack
from platemaker.export import Made
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.report import Cure, Mesh, Meta, draft_html, items_of, render_html
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.browsing import MARKS, canvas_colours, click, open_all, printed, started_browser
from tests.frozen_demo import FROZEN
from tests.package_tree import ROOT

pytestmark = MARKS
SIZES = ((1400, 900), (390, 844))
FILES = (Made("lower_plate.step", "solid", "lower_plate"), Made("report.md", "check report"))


@pytest.fixture(scope="module")
def stack() -> Stack:
    return assemble(load_project(FROZEN))


@pytest.fixture(scope="module")
def findings(stack: Stack) -> tuple[Finding, ...]:
    return check_stack(stack, samples=50)


def boxes(stack: Stack) -> list[Mesh]:
    """Every part as the box round it, where it stands."""
    quads = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    triangles = [three for a, b, c, d in quads for three in ((a, b, c), (a, c, d))]
    made = []
    for part in stack.parts:
        x, y, z = zip(part.stock.box[:3], part.stock.box[3:], strict=True)
        corners = [(a, b, c) for c in z for b in y for a in x]
        made += [Mesh(part.name, [frame.to_world(one) for one in corners], triangles) for frame in part.places[:1]]
    return made


@pytest.fixture(scope="module")
def address(stack: Stack, findings: tuple[Finding, ...], tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page with a cure for each of the three items that it shows: one key of two twin parts, and a second key."""
    twins = "parts.lower_plate.thickness and parts.blower_plate.thickness"
    also = ("parts.blower_plate.pocket.depth", "12", "11.5")
    cure = Cure(twins, "25 mm", "28 mm", ("3 findings",), ("mass up by 0.4 kg",), (also,))
    cures = {item.identity: (cure,) for item in items_of(stack, findings)[:3]}
    items = items_of(stack, findings, cures)
    path = tmp_path_factory.mktemp("page") / "report.html"
    text = draft_html(stack, findings, Meta("0.1.0", "ab" * 32), boxes(stack), items=items)(FILES)
    path.write_text(text, encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with started_browser(tmp_path_factory.mktemp("profile")) as driver:
        yield driver


@pytest.fixture(params=SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def browser(started: Any, address: str, request: pytest.FixtureRequest) -> Iterator[Any]:
    width, height = request.param
    size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}
    started.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    started.get_log("browser")
    started.get("about:blank")
    started.get(address)
    canvas_colours(started)
    yield started
    assert [entry["message"] for entry in started.get_log("browser")] == []


def test_verdict_picture_and_three_items_with_their_cures_are_on_the_first_screen(browser: Any) -> None:
    seen = browser.execute_script(
        """
        const what = [".answer", ".verdict .why", "#stack-view", ".settle li:nth-child(1)", ".settle li:nth-child(2)",
          ".settle li:nth-child(3)", ".settle li:nth-child(3) .cures"];
        return what.map((one) => { const b = document.querySelector(one).getBoundingClientRect();
          return [one, b.left, b.top, b.right, b.bottom, window.innerWidth, window.innerHeight]; });
        """
    )
    for what, left, top, right, bottom, width, height in seen:
        assert 0 <= left < right <= width, what
        assert 0 <= top < bottom <= height, what
    text = browser.execute_script("return document.querySelector('.verdict').innerText")
    assert re.search(r"Not ready to order\s+.*\d+ items? with cautions to (settle|cure)", text, re.DOTALL)
    assert len(canvas_colours(browser)) > 10
    assert browser.execute_script("return document.getElementById('stack-view').dataset.spots") == "1 2 3"


def test_what_was_not_checked_and_the_files_are_near(browser: Any) -> None:
    """On the first screen of a desk, right below it on a phone."""
    ends = browser.execute_script(
        "return ['#missing-title', '#files-title'].map((one) => document.querySelector(one).getBoundingClientRect().top)"
        ".concat(innerHeight, innerWidth)"
    )
    assert max(ends[:2]) < ends[2] * (1 if ends[3] > 500 else 2)
    links = browser.execute_script(
        "return [...document.querySelectorAll('#files a')].map((a) => a.getAttribute('href'))"
    )
    assert {made.name for made in FILES} | {"manifest.json"} == set(links)


def test_nothing_is_cut_off_with_everything_open(browser: Any) -> None:
    open_all(browser)
    assert browser.execute_script("return document.documentElement.scrollWidth") <= browser.execute_script(
        "return window.innerWidth"
    )
    nav = browser.execute_script(
        "return [...document.querySelectorAll('nav, nav ul')].map((n) => n.scrollWidth - n.clientWidth)"
    )
    assert max(nav) <= 0, "a sideways scroll bar"
    outside = browser.execute_script(
        """
        return [...document.querySelectorAll("#first *, nav *, .item *")].filter((one) => {
          if (one.closest("svg, .scroll, details:not([open])") || !one.getClientRects().length) return false;
          const box = one.getBoundingClientRect();
          return box.right > window.innerWidth + 1 || box.left < -1;
        }).map((one) => one.outerHTML.slice(0, 80));
        """
    )
    assert outside == []


def lone_millimetres(browser: Any) -> list[str]:
    """Lengths in mm without their inches behind them, all unfolded and switched to inches; mm in a compound unit is none."""
    open_all(browser)
    click(browser, "button[data-show=v-pass]")
    click(browser, "button[data-unit=in]")
    text = browser.execute_script("return document.body.innerText")
    assert len(re.findall(r"\d in\b", text)) > 100
    return re.findall(r".{0,60}\d mm[23²³]?(?![\w/]| \([-+]?\d).{0,20}", text)


PROPOSED = re.compile(r"\{(rectangle|circle|points|row): ")
"""A pattern as a spec is to have it, word for word."""


def overlaps(piece: str, words: str) -> bool:
    """Whether a piece of the page has its millimetres out of some words of the spec."""
    size = re.search(r"\S+ \d[\d.]* mm", piece)
    return size is not None and size[0] in words


def test_inch_mode_leaves_no_lone_millimetre(browser: Any) -> None:
    lone = lone_millimetres(browser)
    # The cure above is in the words of the spec, which keep their own unit, and so are proposed patterns.
    assert [one for one in lone if "plate.thickness" not in one and not PROPOSED.search(one)] == []


@pytest.mark.parametrize("name", ["pump_engine", "standard_faces"])
def test_pages_of_the_examples(name: str, started: Any, tmp_path: Path) -> None:
    """On both screens verdict, picture and up to three items, nothing cut off; no lone mm in inches; six pages at most."""
    import pypdfium2

    stack = assemble(load_project(ROOT / "part_specs" / name))
    file = tmp_path / "report.html"
    text = render_html(stack, check_stack(stack, samples=50), Meta("0.1.0", "ab" * 32), boxes(stack))
    file.write_text(text, encoding="utf-8")
    started.get_log("browser")
    for width, height in SIZES:
        size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}
        started.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
        started.get("about:blank")
        started.get(file.as_uri())
        ends = started.execute_script(
            "return [...document.querySelectorAll('.answer, .verdict .why, #stack-view, .settle li')]"
            ".map((one) => one.getBoundingClientRect().bottom)"
        )
        assert len(ends) >= 5
        assert max(ends) <= height
        open_all(started)
        assert started.execute_script("return document.documentElement.scrollWidth") <= width
    kept = [
        stack.title,
        "100 mm pattern",
        *(one.because for one in stack.accept),
        *(one.source for one in stack.joints),
    ]
    lone = [one for one in lone_millimetres(started) if not PROPOSED.search(one)]
    assert [one for one in lone if not any(overlaps(one, words) for words in kept)] == []
    printing = tmp_path / "page.pdf"
    started.get(file.as_uri())
    printing.write_bytes(printed(started))
    document = pypdfium2.PdfDocument(printing)
    assert len(document) <= 6
    document.close()
    assert [entry["message"] for entry in started.get_log("browser")] == []


def test_search_and_part_filter_leave_what_matches(browser: Any) -> None:
    shown = "return [...document.querySelectorAll('.item, table.all tbody tr')].filter((one) => !one.hidden)"
    click(browser, "button[data-show=v-pass]")
    everything = browser.execute_script(f"{shown}.length")
    browser.execute_script(
        "const box = document.getElementById('search'); box.value = 'Thread engagement';"
        "box.dispatchEvent(new Event('input'))"
    )
    texts = browser.execute_script(f"{shown}.map((one) => one.textContent.toLowerCase())")
    assert 0 < len(texts) < everything
    assert all("thread" in text and "engagement" in text for text in texts)
    assert "findings" in browser.execute_script("return document.getElementById('matches').textContent")
    browser.execute_script(
        "const box = document.getElementById('search'); box.value = ''; const part = document.getElementById("
        "'part-filter'); part.value = 'fuel_rail'; part.dispatchEvent(new Event('change'))"
    )
    parts = browser.execute_script(f"{shown}.map((one) => one.dataset.parts)")
    assert parts
    assert all("fuel_rail" in one.split() for one in parts)


def test_an_item_opens_beside_its_picture(browser: Any) -> None:
    click(browser, ".settle li:nth-child(2) a")
    opened, left, right = browser.execute_script(
        "const one = document.getElementById('item-1');"
        "return [one.open, ...['.picture', '.stated'].map((it) => one.querySelector(it).getBoundingClientRect())]"
    )
    assert opened
    width = browser.execute_script("return window.innerWidth")
    assert left["right"] <= right["left"] if width > 500 else left["bottom"] <= right["top"]
    assert left["width"] > 100


def test_a_link_opens_what_is_folded(browser: Any) -> None:
    click(browser, "nav a[href='#findings']")
    browser.execute_async_script("setTimeout(arguments[0], 50)")
    assert browser.execute_script("return document.querySelector('#findings > details').open")


def test_the_print_has_at_most_six_pages_and_the_picture_of_the_stack(browser: Any, tmp_path: Path) -> None:
    import pypdfium2

    file = tmp_path / "page.pdf"
    file.write_bytes(printed(browser))
    document = pypdfium2.PdfDocument(file)
    first, pages = document[0].render(scale=1).to_pil().convert("RGB"), len(document)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    assert 2 <= pages <= 6
    # The grey-blue of the boxes, lit from three sides, above the first heading: the boxes' own colour is #9aabb2.
    upper = first.crop((0, 0, first.width, first.height // 2)).getcolors(maxcolors=1 << 24) or []
    assert sum(count for count, (r, g, b) in upper if r < g < b and 60 < g < 180) > 500
    for word in ("Settle this first", "Not checked", "Why it matters", "Before anything is cut or run"):
        assert word in text
    assert "All findings" not in text


def test_the_whole_listing_prints_too(browser: Any, tmp_path: Path) -> None:
    import pypdfium2

    browser.execute_script("document.documentElement.dataset.print = 'all'")
    file = tmp_path / "page.pdf"
    file.write_bytes(printed(browser))
    document = pypdfium2.PdfDocument(file)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    assert "All findings" in text


def test_a_design_that_is_settled_says_so(stack: Stack, findings: tuple[Finding, ...]) -> None:
    accepted = [
        replace(one, verdict=Verdict.ACCEPTED, because="seen to on the bench")
        if one.verdict is Verdict.CAUTION
        else one
        for one in findings
        if one.verdict is not Verdict.FAIL
    ]
    text = render_html(stack, accepted, Meta("0.1.0", "ab" * 32))
    assert "Ready to order as far as checked" in text
    assert "Accepted in the spec" in text
    assert "seen to on the bench" in text
