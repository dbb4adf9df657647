"""An independent oracle for throats: the largest flow through a fine raster of the chamber, by a library's max-flow.

Cells of the raster are joined to their neighbours in 32 directions. By the formula of Cauchy and Crofton a cut through
these links is as long as a straight line of any direction to within a percent (Boykov and Kolmogorov, Computing
geodesics and minimal surfaces via graph cuts, ICCV 2003, section 2). What lies inside is asked of the drawing's points
by `plane_oracle.inside`, which counts the crossings of a ray. No arithmetic is shared with the package.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_flow

from platemaker.plane import Region
from tests.plane_oracle import inside

Floats = NDArray[np.float64]

LINKS = [(a, b) for a in range(-4, 5) for b in range(-4, 5) if math.gcd(a, b) == 1 and (b > 0 or (b == 0 and a > 0))]
LINKS = [link for link in LINKS if max(map(abs, link)) <= 3]
"""Half of the directions to neighbours: the other half are their opposites."""


def covered(regions: Sequence[Region], x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Whether each point lies in any of the regions."""
    found = np.zeros(np.shape(x), dtype=bool)
    for region in regions:
        found |= inside(region.edges, x, y)
    return found


def raster_throat(
    pieces: Sequence[tuple[Region, float]], inflow: Sequence[Region], outflow: Sequence[Region], step: float
) -> float:
    """Largest flow, mm2, from the inflow to the outflow openings through pieces of plan and depth, on one floor."""
    boxes = [region.bounds for region, _ in pieces]
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    half = step / 2
    nx, ny = 2 * math.ceil((x1 - x0) / step) + 1, 2 * math.ceil((y1 - y0) / step) + 1
    # A raster of half steps: the odd places are cells, the others state whether a link between cells is open.
    gx = x0 + 0.137 * step + half * np.arange(nx)[:, None]
    gy = y0 + 0.219 * step + half * np.arange(ny)[None, :]
    x, y = (np.ascontiguousarray(part) for part in np.broadcast_arrays(gx, gy))
    depth = np.zeros(x.shape)
    for region, deep in pieces:
        depth = np.maximum(depth, np.where(inside(region.edges, x, y), deep, 0.0))
    fine = depth
    cell = depth[1::2, 1::2]
    cx, cy = x[1::2, 1::2], y[1::2, 1::2]
    open_cell = cell > 0
    number = np.cumsum(open_cell).reshape(cell.shape) - 1
    count = int(open_cell.sum())
    tails, heads, sizes = [], [], []
    bearings = sorted(math.atan2(b, a) for a, b in LINKS)
    for a, b in LINKS:
        at = math.atan2(b, a)
        k = bearings.index(at)
        before = bearings[k - 1] - (math.pi if k == 0 else 0)
        after = bearings[(k + 1) % len(bearings)] + (math.pi if k == len(bearings) - 1 else 0)
        weight = step * (after - before) / 2 / math.hypot(a, b) / 2
        n, m = cell.shape
        i0, i1 = max(0, -a), min(n, n - a)
        j0, j1 = max(0, -b), min(m, m - b)
        if i0 >= i1 or j0 >= j1:
            continue
        from_, to = (slice(i0, i1), slice(j0, j1)), (slice(i0 + a, i1 + a), slice(j0 + b, j1 + b))
        least = np.minimum(cell[from_], cell[to])
        i, j = np.meshgrid(np.arange(i0, i1), np.arange(j0, j1), indexing="ij")
        for share in np.arange(1, 2 * max(abs(a), abs(b))) / (2 * max(abs(a), abs(b))):
            u = np.rint(2 * i + 1 + 2 * a * share).astype(int)
            v = np.rint(2 * j + 1 + 2 * b * share).astype(int)
            least = np.minimum(least, fine[u, v])
        joined = least > 0
        tails.append(number[from_][joined])
        heads.append(number[to][joined])
        sizes.append(weight * least[joined])
    a_in, b_in = covered(inflow, cx, cy) & open_cell, covered(outflow, cx, cy) & open_cell
    straight = float((a_in & b_in).sum()) * step * step
    tail, head, size = np.concatenate(tails), np.concatenate(heads), np.concatenate(sizes)
    source, sink = count, count + 1
    sources, sinks = number[a_in & ~b_in], number[b_in & ~a_in]
    whole = 1e4  # capacities are whole numbers: this many to a square millimetre
    rows = np.concatenate([tail, head, np.full(len(sources), source), sinks])
    columns = np.concatenate([head, tail, sources, np.full(len(sinks), sink)])
    values = np.concatenate([size, size, np.full(len(sources) + len(sinks), step * step)]) * whole
    graph = csr_matrix((np.rint(values).astype(np.int32), (rows, columns)), shape=(count + 2, count + 2))
    return straight + maximum_flow(graph, source, sink).flow_value / whole
