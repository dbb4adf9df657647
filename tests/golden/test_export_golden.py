"""Whole files as they were when they were last looked at and found right; a change of one must be meant.

To renew them after a change that was meant: run this file as a program from the project's root, then look at the
difference.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.export import write_dxf, write_hole_table
from platemaker.parts import Part
from tests import sample_parts as sample

HERE = Path(__file__).resolve().parent / "export"
PARTS = (sample.chiral_ell, sample.counterbore_and_pocket, sample.drilled_casting)


def write(part: Part, folder: Path) -> None:
    write_dxf(part, folder / f"{part.name}.dxf")
    write_hole_table(part, folder / f"{part.name}_holes.csv")


@pytest.mark.parametrize("make", PARTS, ids=lambda make: make.__name__)
def test_files_are_as_they_were_found_right(make: object, tmp_path: Path) -> None:
    part = make()  # type: ignore[operator]
    write(part, tmp_path)
    for name in (f"{part.name}.dxf", f"{part.name}_holes.csv"):
        assert (tmp_path / name).read_text(encoding="utf-8") == (HERE / name).read_text(encoding="utf-8")


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    for make_part in PARTS:
        write(make_part(), HERE)
