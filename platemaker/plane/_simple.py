"""Whether a loop keeps clear of itself, as outlines must."""

from __future__ import annotations

import numpy as np

from platemaker.plane._crossings import crossings
from platemaker.plane._shapes import Loop, Point
from platemaker.plane._table import TOUCH, EdgeTable, box_pairs, to_point
from platemaker.remembered import remembered


@remembered(1024)
def self_contact(loop: Loop) -> Point | None:
    """A point where the loop crosses or touches itself (within TOUCH), or None when it keeps clear of itself.

    >>> self_contact(Loop.rectangle(10.0, 5.0, 1.0)) is None
    True
    >>> self_contact(Loop.rounded([(0.0, 0.0), (8.0, 0.0), (0.0, 4.0), (8.0, 4.0)]))
    (4.0, 2.0)
    """
    table = EdgeTable.of(loop.edges)
    count = len(table)
    i, j = box_pairs(table, table, TOUCH)
    i, j = i[i < j], j[i < j]
    a, b = table.take(i), table.take(j)
    tries = np.stack([*crossings(a, b), a.start, a.end, b.start, b.end])
    met = (np.abs(a.nearest(tries) - tries) <= TOUCH) & (np.abs(b.nearest(tries) - tries) <= TOUCH)
    # Where one piece goes over into the next they meet rightly.
    met &= ~((j == i + 1) & (np.abs(tries - a.end) <= 2 * TOUCH))
    met &= ~(((j + 1) % count == i) & (np.abs(tries - a.start) <= 2 * TOUCH))
    return to_point(tries[met][0]) if met.any() else None
