"""Edge views as pictures: a whole section with its size, or a close look at one finding."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from platemaker.checks import Finding
from platemaker.parts import Part
from platemaker.plane import Box
from platemaker.resolved import Cutting, meets_hole, resolved
from platemaker.views._figures import cuts_named, mark_size
from platemaker.views._frame import Sheet, finished, letter_size, size_lines
from platemaker.views._holes import hole_tags
from platemaker.views._labels import Label, draw, grown, joined, place
from platemaker.views._numbers import Shown, shown
from platemaker.views._section import cutting_of, most_telling, section_box
from platemaker.views._svg import edge_data, element, group, region_data
from platemaker.views._walls import Wall, draw_wall, seen, tightest, wall_box, wall_label

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
    body = [
        *draw_section(part, cutting, level, (), sheet),
        group(lines, "sizes"),
        *(mark for wall in walls for mark in draw_wall(wall, size)),
        *draw(placed, unit),
    ]
    extent = grown(joined([box, *(spot.box for spot in placed)]), 0.8 * size)
    return finished(body, extent, sheet, f"{part.title}: {section_words(cutting, level).metric}.")


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
    body = [
        *draw_section(part, cutting, level, cuts_named(part, finding.features), sheet),
        *draw_wall(wall, size),
        *draw(placed, unit),
    ]
    return finished(body, window, sheet, f"{part.title}: {section_words(cutting, level).metric}.")


def draw_section(part: Part, cutting: Cutting, at: float, hot: Collection[str], sheet: Sheet) -> Iterator[str]:
    """The cut faces of a section, hatched, and what the cuts take out of them."""
    section = resolved(part).section(cutting, at)
    blank = [region_data(region) for region in section.blank]
    clip = element("clipPath", "".join(element("path", d=data) for data in blank), id=sheet.clip)
    yield element("defs", clip)
    for data in blank:
        yield element("path", d=data, class_="cutface")
        yield element("path", d=data, class_="cutlines", fill=f"url(#{sheet.hatch})")
    threads = {seen.hole.name: seen.threads for seen in section.holes}
    taken: list[str] = []
    # What runs into another cut is painted first, so that the other one hides where it ends inside.
    for cut in sorted(part.cuts, key=lambda one: not one.into):
        class_ = "taken hot" if cut.name in hot else "taken"
        taken += [element("path", d=region_data(one), class_=class_) for one in section.taken_by(cut.name)]
        # A thread's major diameter, seen from the side: a thin line each side (ISO 6410-1; from memory).
        lines = [line for thread in threads.get(cut.name, ()) for line in (*thread.sides, thread.end)]
        taken += [element("path", d=edge_data(line), class_="thread") for line in lines]
    yield element("g", "".join(taken), clip_path=f"url(#{sheet.clip})")
    for data in blank:
        yield element("path", d=data, class_="outline")


def section_words(cutting: Cutting, at: float) -> Shown:
    """Where a section is taken."""
    level = shown(at, named=False)
    return Shown(f"section at {cutting.value} = {level.metric}", f"section at {cutting.value} = {level.inch}")


def _close_window(wall: Wall, whole: Box) -> Box:
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
