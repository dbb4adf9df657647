"""Tables of belts: lengths that rise, sections against what was read elsewhere."""

from __future__ import annotations

from itertools import pairwise

import pytest

from platemaker.catalog import BeltFamily, belt_lengths, belt_section, belt_sections
from platemaker.errors import CatalogError


def test_lengths_of_every_section_rise() -> None:
    for section in belt_sections().values():
        lengths = belt_lengths(section)
        assert len(lengths) > 10
        assert all(a < b for a, b in pairwise(lengths)), section.section


def test_toothed_lengths_are_whole_teeth() -> None:
    for section in belt_sections().values():
        if section.family is BeltFamily.TOOTHED:
            assert all(
                length / section.pitch == pytest.approx(round(length / section.pitch), abs=1e-3)
                for length in belt_lengths(section)
            )


@pytest.mark.parametrize(
    ("section", "pitch"),
    # Rib pitches of ISO 9982, read in a published glossary; tooth pitches of ISO 5296, read in another.
    [("PH", 1.6), ("PJ", 2.34), ("PK", 3.56), ("PL", 4.7), ("PM", 9.4),
     ("XL", 5.08), ("L", 9.525), ("H", 12.7), ("XH", 22.225)],
)  # fmt: skip
def test_pitches_that_were_read(section: str, pitch: float) -> None:
    assert belt_section(section).pitch == pitch


def test_pk_as_published() -> None:
    """ISO 9981, published excerpt: least effective diameter 45 mm, effective line differential 2 mm."""
    row = belt_section("PK")
    assert (row.least_diameter, row.differential) == (45, 2)


def test_heights_that_were_read() -> None:
    """Published data sheet of classical sections: A 13 x 8, B 17 x 11, C 22 x 14."""
    assert [belt_section(name).height for name in "ABC"] == [8, 11, 14]


def test_larger_sections_want_larger_pulleys() -> None:
    for family in BeltFamily:
        rows = [row for row in belt_sections().values() if row.family is family and row.standard != "ISO 13050"]
        for a, b in pairwise(rows):
            assert a.least_diameter < b.least_diameter
            assert a.height < b.height
            assert a.mass < b.mass
            assert a.least_back_diameter <= b.least_back_diameter


def test_an_unknown_section_is_refused_with_the_nearest() -> None:
    with pytest.raises(CatalogError, match="PK"):
        belt_section("6PK")
