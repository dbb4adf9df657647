"""The field's picture: speed and streamlines in plan through the widest slab and in section along the flow."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from platemaker.export import OutputFolder
from platemaker.fields import AirVolume, FlowAnswer, Slab, SpeedPlane, edge_profile
from platemaker.plane import Arc, Loop, Region, unite
from platemaker.report._field_picture import middles, png_of
from platemaker.report._flow_text import flow_json
from platemaker.resolved import Cutting, crossings
from platemaker.views import MAP

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

WIDE, DPI = 1320, 110
"""Width of the picture, pixels, and its pixels per inch."""
DENSITY = 1.3
"""How close the streamlines lie, in the drawing library's measure."""
SLOW, ACROSS = 0.03, 0.4
"""Share of the largest speed below which air counts as still, and share of the speed in the plane from which a
streamline is drawn: in a plan, air that falls straight through a port has none."""
LIGHT, DARK = "white", "#10151c"
"""A streamline and what lies under it, to be seen on slow air and on fast."""
WALLS = 9
"""Points along the edge of an entry, as drawn."""


def write_flow(answer: FlowAnswer, target: Path) -> Path:
    """Write numbers and, of a converged field, picture to the folder `target`, all at once. Raises OutputError."""
    with OutputFolder(target) as folder:
        stated = json.dumps(flow_json(answer), indent=1, ensure_ascii=False) + "\n"
        folder.path("flow", "json", "the field's numbers, for programs").write_text(stated, encoding="utf-8")
        if answer.field.converged:
            folder.path("flow", "png", "speed in plan and in section").write_bytes(picture(answer))
    return folder.target


def picture_size(answer: FlowAnswer) -> tuple[int, int]:
    """Width and height of the picture, pixels, by the shapes of its planes."""
    boxes = [plane.box for plane in (answer.field.plan, answer.field.section) if plane]
    wide = sum(box[2] - box[0] for box in boxes)
    tall = max((box[3] - box[1]) / wide for box in boxes)
    return WIDE, round(WIDE * 0.92 * tall + 1.6 * DPI)


def picture(answer: FlowAnswer) -> bytes:
    """PNG of both planes with one scale of speed, m/s. Raises ValueError where the field has no planes."""
    from matplotlib.figure import Figure  # noqa: PLC0415 - half a second

    volume = answer.volume
    plan, section = plan_of(answer), section_of(answer)
    across, down = picture_size(answer)
    figure = Figure(figsize=(across / DPI, down / DPI), layout="constrained", facecolor="white")
    wide, other = (box[2] - box[0] for box, _ in (plan, section))
    left, right = figure.subplots(1, 2, width_ratios=[wide, other])
    shown = _draw(left, plan, "xy", _plan_paths(volume), answer)
    along = volume.cut[0]
    _draw(right, section, f"{along}z", _section_paths(volume), answer)
    right.invert_yaxis()
    words = f"plan, half way down {volume.widest.name}; dashed: where air enters and leaves"
    left.set_title(words, loc="left", fontsize=9)
    words = f"section at {'Y' if along == 'x' else 'X'} = {volume.cut[1]:.4g} mm, flow from above"
    right.set_title(words, loc="left", fontsize=9)
    _ports(left, volume)
    left.set_ylabel("Y, mm", fontsize=8)
    left.set_xlabel("X, mm", fontsize=8)
    right.set_xlabel(f"{along.upper()}, mm", fontsize=8)
    right.set_ylabel("along the flow, mm", fontsize=8)
    bar = figure.colorbar(shown, ax=[left, right], location="bottom", shrink=0.6, aspect=50)
    bar.ax.set_title("speed, m/s; streamlines are thicker where the air is faster", fontsize=8)
    bar.ax.tick_params(labelsize=8)
    return png_of(figure, DPI)


Arrays = tuple[tuple[float, float, float, float], "dict[str, NDArray[np.float64]]"]
Outline = list[tuple[float, float]]


def plan_of(answer: FlowAnswer) -> Arrays:
    """Box of the plan and its components of speed over the mean at the entry. Raises ValueError without one."""
    plan, mirror = _arrays(answer.field.plan), answer.volume.mirror
    return _doubled(plan, mirror) if mirror else plan


def section_of(answer: FlowAnswer) -> Arrays:
    """The same of the section, whose second axis leads along the flow."""
    return _arrays(answer.field.section)


def _arrays(plane: SpeedPlane | None) -> Arrays:
    if plane is None:
        message = "a field that did not converge has no picture"
        raise ValueError(message)
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


def _plan_paths(volume: AirVolume) -> list[Outline]:
    return [_points(loop) for region in volume.widest.regions for loop in region.loops]


def _points(loop: Loop) -> Outline:
    found: Outline = []
    for edge in loop.edges:
        count = max(1, round(abs(edge.sweep) * 8)) if isinstance(edge, Arc) else 1
        found += [edge.point(k / count) for k in range(count)]
    return found


def _section_paths(volume: AirVolume) -> list[Outline]:
    """Walls of the air in the section, with the edges of entries."""
    whole = unite(*(Region(Loop.rounded(one[::-1])) for one in _ways(volume)))
    return [_points(loop) for region in whole for loop in region.loops]


def _ways(volume: AirVolume) -> list[Outline]:
    """A figure in the section for each way through a slab."""
    along, at = volume.cut
    cutting = Cutting.ACROSS_Y if along == "x" else Cutting.ACROSS_X
    found = []
    for slab in volume.slabs:
        shares = np.linspace(0.0, 1.0, WALLS if slab.edge else 2)
        out = [_out(slab, share) for share in shares]
        depths = [slab.start + share * (slab.end - slab.start) for share in shares]
        for region in slab.regions:
            for low, high in crossings(region, cutting, at):
                down = [(low - one, z) for one, z in zip(out, depths, strict=True)]
                found.append([*down, *reversed([(high + one, z) for one, z in zip(out, depths, strict=True)])])
    return found


def _out(slab: Slab, share: float) -> float:
    return slab.edge.wide * edge_profile(share, rounded=slab.edge.rounded) if slab.edge else 0.0


def _ports(axes: Axes, volume: AirVolume) -> None:
    """Outlines of the ports in the plan."""
    for slab in (volume.slabs[0], volume.slabs[-1]):
        for region in slab.regions:
            for colour, wide in ((DARK, 2.0), (LIGHT, 1.0)):
                points = _points(region.outer)
                axes.plot(*zip(*points, points[0], strict=True), color=colour, lw=wide, ls=(0, (4, 2)), zorder=3)


def _draw(axes: Axes, arrays: Arrays, across: str, outlines: Sequence[Outline], answer: FlowAnswer) -> Any:
    """Speed in colour within the outlines, and streamlines of its part in the plane."""
    from matplotlib.patches import PathPatch  # noqa: PLC0415 - half a second
    from matplotlib.path import Path as Way  # noqa: PLC0415

    (x0, y0, x1, y1), parts = arrays
    fastest = answer.field.fastest * answer.speed
    speed = np.sqrt(sum(one**2 for one in parts.values())) * answer.speed
    air = Way.make_compound_path(*(Way([*one, one[0]], closed=True) for one in outlines))
    shown = axes.imshow(
        _filled(speed), origin="lower", extent=(x0, x1, y0, y1), cmap=MAP, vmin=0.0, vmax=fastest,
        interpolation="bilinear",
    )  # fmt: skip
    edge = PathPatch(air, fc="none", ec=DARK, lw=0.9, transform=axes.transData)
    shown.set_clip_path(air, axes.transData)
    axes.add_patch(edge)
    _streamlines(axes, arrays, across, speed / fastest)
    axes.set_xlim(x0, x1)
    axes.set_ylim(y0, y1)
    axes.tick_params(labelsize=8)
    return shown


def _streamlines(axes: Axes, arrays: Arrays, across: str, share: NDArray[np.float64]) -> None:
    """Streamlines of the part of the speed in the plane, where that is most of it and the air is not still."""
    from matplotlib.patheffects import Normal, Stroke  # noqa: PLC0415 - half a second

    (x0, y0, x1, y1), parts = arrays
    rows, columns = share.shape
    us, vs = middles(x0, x1, columns), middles(y0, y1, rows)
    u, v = (parts[axis] for axis in across)
    inside, whole = np.hypot(u, v), np.sqrt(sum(one**2 for one in parts.values()))
    still = np.isnan(share) | (np.nan_to_num(share) < SLOW) | (np.nan_to_num(inside) < ACROSS * np.nan_to_num(whole))
    if still.all():
        return
    close = (DENSITY * min(1.0, columns / rows), DENSITY * min(1.0, rows / columns))  # as close one way as the other
    wide = 0.5 + 0.9 * np.sqrt(np.clip(np.nan_to_num(share), 0.0, 1.0))
    lines = axes.streamplot(
        us, vs, np.ma.masked_array(u, still), np.ma.masked_array(v, still), color=LIGHT, density=close,
        linewidth=wide, arrowsize=0.8, minlength=0.08,
    )  # fmt: skip
    lines.lines.set_path_effects([Stroke(linewidth=1.8, foreground=DARK, alpha=0.5), Normal()])


def _filled(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values with those of the nearest place where there are none, so that colours reach the walls."""
    from scipy.ndimage import distance_transform_edt  # noqa: PLC0415 - only a picture needs it

    place = distance_transform_edt(np.isnan(values), return_distances=False, return_indices=True)
    found: NDArray[np.float64] = values[tuple(place)]
    return found
