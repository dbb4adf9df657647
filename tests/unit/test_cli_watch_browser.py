"""The live page in a real browser: it follows the board, keeps the reader's place, and what a spec says stays text."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from platemaker.cli._board import Board
from platemaker.cli._serve import serving
from platemaker.report import render_html
from tests.sample_findings import plate_findings
from tests.sample_pages import HOSTILE, META, sample_page_stack

CHROMIUM, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not (CHROMIUM and DRIVER), reason="chromium and chromedriver are not installed"),
]
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--window-size=1280,900")
PATIENCE = 30.0


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Any]:
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM or ""
    for flag in (*FLAGS, f"--user-data-dir={tmp_path / 'profile'}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=DRIVER))
    yield driver
    driver.quit()


def until(test: Callable[[], Any]) -> None:
    end = time.monotonic() + PATIENCE
    while not test():
        if time.monotonic() > end:
            pytest.fail("what was awaited did not come")
        time.sleep(0.05)


def test_the_page_follows_and_keeps_the_readers_place(browser: Any, tmp_path: Path) -> None:
    exports = tmp_path / "exports"
    exports.mkdir()
    report = exports / "report.html"
    report.write_text(render_html(sample_page_stack(), plate_findings(), META), encoding="utf-8")
    board = Board("cover")

    def inside(code: str) -> Any:
        return browser.execute_script(f"const page = document.getElementById('page').contentDocument; {code}")

    with serving(board, 0) as server:
        browser.get(server.address)
        board.built(exports)
        until(lambda: inside("return page && page.getElementById('findings') !== null"))
        inside("page.getElementById('findings').scrollIntoView(); page.querySelector('button[data-unit=in]').click()")
        before = inside("return page.documentElement.scrollTop")
        assert before > 500

        board.wrong((f"project.yaml:3: {HOSTILE}",))
        until(lambda: browser.execute_script("return !document.getElementById('faults').hidden"))
        stated = browser.execute_script("return document.querySelector('#faults li').textContent")
        assert stated == f"project.yaml:3: {HOSTILE}"
        assert browser.execute_script("return window.hacked === undefined && document.images.length === 0")
        assert inside("return page.getElementById('findings') !== null"), "the last good page stays"

        inside("page.body.dataset.old = 'yes'")
        board.built(exports)
        until(lambda: inside("return page && page.readyState === 'complete' && !page.body.dataset.old"))
        until(lambda: inside("return page.documentElement.dataset.unit") == "in")
        assert inside("return page.documentElement.scrollTop") == pytest.approx(before, abs=2), "whole pixels"
        assert browser.execute_script("return document.getElementById('faults').hidden")
        assert [entry["message"] for entry in browser.get_log("browser")] == []
