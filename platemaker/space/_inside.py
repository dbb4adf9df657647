"""How deep points lie inside a figure: distance to its surface for many points at once, negative outside.

Inside it is the exact distance to the surface; outside it is only known to be negative and no farther from zero than
the true distance, which is all that is needed here.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from platemaker.plane import Arc, Edge, Region
from platemaker.space._figures import Cone, Cylinder, Figure, HalfSpace, Prism
from platemaker.space._frame import Frame
from platemaker.space._vectors import Vec3, negative

Numbers: TypeAlias = NDArray[np.float64]


def edge_distance(edge: Edge, x: Numbers, y: Numbers) -> Numbers:
    """Distance of points of the plane from a line or arc."""
    if isinstance(edge, Arc):
        dx, dy = x - edge.centre[0], y - edge.centre[1]
        size = np.hypot(dx, dy)
        angle = np.arctan2(dy, dx) - edge.start_angle
        turned = np.mod(angle if edge.ccw else -angle, math.tau)
        ends = np.minimum(np.hypot(x - edge.start[0], y - edge.start[1]), np.hypot(x - edge.end[0], y - edge.end[1]))
        return np.where(turned <= abs(edge.sweep), np.abs(size - edge.radius), ends)
    (x0, y0), (x1, y1) = edge.start, edge.end
    dx1, dy1 = x1 - x0, y1 - y0
    share = np.clip(((x - x0) * dx1 + (y - y0) * dy1) / (dx1 * dx1 + dy1 * dy1), 0.0, 1.0)
    return np.hypot(x - x0 - share * dx1, y - y0 - share * dy1)


def region_pieces(region: Region, x: Numbers, y: Numbers) -> Numbers:
    """Distances of points of the plane from each edge of a region, a column an edge.

    Outside the region every column is minus the least of them.
    """
    columns = []
    turns = np.zeros(x.shape)
    for edge in region.edges:
        columns.append(edge_distance(edge, x, y))
        ax, ay, bx, by = edge.start[0] - x, edge.start[1] - y, edge.end[0] - x, edge.end[1] - y
        turn = np.arctan2(ax * by - ay * bx, ax * bx + ay * by)
        if isinstance(edge, Arc):
            # From inside its circle an arc is seen to turn one way only.
            one_way = np.mod(turn, math.tau) if edge.ccw else -np.mod(-turn, math.tau)
            turn = np.where(np.hypot(x - edge.centre[0], y - edge.centre[1]) < edge.radius, one_way, turn)
        turns += turn
    distances = np.column_stack(columns)
    return np.where((turns > math.pi)[:, None], distances, -distances.min(axis=1)[:, None])


def local(frame: Frame, points: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Coordinates of points (n, 3) in a frame."""
    offset = points - np.array(frame.origin)
    return offset @ np.array(frame.x_axis), offset @ np.array(frame.y_axis), offset @ np.array(frame.z_axis)


def depth(figure: Figure, points: Numbers) -> Numbers:
    """Distance of points (n, 3) from the figure's surface, mm, negative outside it."""
    least: Numbers = pieces(figure, points).min(axis=1)
    return least


def pieces(figure: Figure, points: Numbers) -> Numbers:
    """Distances of points (n, 3) from each face of the figure, a column a face; their least is the depth."""
    if isinstance(figure, HalfSpace):
        return _behind(points, figure.point, figure.normal)[:, None]
    if isinstance(figure, Prism):
        x, y, z = local(figure.frame, points)
        return np.column_stack([z, figure.height - z, region_pieces(figure.region, x, y)])
    if isinstance(figure, Cylinder | Cone):
        return _round_pieces(figure, points)
    return np.full((len(points), 1), -np.inf)


def _behind(points: Numbers, point: Vec3, normal: Vec3) -> Numbers:
    heights: Numbers = (points - np.array(point)) @ np.array(normal)
    return -heights


def end_planes(figure: Cylinder | Cone) -> list[tuple[Vec3, Vec3]]:
    """The planes of a round figure's ends: a point and the normal that points out."""
    axis = figure.axis
    normals = [negative(axis), axis]
    if isinstance(figure, Cylinder):
        for index, given in enumerate((figure.start_normal, figure.end_normal)):
            if given is not None:
                out = sum(g * n for g, n in zip(given, normals[index], strict=True)) > 0.0
                normals[index] = given if out else negative(given)
    return [(figure.start, normals[0]), (figure.end, normals[1])]


def _round_pieces(figure: Cylinder | Cone, points: Numbers) -> Numbers:
    axis = np.array(figure.axis)
    offset: Numbers = points - np.array(figure.start)
    along_axis = offset @ axis
    across = np.sqrt(np.maximum(0.0, np.einsum("ij,ij->i", offset, offset) - along_axis**2))
    if isinstance(figure, Cylinder):
        side: Numbers = figure.radius - across
    else:
        growth = (figure.radius_end - figure.radius_start) / figure.length
        side = (figure.radius_start + growth * along_axis - across) / math.hypot(1.0, growth)
    return np.column_stack([side, *(_behind(points, point, normal) for point, normal in end_planes(figure))])
