"""Standards and trade facts as strict tables: threads, holes, heads, washers, materials and what else a plate needs.

Every row is frozen and tells its `source` and its `evidence` (read, computed, memory, practice). Lengths are mm, areas
mm², stresses MPa, angles degrees, whatever the table's own unit. An unknown name raises CatalogError with the words
that are allowed. The catalog looks up; it does not compute.
"""

from platemaker.catalog._heads import (
    CountersunkHead,
    HexHead,
    HexNut,
    SocketHead,
    Washer,
    WasherStyle,
    countersunk_head,
    hex_head,
    hex_nut,
    socket_head,
    washer,
)
from platemaker.catalog._holes import ClearanceHole, Fit, clearance_hole
from platemaker.catalog._materials import Family, Material, material, materials
from platemaker.catalog._table import Evidence, Row, TableBlock, tables
from platemaker.catalog._threads import Series, Thread, thread, threads

__all__ = [
    "ClearanceHole",
    "CountersunkHead",
    "Evidence",
    "Family",
    "Fit",
    "HexHead",
    "HexNut",
    "Material",
    "Row",
    "Series",
    "SocketHead",
    "TableBlock",
    "Thread",
    "Washer",
    "WasherStyle",
    "clearance_hole",
    "countersunk_head",
    "hex_head",
    "hex_nut",
    "material",
    "materials",
    "socket_head",
    "tables",
    "thread",
    "threads",
    "washer",
]
