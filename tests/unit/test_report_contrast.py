"""Words of page and pictures can be read in both themes: WCAG 2.1, success criterion 1.4.3, level AA: 4.5 to 1.

The relative luminance of a colour is that of the same document's glossary.
"""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

SHEETS = ("platemaker.views", "plan.css"), ("platemaker.report", "page.css")
WORDS = ("ink", "faint", "hot", "fail", "caution", "pass", "unknown")


def colours() -> dict[str, tuple[str, str]]:
    text = "".join(files(room).joinpath("data", name).read_text(encoding="utf-8") for room, name in SHEETS)
    found = re.findall(r"--([\w-]+): light-dark\((#[0-9a-f]{6}), (#[0-9a-f]{6})\)", text)
    return {name: (light, dark) for name, light, dark in found}


def luminance(colour: str) -> float:
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_itself() -> None:
    """WCAG: black on white is 21 to 1; #767676 is the lightest grey that passes on white."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") > 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "sheet", "metal"])
@pytest.mark.parametrize("words", WORDS)
def test_words_stand_out_from_their_ground(words: str, ground: str, theme: int) -> None:
    known = colours()
    assert contrast(known[words][theme], known[ground][theme]) >= 4.5
