"""How many pieces cuts on any axis leave: the metal along columns of a blank, and which neighbours hang together.

The metal along a column is exact; two neighbours hang together where their metal shares heights. The columns stand on a
grid, with lines of it over the axes of bores, where the metal beside them is thinnest. So pieces and gaps as wide as
the grid are seen; narrower chips are found by the proof of the solid.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from platemaker.resolved._part import ResolvedPart
from platemaker.resolved._voids import Void
from platemaker.space import Cylinder, Prism, depth

LINES = 240
"""Lines of the grid each way."""
LEAST = 1e-6
"""Neighbours hang together where their metal shares more height than this, mm."""

Numbers: TypeAlias = NDArray[np.float64]


def count_pieces_in_space(one: ResolvedPart) -> int:
    """Pieces that drills and straight cutters on any axis leave of the blank, as far as columns of it state."""
    from scipy.sparse import coo_array  # noqa: PLC0415 - slow to load, and only cuts that break out need it
    from scipy.sparse.csgraph import connected_components  # noqa: PLC0415

    xs, ys = (_lines(one, axis) for axis in (0, 1))
    low, high = _metal(one, xs, ys)
    names = np.where(high - low > LEAST, np.arange(low.size).reshape(low.shape), -1)
    links = [
        _links(names, low, high, np.s_[:-1, :], np.s_[1:, :]),
        _links(names, low, high, np.s_[:, :-1], np.s_[:, 1:]),
    ]
    first, second = (np.concatenate(ends) for ends in zip(*links, strict=True))
    graph = coo_array((np.ones(len(first), dtype=bool), (first, second)), shape=(low.size, low.size))
    labels = connected_components(graph, directed=False)[1]
    return len(set(labels[names[names >= 0]].tolist()))


def _lines(one: ResolvedPart, axis: int) -> Numbers:
    bounds, frame = one.blank.region.bounds, one.blank.frame
    low, high = bounds[axis], bounds[axis + 2]
    tools = [void.tool for void in one.voids if void.upright is None]
    over = [frame.to_local(end)[axis] for tool in tools if isinstance(tool, Cylinder) for end in (tool.start, tool.end)]
    step = (high - low) / LINES
    even = np.linspace(low + step / 2, high - step / 2, LINES)
    return np.array(sorted({round(place, 9) for place in (*even.tolist(), *over) if low < place < high}))


def _metal(one: ResolvedPart, xs: Numbers, ys: Numbers) -> tuple[Numbers, Numbers]:
    """Where the metal along each column begins and ends, mm: arrays (x, y, stretch), empty where it ends before."""
    x, y = (column.ravel() for column in np.meshgrid(xs, ys, indexing="ij"))
    void = [_in_column(one, one_void, x, y) for one_void in one.voids if one_void.what not in ("thread", "mouth")]
    height = one.blank.height
    outside = ~_inside(one.blank.prism, one, x, y)
    starts, ends = (np.column_stack(column) for column in zip(*void, strict=True))
    order = np.argsort(starts, axis=1)
    starts, ends = np.take_along_axis(starts, order, axis=1), np.take_along_axis(ends, order, axis=1)
    low = np.column_stack([np.where(outside, height, 0.0), np.maximum.accumulate(ends, axis=1)])
    low = np.maximum.accumulate(low, axis=1)
    high = np.column_stack([np.minimum(starts, height), np.full(len(x), height)])
    return low.reshape(len(xs), len(ys), -1), high.reshape(len(xs), len(ys), -1)


def _in_column(one: ResolvedPart, void: Void, x: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
    """Where columns enter and leave a void; those that miss it do so at the blank's upper end."""
    low, high = np.full(len(x), one.blank.height), np.full(len(x), one.blank.height)
    if void.upright is not None:
        if void.what == "point" or not isinstance(void.tool, Cylinder | Prism):
            return low, high
        hit = _inside(void.tool, one, x, y)
        low[hit], high[hit] = max(void.low, 0.0), void.high
    elif isinstance(void.tool, Cylinder):
        low, high = _through(void.tool, one, x, y)
    return low, high


def _inside(figure: Cylinder | Prism, one: ResolvedPart, x: Numbers, y: Numbers) -> NDArray[np.bool_]:
    """Which columns pass through a figure along the blank's axis."""
    frame = one.blank.frame
    middle = figure.start if isinstance(figure, Cylinder) else figure.frame.to_world((0.0, 0.0, figure.height / 2))
    z = frame.to_local(middle)[2]
    if isinstance(figure, Cylinder):
        cx, cy, _ = frame.to_local(figure.start)
        return np.hypot(x - cx, y - cy) < figure.radius
    points = np.column_stack([x, y, np.full(len(x), z)])
    world = points @ np.array([frame.x_axis, frame.y_axis, frame.z_axis]) + np.array(frame.origin)
    inside: NDArray[np.bool_] = depth(figure, world) > 0.0
    return inside


def _through(bore: Cylinder, one: ResolvedPart, x: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
    """Where columns enter and leave a bore on another axis: roots of a quadratic between the bore's ends."""
    frame, height = one.blank.frame, one.blank.height
    u = np.array(frame.unturn(bore.axis))
    start = np.array(frame.to_local(bore.start))
    off = np.column_stack([x, y, np.zeros(len(x))]) - start
    along, up = off @ u, u[2]
    across, lift = off - along[:, None] * u, np.array([0.0, 0.0, 1.0]) - up * u
    a, b = lift @ lift, across @ lift
    c = np.einsum("ij,ij->i", across, across) - bore.radius**2
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    low, high = (-b - root) / a, (-b + root) / a
    if abs(up) > 1e-12:
        ends = np.sort(np.column_stack([-along / up, (bore.length - along) / up]), axis=1)
        low, high = np.maximum(low, ends[:, 0]), np.minimum(high, ends[:, 1])
        missed = np.zeros(len(x), dtype=bool)
    else:
        missed = (along < 0.0) | (along > bore.length)
    missed |= (b * b <= a * c) | (high <= low)
    low, high = np.clip(low, 0.0, height), np.clip(high, 0.0, height)
    return np.where(missed, height, low), np.where(missed, height, high)


def _links(
    names: NDArray[np.intp], low: Numbers, high: Numbers, here: tuple[slice, slice], there: tuple[slice, slice]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs of stretches of metal in neighbouring columns that share heights."""
    first, second = [], []
    for i in range(low.shape[2]):
        for j in range(low.shape[2]):
            one, other = names[..., i][here], names[..., j][there]
            shared = np.minimum(high[..., i][here], high[..., j][there])
            shared = shared - np.maximum(low[..., i][here], low[..., j][there])
            joined = (one >= 0) & (other >= 0) & (shared > LEAST)
            first.append(one[joined])
            second.append(other[joined])
    return np.concatenate(first), np.concatenate(second)
