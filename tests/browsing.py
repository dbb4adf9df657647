"""A headless Chromium for the tests of pages."""

from __future__ import annotations

import base64
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
MARKS = [
    pytest.mark.browser,
    pytest.mark.skipif(not (CHROMIUM and DRIVER), reason="chromium and chromedriver are not installed"),
]
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=1280,1000",
)  # fmt: skip


@contextmanager
def started_browser(profile: Path) -> Iterator[Any]:
    """A browser whose console and requests can be asked for; it ends with the block."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM or ""
    for flag in (*FLAGS, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=DRIVER))
    try:
        yield driver
    finally:
        driver.quit()


def click(browser: Any, selector: str) -> None:
    """Click what `selector` finds first, wherever it stands."""
    browser.execute_script("document.querySelector(arguments[0]).click()", selector)


def printed(browser: Any) -> bytes:
    """The page as a PDF. The driver's own way of printing gives up after ten seconds, which a busy machine may need."""
    return base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", {})["data"])


def open_all(browser: Any) -> None:
    """Unfold all that is folded."""
    browser.execute_script("for (const one of document.querySelectorAll('details')) one.open = true")


def canvas_colours(browser: Any) -> set[tuple[int, ...]]:
    """The distinct colours of the picture of the stack, once it has been painted."""
    found = browser.execute_async_script(
        """
        const done = arguments[0];
        requestAnimationFrame(() => requestAnimationFrame(() => {
          const canvas = document.getElementById("stack-view");
          const data = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
          const seen = new Set();
          for (let i = 0; i < data.length; i += 4) seen.add(data[i] + "," + data[i + 1] + "," + data[i + 2]);
          done([...seen]);
        }));
        """
    )
    return {tuple(int(part) for part in text.split(",")) for text in found}
