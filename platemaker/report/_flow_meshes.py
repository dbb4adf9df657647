"""The field of the air in the stack's picture: its planes of speed as sheets that go with the body they lie in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from platemaker.checks import AirReport
from platemaker.fields import FlowAnswer
from platemaker.parts import Stack, Vec3
from platemaker.report._flow_picture import plan_of, section_of
from platemaker.report._mesh import Mesh, Shades
from platemaker.views import MAP

if TYPE_CHECKING:
    from numpy.typing import NDArray

FEWER = 2
"""Points of a plane for each square of its sheet, along each side."""
BANDS = 12
"""Colours from still air to the fastest."""


def flow_meshes(answer: FlowAnswer, air: AirReport, stack: Stack, goes: Mapping[str, Vec3]) -> list[Mesh]:
    """Sheets of speed in the stack's frame, in plan and in section; none of a field that did not converge.

    Pulled apart, a sheet goes where `goes` says for the part or body whose passage it lies in.
    """
    if answer.field.plan is None or answer.field.section is None:
        return []
    along, at = answer.volume.cut
    way = tuple(_way(answer, air, stack))
    sign = -1.0 if air.path[0].height > air.path[-1].height else 1.0
    first = next(station for station in air.path if station.length > 0)
    begin = first.height - sign * (first.length / 2 + answer.volume.slabs[0].end)
    found = []
    for name, (box, parts) in (("plan", plan_of(answer)), ("section", section_of(answer))):
        u, v, triangles, speeds = _squares(box, np.sqrt(sum(one**2 for one in parts.values())))
        if name == "plan":
            x, y, depth = u, v, np.full_like(v, answer.volume.widest.half_way)
        else:
            level = np.full_like(u, at)
            x, y, depth = (u, level, v) if along == "x" else (level, u, v)
        title = f"speed of the air in {name}, up to {answer.field.fastest * answer.speed:.0f} m/s"
        corners = np.stack([x, y, begin + sign * depth], axis=1)
        place = np.searchsorted([end for _, end in way[:-1]], depth[triangles].mean(axis=1))
        offsets = [goes.get(owner, (0.0, 0.0, 0.0)) for owner, _ in way]
        found += _sheets(title, corners, triangles, speeds / answer.field.fastest, [offsets[k] for k in place])
    return found


def _way(answer: FlowAnswer, air: AirReport, stack: Stack) -> Iterator[tuple[str, float]]:
    """The owners of the passage in the order of the flow, each with the depth where its stretch ends, mm."""
    bodies, depth = {body.name for body in stack.bodies}, answer.volume.slabs[0].end
    for station in air.path:
        depth += station.length
        # A body's own port lies at the joint that the station is of.
        own = station.part or next(
            (face.owner for face in stack.joint(station.feature).faces if face.owner in bodies), ""
        )
        yield own, depth


def _squares(
    box: tuple[float, float, float, float], speed: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64], NDArray[np.float64]]:
    """Corners of the squares of a plane, two triangles for each square with air, and the speed of each triangle."""
    (u0, v0, u1, v1), fewer = box, speed[FEWER // 2 :: FEWER, FEWER // 2 :: FEWER]
    rows, columns = fewer.shape
    u, v = np.meshgrid(np.linspace(u0, u1, columns + 1), np.linspace(v0, v1, rows + 1))
    row, column = np.nonzero(~np.isnan(fewer))
    first = row * (columns + 1) + column
    a, b, c, d = first, first + 1, first + columns + 2, first + columns + 1
    triangles = np.stack([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)], axis=1).reshape(-1, 3)
    return u.ravel(), v.ravel(), triangles, np.repeat(fewer[row, column], 2)


def _sheets(
    title: str,
    vertices: NDArray[np.float64],
    triangles: NDArray[np.int64],
    share: NDArray[np.float64],
    offsets: Sequence[Vec3],
) -> list[Mesh]:
    """A mesh for all triangles that go the same way when the stack is pulled apart."""
    from matplotlib import colormaps  # noqa: PLC0415 - half a second

    band = np.minimum((np.clip(share, 0.0, 1.0) * BANDS).astype(int), BANDS - 1)
    palette = tuple("#" + bytes(one[:3]).hex() for one in colormaps[MAP](np.linspace(0, 1, BANDS), bytes=True))
    found = []
    for offset in dict.fromkeys(offsets):
        here = np.array([one == offset for one in offsets])
        used, again = np.unique(triangles[here], return_inverse=True)
        shades = Shades(palette, tuple(int(one) for one in band[here]))
        corners = again.reshape(-1, 3).tolist()
        found.append(Mesh(title, vertices[used].tolist(), corners, palette[-1], offset, shades=shades))
    return found
