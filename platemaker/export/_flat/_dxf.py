"""DXF of a part: R2010, millimetres, closed polylines with bulges and whole circles, no spline, no doubled line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from platemaker.errors import GeometryError
from platemaker.export._flat._drawing import Drawing, drawing_of
from platemaker.export._names import MARK
from platemaker.parts import Part
from platemaker.plane import Circle, Line
from platemaker.views import Align, EllipseCurve, Ink, Stroke, Text

MILLIMETRES, METRIC, DECIMAL = 4, 1, 2
COLOURS = {
    "CUT": 7, "TURN": 7, "STOCK": 8, "NOTE": 9, "MARK": 6, "CENTRE": 5, "BEND": 3,
    "TAP": 30, "CBORE": 150, "DRILL": 110,
}  # fmt: skip
"""Colour index of a layer by the first word of its name; milled figures have the last."""
MILLED = 42


def write_dxf(part: Part, path: Path) -> None:
    """Write the part's drawing. The same part gives the same bytes."""
    write_drawing(drawing_of(part), path)


def write_drawing(drawing: Drawing, path: Path) -> None:
    """Write a drawing. The same drawing gives the same bytes.

    Raises GeometryError for ink that a machine cannot follow: only lines, arcs, circles and level text are written.
    """
    import ezdxf  # noqa: PLC0415 - only when a drawing is written

    if other := next((one for one in drawing.ink if not isinstance(one, Stroke | Text)), None):
        raise _refused(other)
    with _fixed_dates(ezdxf):
        document = ezdxf.new("R2010")
        _head(document, drawing)
        _fill(document.modelspace(), drawing.ink)
        # The library adds these by itself from a set, whose order changes from process to process.
        for kind in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(kind)
        with path.open("w", encoding="utf-8", newline="\n") as file:
            document.write(file)


def _head(document: Any, drawing: Drawing) -> None:
    x0, y0, x1, y1 = drawing.bounds
    header = {
        "$INSUNITS": MILLIMETRES,
        "$MEASUREMENT": METRIC,
        "$LUNITS": DECIMAL,
        "$EXTMIN": (x0, y0, 0.0),
        "$EXTMAX": (x1, y1, 0.0),
    }
    for name, value in header.items():
        document.header[name] = value
    # As it writes, the library takes the extents from the layout.
    document.modelspace().reset_extents((x0, y0, 0.0), (x1, y1, 0.0))
    for layer in sorted({one.look for one in drawing.ink}):
        document.layers.add(layer, color=COLOURS.get(layer.partition("_")[0], MILLED))


def _fill(space: Any, ink: Sequence[Ink]) -> None:
    strokes = [one for one in ink if isinstance(one, Stroke)]
    texts = [one for one in ink if isinstance(one, Text)]
    for stroke in sorted(strokes, key=_order):
        _stroke(space, stroke)
    for text in sorted(texts, key=lambda it: (it.look, it.at, it.text)):
        if text.turned or text.align is not Align.START:
            raise _refused(text)
        space.add_text(text.text, height=text.size, dxfattribs={"layer": text.look}).set_placement(text.at)


def _stroke(space: Any, stroke: Stroke) -> None:
    run, at = stroke.run, {"layer": stroke.look}
    if isinstance(run, Circle):
        space.add_circle(run.centre, run.radius, dxfattribs=at)
    elif isinstance(run, EllipseCurve) or not (stroke.closed or len(run) == 1 or stroke.look == MARK):
        raise _refused(stroke)
    elif stroke.closed or len(run) > 1:
        corners = [(*edge.start, 0.0 if isinstance(edge, Line) else edge.bulge) for edge in run]
        ends = [] if stroke.closed else [(*run[-1].end, 0.0)]
        space.add_lwpolyline([*corners, *ends], format="xyb", close=stroke.closed, dxfattribs=at)
    elif isinstance(run[0], Line):
        space.add_line(run[0].start, run[0].end, dxfattribs=at)
    else:
        start, end = (math.degrees(turn) for turn in sorted((run[0].start_angle, run[0].start_angle + run[0].sweep)))
        space.add_arc(run[0].centre, run[0].radius, start, end, dxfattribs=at)


def _refused(ink: Ink) -> GeometryError:
    return GeometryError(f"a DXF holds lines, arcs, circles and level text; it cannot hold {ink}")


def _order(stroke: Stroke) -> tuple[str, str, tuple[float, ...]]:
    run = stroke.run
    if isinstance(run, Circle):
        return stroke.look, "circle", (*run.centre, run.radius)
    edges = () if isinstance(run, EllipseCurve) else run
    if not stroke.closed:
        return stroke.look, "line", tuple(number for edge in edges for number in (*edge.start, *edge.end))
    return stroke.look, "loop", tuple(number for edge in edges for number in edge.start)


@contextmanager
def _fixed_dates(ezdxf: Any) -> Iterator[None]:
    """Write dates and ids of the file's making as constants; the library knows this only as a process-wide switch."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
