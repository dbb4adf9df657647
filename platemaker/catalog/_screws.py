"""What a screw is ordered by: the standard of its head, the classes that are made, the face that it bears on."""

from __future__ import annotations

from enum import Enum
from functools import cache

from platemaker.catalog._counterbores import HeadKind
from platemaker.catalog._lookup import found
from platemaker.catalog._materials import Family
from platemaker.catalog._table import Evidence, Row, table
from platemaker.catalog._threads import Series, Thread, size_name, thread
from platemaker.errors import CatalogError


class BearingFace(Row, kw_only=True):
    """The smallest diameter of the face under a head, d_w, in mm. The rest of the head does not touch the part."""

    size: str
    bearing_diameter: float


class _Part(Enum):
    SOCKET = "socket"
    HEX = "hex"
    NUT = "nut"


class _YesNo(Enum):
    YES = "yes"
    NO = "no"


class ScrewStandard(Row, kw_only=True):
    """The product standard that a screw or nut is ordered to, such as `ISO 4762`."""

    part: _Part
    series: Series
    threaded_to_head: _YesNo | None
    standard: str


class ThreadSystem(Enum):
    """Metric or inch threads."""

    METRIC = "metric"
    INCH = "inch"


class ScrewClass(Row, kw_only=True):
    """A property class or grade that is made with a head and a system of threads, over one diameter and up to another.

    Diameters in mm.
    """

    head: HeadKind
    system: ThreadSystem
    name: str
    over_diameter: float
    to_diameter: float


_FACES = {
    HeadKind.SOCKET: ("iso_4762_bearing_faces.csv", "asme_b18_3_bearing_faces.csv"),
    HeadKind.HEX: ("iso_4014_bearing_faces.csv", "asme_b18_2_1_bearing_faces.csv"),
}


@cache
def _faces(head: HeadKind) -> dict[str, BearingFace]:
    return {row.size: row for file in _FACES[head] for row in table(file, BearingFace)}


def bearing_face(of_thread: Thread | str, head: HeadKind) -> BearingFace:
    """The smallest face under a head: ISO 4762 or ISO 4014 (product grade A) for metric, ASME B18 for inch threads.

    That of a nut, which is the head of a stud, is the `bearing_diameter` of `hex_nut`. Raises CatalogError for a size
    that the table does not list.

    >>> bearing_face("M8", HeadKind.HEX).bearing_diameter, bearing_face("M8", HeadKind.SOCKET).bearing_diameter
    (11.63, 12.33)
    """
    return found(_faces(head), size_name(of_thread), f"bearing face of a {head.value} head for")


class _Range(Row, kw_only=True):
    size: str
    shortest: float
    longest: float


@cache
def _shanked() -> dict[str, _Range]:
    return {row.size: row for row in table("iso_4014_length_ranges.csv", _Range)}


def screw_standard(of_thread: Thread | str, head: HeadKind, length: float) -> ScrewStandard:
    """The product standard that a screw of this head and length (mm) is ordered to.

    A metric hexagon screw shorter than the shortest with a shank is threaded to its head: ISO 4017, not ISO 4014.
    Raises CatalogError for an unknown thread.

    >>> [screw_standard("M8", HeadKind.HEX, length).standard for length in (30, 40)]
    ['ISO 4017', 'ISO 4014']
    >>> screw_standard("3/8-16", HeadKind.SOCKET, 38.1).standard
    'ASME B18.3'
    """
    entry = of_thread if isinstance(of_thread, Thread) else thread(of_thread)
    shank = _shanked().get(entry.size)
    short = _YesNo.YES if shank and length < shank.shortest else _YesNo.NO
    for row in table("screw_standards.csv", ScrewStandard):
        if (row.part.value, row.series) == (head.value, entry.series) and row.threaded_to_head in (None, short):
            return row
    msg = f"no product standard for a {head.value} head with {entry.designation}"
    raise CatalogError(msg)


def nut_standard(of_thread: Thread | str) -> ScrewStandard:
    """The product standard that a hexagon nut is ordered to. Raises CatalogError for an unknown thread.

    >>> nut_standard("M8").standard
    'ISO 4032'
    """
    entry = of_thread if isinstance(of_thread, Thread) else thread(of_thread)
    rows = {row.series: row for row in table("screw_standards.csv", ScrewStandard) if row.part is _Part.NUT}
    return rows[entry.series]


def screw_classes(of_thread: Thread | str, head: HeadKind) -> tuple[ScrewClass, ...]:
    """The property classes and grades that are made for a head on a thread. Raises CatalogError for an unknown thread.

    >>> [row.name for row in screw_classes("3/8-16", HeadKind.SOCKET)]
    ['A574']
    """
    entry = of_thread if isinstance(of_thread, Thread) else thread(of_thread)
    system = ThreadSystem.METRIC if entry.metric else ThreadSystem.INCH
    return tuple(
        row
        for row in table("screw_classes.csv", ScrewClass)
        if (row.head, row.system) == (head, system) and row.over_diameter < entry.major_diameter <= row.to_diameter
    )


class StudEnd(Row, kw_only=True):
    """The end of a double-end stud that is set into its metal: how long it is, mm, and the stud's standard."""

    metal: Family
    size: str
    metal_end: float


_SET = {
    Family.STEEL: 1.0,
    Family.STAINLESS: 1.0,
    Family.CAST_IRON: 1.25,
    Family.COPPER_ALLOY: 1.25,
    Family.ALUMINIUM: 2.0,
}
"""How deep a stud is set where no standard lists it, in diameters. Common practice, no source."""


def stud_end(of_thread: Thread | str, metal: Family) -> StudEnd:
    """The metal end of a stud for a kind of metal: DIN 938 for steel, DIN 939 for cast iron, DIN 835 for aluminium.

    Inch studs, and those in other metals, take as many diameters by common practice. Raises CatalogError for an unknown
    thread, or what is no metal.

    >>> [stud_end("M8", metal).metal_end for metal in (Family.STEEL, Family.CAST_IRON, Family.ALUMINIUM)]
    [8.0, 10.0, 16.0]
    """
    entry = of_thread if isinstance(of_thread, Thread) else thread(of_thread)
    for row in table("din_studs.csv", StudEnd):
        if (row.metal, row.size) == (metal, entry.size):
            return row
    if metal not in _SET:
        msg = f"no stud is set into {metal.value}"
        raise CatalogError(msg)
    return StudEnd(
        metal=metal, size=entry.size, metal_end=round(_SET[metal] * entry.major_diameter, 1), source="",
        evidence=Evidence.PRACTICE, note="",
    )  # fmt: skip
