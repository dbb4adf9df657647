"""DXF of a part: R2010, millimetres, closed polylines with bulges and whole circles, no spline, no doubled line."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from platemaker.export._flat._drawing import Drawing, Drawn, drawing_of
from platemaker.parts import Part
from platemaker.plane import Circle, Line

MILLIMETRES, METRIC, DECIMAL = 4, 1, 2
COLOURS = {"CUT": 7, "TURN": 7, "STOCK": 8, "NOTE": 9, "MARK": 6, "BEND": 3, "TAP": 30, "CBORE": 150, "DRILL": 110}
"""Colour index of a layer by the first word of its name; milled figures have the last."""
MILLED = 42


def write_dxf(part: Part, path: Path) -> None:
    """Write the part's drawing. The same part gives the same bytes."""
    write_drawing(drawing_of(part), path)


def write_drawing(drawing: Drawing, path: Path) -> None:
    """Write a drawing. The same drawing gives the same bytes."""
    import ezdxf  # noqa: PLC0415 - only when a drawing is written

    with _fixed_dates(ezdxf):
        document = ezdxf.new("R2010")
        _head(document, drawing)
        _fill(document.modelspace(), drawing)
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
    for layer in sorted({drawn.layer for drawn in drawing.shapes} | {text.layer for text in drawing.texts}):
        document.layers.add(layer, color=COLOURS.get(layer.partition("_")[0], MILLED))


def _fill(space: Any, drawing: Drawing) -> None:
    for drawn in sorted(drawing.shapes, key=_order):
        at = {"layer": drawn.layer}
        if isinstance(drawn.shape, Circle):
            space.add_circle(drawn.shape.centre, drawn.shape.radius, dxfattribs=at)
        elif isinstance(drawn.shape, Line):
            space.add_line(drawn.shape.start, drawn.shape.end, dxfattribs=at)
        else:
            corners = [(*edge.start, 0.0 if isinstance(edge, Line) else edge.bulge) for edge in drawn.shape.edges]
            space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs=at)
    for text in sorted(drawing.texts, key=lambda it: (it.layer, it.at, it.text)):
        space.add_text(text.text, height=text.height, dxfattribs={"layer": text.layer}).set_placement(text.at)


def _order(drawn: Drawn) -> tuple[str, str, tuple[float, ...]]:
    shape = drawn.shape
    if isinstance(shape, Circle):
        return drawn.layer, "circle", (*shape.centre, shape.radius)
    if isinstance(shape, Line):
        return drawn.layer, "line", (*shape.start, *shape.end)
    return drawn.layer, "loop", tuple(number for edge in shape.edges for number in edge.start)


@contextmanager
def _fixed_dates(ezdxf: Any) -> Iterator[None]:
    """Write dates and ids of the file's making as constants; the library knows this only as a process-wide switch."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
