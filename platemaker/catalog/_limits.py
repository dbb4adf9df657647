"""Default limits of design and machining, by material family."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from functools import cache
from types import MappingProxyType

from platemaker.catalog._materials import Family
from platemaker.catalog._table import Row, table
from platemaker.errors import CatalogError


class LimitName(Enum):
    """What a limit bounds. The unit stands in its row: mm, or multiples of a diameter, pitch, radius or thickness."""

    MINIMUM_WALL = "minimum_wall"
    MINIMUM_FLOOR = "minimum_floor"
    GASKET_LAND = "gasket_land"
    EDGE_DISTANCE = "edge_distance"
    THREAD_ENGAGEMENT = "thread_engagement"
    THREAD_RUNOUT = "thread_runout"
    TAPPED_DEPTH = "tapped_depth"
    HOLE_DEPTH = "hole_depth"
    CUTTER_DEPTH = "cutter_depth"
    CORNER_RADIUS = "corner_radius"
    POCKET_SHARE = "pocket_share"
    HEAD_CLEARANCE = "head_clearance"
    WRENCH_CLEARANCE = "wrench_clearance"
    MINIMUM_EDGE_BREAK = "minimum_edge_break"
    BEND_RADIUS = "bend_radius"
    BEND_HOLE_DISTANCE = "bend_hole_distance"


class LimitRow(Row, kw_only=True):
    """One limit: the values below or above which a check fails or cautions (None: no such bound), and their unit."""

    family: Family
    name: LimitName
    fail_below: float | None
    caution_below: float | None
    fail_above: float | None
    caution_above: float | None
    unit: str


def limits(family: Family) -> Mapping[LimitName, LimitRow]:
    """The default limits for a family of materials. Raises CatalogError for one that is not machined (gaskets).

    >>> limits(Family.ALUMINIUM)[LimitName.MINIMUM_WALL].fail_below
    3.0
    """
    known = _by_family()
    if family not in known:
        msg = f"no limits for the family {family.value!r}"
        raise CatalogError(msg, sorted(one.value for one in known), family.value)
    return known[family]


def limit_unit(name: LimitName) -> str:
    """The unit of a limit, which is the same for every family of materials.

    >>> limit_unit(LimitName.BEND_RADIUS)
    'thicknesses'
    """
    return next(rows[name].unit for rows in _by_family().values() if name in rows)


@cache
def _by_family() -> dict[Family, Mapping[LimitName, LimitRow]]:
    rows: dict[Family, dict[LimitName, LimitRow]] = {}
    for row in table("limits.csv", LimitRow):
        rows.setdefault(row.family, {})[row.name] = row
    return {family: MappingProxyType(found) for family, found in rows.items()}
