"""A part's section: hatched cut faces, the edges behind them, threads and axes."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from platemaker.parts import Part
from platemaker.plane import intersect
from platemaker.resolved import Cutting, SeenHole, resolved
from platemaker.views._ink._model import Clip, Hatch, Ink, Pen, View
from platemaker.views._labels import grown, joined


def section_ink(
    part: Part, cutting: Cutting, at: float, view: View, past: float, hot: Collection[str] = (), apart: float = 0.0
) -> Iterator[Ink]:
    """A section of a part; axes run `past` its holes, mm of the sheet. The page marks what the cuts in `hot` take.

    The lines of a thread stand at least `apart`, mm of the sheet, outside its drilled hole.
    """
    section = resolved(part).section(cutting, at)
    for face in section.faces:
        yield view.area(face, Pen.WIDE, "cutface")
        yield Hatch(face, view, "cutlines")
    yield from (view.line(edge.start, edge.end, Pen.NARROW, "behind") for edge in section.behind)
    for name in sorted(hot):
        # What a cut takes runs past its open ends.
        seen = intersect(section.taken_by(name), section.blank)
        yield from (view.area(region, Pen.NARROW, "taken hot") for region in seen)
    if not section.blank:
        return  # a plane that only grazes the part
    box = grown(view.box(joined(region.bounds for region in section.blank)), past)
    rooms = past / view.scale, apart / view.scale
    yield Clip(box, tuple(ink for one in section.holes for ink in _thread_and_axis(one, view, *rooms)))


def _thread_and_axis(seen: SeenHole, view: View, past: float, apart: float) -> Iterator[Ink]:
    """A thread's major diameter from the side: a thin line each side (ISO 6410-1; from memory), and its end."""
    if seen.axis is not None:
        (x0, y0), (x1, y1), (u, v) = seen.axis.start, seen.axis.end, seen.axis.tangent(0.0)
        yield view.line((x0 - past * u, y0 - past * v), (x1 + past * u, y1 + past * v), Pen.CENTRE, "centre")
    for thread in seen.threads:
        out = max(0.0, apart - (thread.end.length - seen.hole.diameter) / 2) if seen.axis is not None else 0.0
        u, v = thread.end.tangent(0.0)
        for side, way in zip(thread.sides, (-out, out), strict=True):
            (x0, y0), (x1, y1) = side.start, side.end
            yield view.line((x0 + way * u, y0 + way * v), (x1 + way * u, y1 + way * v), Pen.NARROW, "thread")
        if thread.runs_out:
            yield view.line(thread.end.start, thread.end.end, Pen.WIDE, "thread end")
