"""What lies between two figures of the stack: exact figures among themselves, imported bodies by the solid kernel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeAlias

from platemaker.space import Box3, Cylinder, Prism, Separation, bounding_box, overlap_volume
from platemaker.space import apart as space_apart
from platemaker.space import separation as space_separation

if TYPE_CHECKING:
    from platemaker.solids import ImportedBody

Solid: TypeAlias = "Cylinder | Prism | ImportedBody"


def apart(a: Solid, b: Solid) -> Separation | None:
    """From one figure to another that it does not overlap; None where it does."""
    if not isinstance(a, Cylinder | Prism):
        return a.apart(b)
    if not isinstance(b, Cylinder | Prism):
        found = b.apart(a)
        return found.swapped if found else None
    return space_apart(a, b)


def separation(a: Solid, b: Solid) -> Separation:
    """Signed distance between two figures, mm; below 0, how deep they overlap."""
    if not isinstance(a, Cylinder | Prism):
        return a.separation(b)
    if not isinstance(b, Cylinder | Prism):
        return b.separation(a).swapped
    return space_separation(a, b)


def shared_volume(a: Solid, b: Solid) -> float:
    """What two figures both fill, mm3."""
    if not isinstance(a, Cylinder | Prism):
        return a.shared_volume(b)
    if not isinstance(b, Cylinder | Prism):
        return b.shared_volume(a)
    return overlap_volume(a, b).volume


def box_of(figure: Solid) -> Box3:
    """The box about a figure, exact."""
    return bounding_box(figure) if isinstance(figure, Cylinder | Prism) else figure.box


def box_around(figure: Solid) -> Box3:
    """A box about a figure; for a prism that of the corners of its region's box, which is quick."""
    if not isinstance(figure, Prism):
        return box_of(figure)
    x0, y0, x1, y1 = figure.region.bounds
    corners = [figure.frame.to_world((x, y, z)) for x in (x0, x1) for y in (y0, y1) for z in (0.0, figure.height)]
    low, high = [min(c[i] for c in corners) for i in range(3)], [max(c[i] for c in corners) for i in range(3)]
    return low[0], low[1], low[2], high[0], high[1], high[2]


def box_about(boxes: Sequence[Box3]) -> Box3:
    """The box about some boxes."""
    low, high = [min(box[i] for box in boxes) for i in range(3)], [max(box[i] for box in boxes) for i in range(3, 6)]
    return low[0], low[1], low[2], high[0], high[1], high[2]
