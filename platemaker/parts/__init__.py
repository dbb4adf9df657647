"""From spec models to parts: stock with named cuts, joints, bodies, and the stack that places them."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.parts._build import stack_of
from platemaker.parts._file_names import PackageFile, PartFile
from platemaker.parts._flat import (
    BendLine,
    FlatPattern,
    bent_point,
    flat_pattern,
    flat_point,
    in_plan,
    leg_frame,
    leg_of,
)
from platemaker.parts._hole_making import HeadSeat, head_seat, usual_class, usual_head
from platemaker.parts._lead_in import LEAD_IN_ANGLE, LeadIn, lead_ins_of
from platemaker.parts._marks import tightening_sequence
from platemaker.parts._planed import Spot, corners_of, ends_of, farthest, top_of
from platemaker.parts._records._belt import Belt, Fitted, Pulley, Setting
from platemaker.parts._records._cuts import (
    Cut,
    Hole,
    Mark,
    Operation,
    Plane,
    Planed,
    Profile,
    ProfileKind,
    Screw,
    Side,
    Step,
    StepVoid,
    Tapping,
    Vec3,
    step_label,
)
from platemaker.parts._records._design import GRAVITY, Design, Load, PressFit, Seal, Shared
from platemaker.parts._records._dowels import Dowels
from platemaker.parts._records._figures import spots_of
from platemaker.parts._records._level import Level, Shim
from platemaker.parts._records._part import (
    Body,
    Bolts,
    Envelope,
    EnvelopeKind,
    Face,
    GasketSheet,
    Joint,
    Kind,
    Mounting,
    Part,
    Role,
    Stack,
)
from platemaker.parts._records._pilots import Pilot
from platemaker.parts._records._ports import Port, SurveyedPort
from platemaker.parts._records._stack_records import Acceptance, Drafting, Injector, RailRow, Revision, Room, Stem
from platemaker.parts._records._stock import Bend, PlateStock, RoundStock, Stock, StripStock
from platemaker.parts._records._surveys import Surveyed, Suspects
from platemaker.parts._rows import turned_round_misfit

if TYPE_CHECKING:
    from platemaker.parts._as_made._as_built import (
        AsBuilt,
        AsRead,
        corner_id,
        figures_of,
        is_angle,
        lean_of,
        middle_of,
        outline_place,
        place_of,
        read_as_built,
        sizes_of,
        step_words,
    )
    from platemaker.parts._as_made._as_cut import as_cut
    from platemaker.parts._as_made._zones import axes_read, position_zones
    from platemaker.parts._records._linked import linked
else:  # a stack as drawn has no need of them
    __getattr__ = on_first_use(
        __name__,
        {
            "_as_made._as_built": (
                "AsBuilt",
                "AsRead",
                "corner_id",
                "figures_of",
                "is_angle",
                "lean_of",
                "middle_of",
                "outline_place",
                "place_of",
                "read_as_built",
                "sizes_of",
                "step_words",
            ),
            "_as_made._as_cut": ("as_cut",),
            "_records._linked": ("linked",),
            "_as_made._zones": ("axes_read", "position_zones"),
        },
    )

__all__ = [
    "GRAVITY",
    "LEAD_IN_ANGLE",
    "Acceptance",
    "AsBuilt",
    "AsRead",
    "Belt",
    "Bend",
    "BendLine",
    "Body",
    "Bolts",
    "Cut",
    "Design",
    "Dowels",
    "Drafting",
    "Envelope",
    "EnvelopeKind",
    "Face",
    "Fitted",
    "FlatPattern",
    "GasketSheet",
    "HeadSeat",
    "Hole",
    "Injector",
    "Joint",
    "Kind",
    "LeadIn",
    "Level",
    "Load",
    "Mark",
    "Mounting",
    "Operation",
    "PackageFile",
    "Part",
    "PartFile",
    "Pilot",
    "Plane",
    "Planed",
    "PlateStock",
    "Port",
    "PressFit",
    "Profile",
    "ProfileKind",
    "Pulley",
    "RailRow",
    "Revision",
    "Role",
    "Room",
    "RoundStock",
    "Screw",
    "Seal",
    "Setting",
    "Shared",
    "Shim",
    "Side",
    "Spot",
    "Stack",
    "Stem",
    "Step",
    "StepVoid",
    "Stock",
    "StripStock",
    "Surveyed",
    "SurveyedPort",
    "Suspects",
    "Tapping",
    "Vec3",
    "as_cut",
    "axes_read",
    "bent_point",
    "corner_id",
    "corners_of",
    "ends_of",
    "farthest",
    "figures_of",
    "flat_pattern",
    "flat_point",
    "head_seat",
    "in_plan",
    "is_angle",
    "lead_ins_of",
    "lean_of",
    "leg_frame",
    "leg_of",
    "linked",
    "middle_of",
    "outline_place",
    "place_of",
    "position_zones",
    "read_as_built",
    "sizes_of",
    "spots_of",
    "stack_of",
    "step_label",
    "step_words",
    "tightening_sequence",
    "top_of",
    "turned_round_misfit",
    "usual_class",
    "usual_head",
]
