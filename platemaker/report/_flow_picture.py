"""The field's picture: speed in plan through the widest slab and in section along the flow."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from platemaker.export import OutputFolder
from platemaker.fields import FlowAnswer, Plane
from platemaker.report._field_picture import MAP, png_of
from platemaker.report._flow_text import flow_json

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

DENSITY = 1.6
"""How close the streamlines lie, in the drawing library's measure."""


def write_flow(answer: FlowAnswer, target: Path) -> Path:
    """Write numbers and, of a converged field, picture to the folder `target`, all at once. Raises OutputError."""
    with OutputFolder(target) as folder:
        stated = json.dumps(flow_json(answer), indent=1, ensure_ascii=False) + "\n"
        folder.path("flow", "json", "the field's numbers, for programs").write_text(stated, encoding="utf-8")
        if answer.field.converged:
            folder.path("flow", "png", "speed in plan and in section").write_bytes(picture(answer))
    return folder.target


def picture(answer: FlowAnswer) -> bytes:
    """PNG of both planes with one scale of speed, m/s. Raises ValueError where the field has no planes."""
    from matplotlib.figure import Figure  # noqa: PLC0415 - half a second

    field, slabs = answer.field, answer.volume.slabs
    if field.plan is None or field.section is None:
        message = "a field that did not converge has no picture"
        raise ValueError(message)
    figure = Figure(figsize=(11.0, 6.2), layout="constrained", facecolor="white")
    left, right = figure.subplots(1, 2, width_ratios=[1.25, 1.0])
    widest = max(slabs[1:-1] or slabs, key=lambda slab: sum(region.area for region in slab.regions))
    along = answer.volume.mirror[0] if answer.volume.mirror else "x"
    across = "xz" if along == "x" else "yz"
    fastest = field.fastest * answer.speed
    half = answer.volume.mirror
    plan = _doubled(_arrays(field.plan), half) if half else _arrays(field.plan)
    shown = _draw(left, *plan, "xy", answer.speed, fastest)
    _draw(right, *_arrays(field.section), across, answer.speed, fastest)
    right.invert_yaxis()
    for slab in slabs[1:]:
        right.axhline(slab.start, color="#75808a", lw=0.6, ls=(0, (4, 3)))
    left.set_title(f"plan, half way down {widest.name}", loc="left", fontsize=9)
    right.set_title("section along the flow, which comes from above", loc="left", fontsize=9)
    left.set_xlabel("X, mm")
    left.set_ylabel("Y, mm")
    right.set_xlabel(f"{across[0].upper()}, mm")
    right.set_ylabel("from the start of the duct, mm")
    figure.colorbar(shown, ax=[left, right], label="speed, m/s", location="bottom", shrink=0.6, aspect=45)
    return png_of(figure, 130)


Arrays = tuple[tuple[float, float, float, float], "dict[str, NDArray[np.float64]]"]


def _arrays(plane: Plane) -> Arrays:
    shape = plane.rows, plane.columns
    parts = {name: np.array(getattr(plane, name), dtype=float).reshape(shape) for name in "xyz"}
    return plane.box, parts


def _doubled(arrays: Arrays, mirror: tuple[str, float]) -> Arrays:
    """Both halves of a plan of which half is calculated: what lies on the other side of the line, mirrored."""
    box, parts = arrays
    axis, turned = (0, "y") if mirror[0] == "x" else (1, "x")
    found = {}
    for name, half in parts.items():
        other = np.flip(half, axis) * (-1.0 if name == turned else 1.0)
        found[name] = np.where(np.isnan(half), other, half)
    return box, found


def _draw(
    axes: Axes,
    box: tuple[float, float, float, float],
    parts: dict[str, NDArray[np.float64]],
    across: str,
    unit: float,
    fastest: float,
) -> Any:
    """Speed in colour, and streamlines of its part in the plane."""
    x0, y0, x1, y1 = box
    speed = np.sqrt(sum(one**2 for one in parts.values())) * unit
    rows, columns = speed.shape
    shown = axes.imshow(
        np.ma.masked_invalid(speed), origin="lower", extent=(x0, x1, y0, y1), cmap=MAP, vmin=0.0, vmax=fastest
    )
    us = x0 + (np.arange(columns) + 0.5) * (x1 - x0) / columns
    vs = y0 + (np.arange(rows) + 0.5) * (y1 - y0) / rows
    u, v = (np.ma.masked_invalid(parts[axis]) for axis in across)
    axes.streamplot(us, vs, u, v, color="white", density=DENSITY, linewidth=0.6, arrowsize=0.7)
    axes.set_xlim(x0, x1)
    axes.set_ylim(y0, y1)
    axes.tick_params(labelsize=8)
    return shown
