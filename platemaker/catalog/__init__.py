"""Standards and trade facts as strict tables: threads, holes, heads, washers, materials and what else a plate needs.

Every row is frozen and states its `source` and its `evidence` (read, computed, memory, practice). Lengths are mm, areas
mm², stresses MPa, angles degrees, whatever the table's own unit. An unknown name raises CatalogError with the words
that are allowed. The catalog looks up; it does not compute.
"""

from platemaker.catalog._counterbores import (
    Counterbore,
    HeadKind,
    Spotface,
    counterbore,
    spotface,
)
from platemaker.catalog._fuels import (
    Fuel,
    FuelKind,
    fuel,
)
from platemaker.catalog._gasket_sheets import (
    GasketValues,
    gasket_values,
)
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
from platemaker.catalog._heat import (
    Compound,
    GasketLimits,
    InPetrol,
    StrengthAtHeat,
    gasket_limits,
    highest_known,
    o_ring_compound,
    o_ring_in_petrol,
    strength_at_heat,
)
from platemaker.catalog._holes import (
    ClearanceHole,
    Fit,
    clearance_hole,
)
from platemaker.catalog._limits import (
    Limit,
    LimitName,
    limits,
)
from platemaker.catalog._materials import (
    Family,
    Material,
    material,
    materials,
)
from platemaker.catalog._oils import (
    EngineOil,
    engine_oil,
)
from platemaker.catalog._patterns import (
    Arrangement,
    MountingPattern,
    mounting_pattern,
    mounting_patterns,
)
from platemaker.catalog._ports import (
    PipeThread,
    StraightPort,
    pipe_thread,
    straight_port,
)
from platemaker.catalog._screws import (
    BearingFace,
    ScrewClass,
    ScrewStandard,
    ThreadSystem,
    bearing_face,
    nut_standard,
    screw_classes,
    screw_standard,
)
from platemaker.catalog._seals import (
    FaceGland,
    ORing,
    RadialGland,
    face_gland,
    o_ring,
    o_rings,
    radial_glands,
)
from platemaker.catalog._strength import (
    NutFactor,
    PropertyClass,
    Tightening,
    nut_factor,
    property_class,
    property_classes,
    tightening,
)
from platemaker.catalog._table import (
    Evidence,
    Row,
    TableBlock,
    tables,
)
from platemaker.catalog._threads import (
    Series,
    Thread,
    thread,
    threads,
)
from platemaker.catalog._tolerances import (
    GeneralTolerance,
    LimitDeviations,
    ToleranceClass,
    angle_tolerance,
    coordinate_tolerance,
    edge_tolerance,
    general_tolerance,
    iso286,
)
from platemaker.catalog._tools import (
    BoltLengths,
    Drill,
    EndMill,
    cutters,
    drills,
    standard_bolt_lengths,
)
from platemaker.catalog._usual_sizes import (
    UsualSize,
    usual_size_of,
    usual_sizes,
)
from platemaker.catalog._wrenches import (
    HexKey,
    SocketWrench,
    hex_key,
    socket_wrench,
)

__all__ = [
    "Arrangement",
    "BearingFace",
    "BoltLengths",
    "ClearanceHole",
    "Compound",
    "Counterbore",
    "CountersunkHead",
    "Drill",
    "EndMill",
    "EngineOil",
    "Evidence",
    "FaceGland",
    "Family",
    "Fit",
    "Fuel",
    "FuelKind",
    "GasketLimits",
    "GasketValues",
    "GeneralTolerance",
    "HeadKind",
    "HexHead",
    "HexKey",
    "HexNut",
    "InPetrol",
    "Limit",
    "LimitDeviations",
    "LimitName",
    "Material",
    "MountingPattern",
    "NutFactor",
    "ORing",
    "PipeThread",
    "PropertyClass",
    "RadialGland",
    "Row",
    "ScrewClass",
    "ScrewStandard",
    "Series",
    "SocketHead",
    "SocketWrench",
    "Spotface",
    "StraightPort",
    "StrengthAtHeat",
    "TableBlock",
    "Thread",
    "ThreadSystem",
    "Tightening",
    "ToleranceClass",
    "UsualSize",
    "Washer",
    "WasherStyle",
    "angle_tolerance",
    "bearing_face",
    "clearance_hole",
    "coordinate_tolerance",
    "counterbore",
    "countersunk_head",
    "cutters",
    "drills",
    "edge_tolerance",
    "engine_oil",
    "face_gland",
    "fuel",
    "gasket_limits",
    "gasket_values",
    "general_tolerance",
    "hex_head",
    "hex_key",
    "hex_nut",
    "highest_known",
    "iso286",
    "limits",
    "material",
    "materials",
    "mounting_pattern",
    "mounting_patterns",
    "nut_factor",
    "nut_standard",
    "o_ring",
    "o_ring_compound",
    "o_ring_in_petrol",
    "o_rings",
    "pipe_thread",
    "property_class",
    "property_classes",
    "radial_glands",
    "screw_classes",
    "screw_standard",
    "socket_head",
    "socket_wrench",
    "spotface",
    "standard_bolt_lengths",
    "straight_port",
    "strength_at_heat",
    "tables",
    "thread",
    "threads",
    "tightening",
    "usual_size_of",
    "usual_sizes",
    "washer",
]
