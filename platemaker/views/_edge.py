"""Edge views as pictures: a whole section with its size, or a close look at one finding."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.checks import Finding
from platemaker.parts import Part
from platemaker.plane import Box
from platemaker.resolved import Cutting, meets_hole
from platemaker.views._frame import Sheet, finished, letter_size, size_lines
from platemaker.views._holes import hole_tags
from platemaker.views._ink._model import TRUE
from platemaker.views._labels import Label, grown, joined, label_ink, place
from platemaker.views._numbers import Shown, shown
from platemaker.views._part_plan import cuts_named, mark_size
from platemaker.views._section import cutting_of, most_telling, section_box
from platemaker.views._section_ink import section_ink
from platemaker.views._walls import WallMark, seen, tightest, wall_box, wall_ink, wall_label

EDGE_LETTERS, EDGE_WALLS = 68, 4
CLOSE_LETTERS = 30


def section_svg(
    part: Part,
    findings: Sequence[Finding] = (),
    *,
    at: tuple[Cutting, float] | None = None,
    unit: str = "mm",
    sheet: Sheet | None = None,
) -> str:
    """A section through a part, by default where it shows most, with its size and the tightest heights in it."""
    sheet = sheet or Sheet(f"{part.name}-section")
    cutting, level = at or most_telling(part, findings)
    box = section_box(part, cutting)
    size = letter_size(box, EDGE_LETTERS)
    near = [one for one in findings if one.part == part.name and _in_plane(one, cutting, level)]
    walls = tightest(near, cutting.flat, EDGE_WALLS)
    lines, size_labels = size_lines(box, size)
    labels = [*size_labels, *(wall_label(wall, size) for wall in walls), *_tags(part, cutting, level, size)]
    x0, y0, x1, y1 = box
    beside = (x0 - 5 * size, y0 - 4 * size, x0, y1), (x0, y0 - 4 * size, x1, y0 - 2.5 * size)
    placed = place(labels, [box, *beside, *(wall_box(wall, size) for wall in walls)])
    ink = [
        *section_ink(part, cutting, level, TRUE, size),
        lines,
        *(mark for wall in walls for mark in wall_ink(wall, size)),
        *label_ink(placed),
    ]
    extent = grown(joined([box, *(spot.box for spot in placed)]), 0.8 * size)
    return finished(ink, extent, sheet, f"{part.title}: {section_words(cutting, level).metric}.", unit)


def close_section_svg(part: Part, finding: Finding, *, unit: str = "mm", sheet: Sheet | None = None) -> str:
    """A section close round one finding, through its two points."""
    sheet = sheet or Sheet(f"{part.name}-section")
    cutting, level = cutting_of(finding)
    wall = seen(finding, cutting.flat)
    window = _close_window(wall, section_box(part, cutting))
    size = letter_size(window, CLOSE_LETTERS)
    title = Label(section_words(cutting, level), (window[0], window[3]), 0.0, 0.9 * size, "caption", fixed=True)
    title = Label(title.text, (window[0] + title.width / 2 + size, window[3] - size), 0.0, 0.9 * size, "caption", True)
    placed = place([title, wall_label(wall, 1.25 * size)], [wall_box(wall, size)], inside=grown(window, -0.1 * size))
    hot = cuts_named(part, finding.features)
    ink = [*section_ink(part, cutting, level, TRUE, size, hot), *wall_ink(wall, size), *label_ink(placed)]
    return finished(ink, window, sheet, f"{part.title}: {section_words(cutting, level).metric}.", unit)


def section_words(cutting: Cutting, at: float) -> Shown:
    """Where a section is taken."""
    level = shown(at, named=False)
    return Shown(f"section at {cutting.value} = {level.metric}", f"section at {cutting.value} = {level.inch}")


def _close_window(wall: WallMark, whole: Box) -> Box:
    x, y = wall.middle
    half = max(1.6 * wall.length, 0.75 * (whole[3] - whole[1]), 8.0)
    return x - 1.35 * half, y - 0.9 * half, x + 1.35 * half, y + 0.9 * half


def _in_plane(finding: Finding, cutting: Cutting, level: float) -> bool:
    """Whether both points of a finding lie in a plane, within a micrometre."""
    return all(abs(point[cutting.fixed] - level) < 1e-3 for point in finding.points)


def _tags(part: Part, cutting: Cutting, level: float, size: float) -> Iterator[Label]:
    tags = hole_tags(part)
    for hole in part.holes:
        if meets_hole(hole, cutting, level):
            yield Label(Shown(tags[hole.name], tags[hole.name]), cutting.flat(hole.at), 0.3 * mark_size(hole), size)
