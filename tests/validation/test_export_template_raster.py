"""Templates measured in pixels: the PDF is drawn by another library and its bars and pitches are measured.

Pitches come from published patterns: VESA FDMI MIS-D 100 has holes at 100 mm; ISO 9409-1-50-4-M6 has four holes on a
50 mm circle, so that neighbours stand 50/sqrt(2) mm apart. 4 in is 101.6 mm (NIST SP 811, exact). A survey's template
is of a rectangle whose sides and diagonal were read as 120, 90 and 150 mm (3-4-5).

Tolerance 0.1 mm: at 400 dots an inch a pixel is 0.0635 mm, and each end of a length falls on a pixel of its own.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import scipy.ndimage

from platemaker.export import write_survey_template
from platemaker.export._paper import about_of
from platemaker.export._sheet._template import template_pages, tiling_of
from platemaker.parts import Part, Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.survey import solve_file
from platemaker.views._ink._pdf import write_pdf
from tests.package_tree import ROOT

DOTS = 400
PIXEL = 25.4 / DOTS
TOLERANCE = 0.1


class Raster:
    """A page as dark and light pixels; places in mm from the lower left corner."""

    def __init__(self, page: pypdfium2.PdfPage) -> None:
        self.dark = page.render(scale=DOTS / 72, grayscale=True).to_numpy().reshape(-1, self.width_of(page)) < 128

    @staticmethod
    def width_of(page: pypdfium2.PdfPage) -> int:
        return math.ceil(page.get_width() * DOTS / 72)

    @property
    def height(self) -> float:
        return self.dark.shape[0] * PIXEL

    def runs_of_row(self, row: int) -> list[float]:
        """Lengths of the dark runs of a row of pixels, mm."""
        edges = np.flatnonzero(np.diff(np.concatenate(([0], self.dark[row].view(np.int8), [0]))))
        return [float(b - a) * PIXEL for a, b in zip(edges[::2], edges[1::2], strict=True)]

    def middle_across(self, x: float, y: float, reach: float) -> float:
        """Midway between the outermost dark pixels of one row between x - reach and x + reach, mm."""
        row = round((self.height - y) / PIXEL)
        columns = np.flatnonzero(self.dark[row, round((x - reach) / PIXEL) : round((x + reach) / PIXEL)])
        assert len(columns), f"nothing is drawn at {x:.2f}, {y:.2f}"
        return (round((x - reach) / PIXEL) + float(columns[0] + columns[-1]) / 2 + 0.5) * PIXEL


def example(name: str) -> Stack:
    return assemble(load_project(Path(ROOT) / "part_specs" / name))


def rasters(stack: Stack, part: Part, folder: Path) -> list[Raster]:
    path = folder / f"{part.name}.pdf"
    write_pdf(template_pages(part, about_of(stack, part, None)), path, part.name)
    return [Raster(page) for page in pypdfium2.PdfDocument(path)]


@pytest.mark.parametrize(("project", "name"), [("standard_faces", "adapter"), ("pump_engine", "lower_plate")])
def test_both_bars_on_every_page(project: str, name: str, tmp_path: Path) -> None:
    stack = example(project)
    pages = rasters(stack, stack.part(name), tmp_path)
    for page in pages:
        foot = range(page.dark.shape[0] - round(40 / PIXEL), page.dark.shape[0])
        runs = [run for row in foot for run in page.runs_of_row(row) if 95 < run < 110]
        lengths = sorted({round(run, 2) for run in runs})
        assert any(abs(run - 100.0) <= TOLERANCE for run in lengths), lengths
        assert any(abs(run - 101.6) <= TOLERANCE for run in lengths), lengths
        assert all(min(abs(run - 100.0), abs(run - 101.6)) <= TOLERANCE for run in lengths), lengths


def test_pitches_of_published_patterns(tmp_path: Path) -> None:
    stack = example("standard_faces")
    part = stack.part("adapter")
    [page] = rasters(stack, part, tmp_path)
    tiling = tiling_of(part, stack.unit)
    dx, dy = tiling.shift(tiling.tiles[0])

    def across(name: str) -> float:
        x, y, _ = part.cut(name).at  # type: ignore[union-attr]
        # Over the drill's circle and inside the cross: 3.7 mm over the centre only the upright arm is drawn.
        return page.middle_across(x + dx, y + dy + 3.7, 1.0)

    assert across("display_2") - across("display_1") == pytest.approx(100.0, abs=TOLERANCE)
    assert across("display_3") - across("display_4") == pytest.approx(100.0, abs=TOLERANCE)
    assert across("flange_1") - across("flange_2") == pytest.approx(50 / math.sqrt(2), abs=TOLERANCE)


def test_holes_of_a_survey_stand_as_far_apart_as_they_were_read(tmp_path: Path) -> None:
    spans = {"AB": 120, "BC": 90, "CD": 120, "AD": 90, "AC": 150, "BD": 150}
    rows = "".join(f"  - {{centres: [{a}, {b}], reads: {span}}}\n" for (a, b), span in spans.items())
    file = tmp_path / "pad.readings.yaml"
    head = "features: {A: {hole: 8.4}, B: {hole: 8.4}, C: {hole: 8.4}, D: {hole: 8.4}}\n"
    file.write_text(f"{head}datum: {{origin: A, x_towards: B, left: [D]}}\nreadings:\n{rows}", encoding="utf-8")
    write_survey_template(solve_file(file), "pad", "mm", tmp_path / "pad.pdf")
    [page] = [Raster(page) for page in pypdfium2.PdfDocument(tmp_path / "pad.pdf")]
    # What is drawn in one piece and 8.4 mm wide and high is a hole, with its cross; the pen adds up to 0.4 mm.
    pieces = scipy.ndimage.find_objects(scipy.ndimage.label(page.dark, np.ones((3, 3)))[0])
    ends = np.array([[(axis.start, axis.stop) for axis in piece] for piece in pieces]) * PIXEL
    sizes, middles = ends[..., 1] - ends[..., 0], ends.mean(axis=2)
    holes = middles[(np.abs(sizes - 8.6) < 0.3).all(axis=1)]
    found = sorted(math.dist(a, b) for a, b in itertools.combinations(holes, 2))
    assert found == pytest.approx([90, 90, 120, 120, 150, 150], abs=TOLERANCE)


def test_register_marks_stand_in_the_same_place_on_both_pages(tmp_path: Path) -> None:
    """The lap is there so that pages can be joined: what lies in it is drawn twice, as far apart as the tiles."""
    stack = example("pump_engine")
    part = stack.part("injector_bosses_drilling")
    pages = rasters(stack, part, tmp_path)
    tiling = tiling_of(part, stack.unit)
    assert len(pages) == len(tiling.tiles) == 2
    first, second = tiling.tiles
    lap = first.box[2] - second.box[0]
    assert lap == pytest.approx(14.0, abs=1e-9)
    # The diamonds in the lap: their upper corner stands in the lap's middle on both pages.
    high = first.box[1] + 0.04 * (first.box[3] - first.box[1]) + 3.6
    middle = second.box[0] + lap / 2
    for page, tile in zip(pages, tiling.tiles, strict=True):
        dx, dy = tiling.shift(tile)
        assert page.middle_across(middle + dx, high + dy, 2.0) - dx == pytest.approx(middle, abs=TOLERANCE)
