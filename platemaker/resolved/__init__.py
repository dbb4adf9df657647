"""What follows: voids, walls and volume of a part, joints and screws of a stack; worked out once, then only read."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.resolved._assemble import assemble
from platemaker.resolved._belt import BeltCase, ResolvedBelt, Running
from platemaker.resolved._belt_bracket import IdlerPlate, wedge
from platemaker.resolved._belt_line import PulleyLine, PulleyPlay
from platemaker.resolved._blank import Blank, BlankFace
from platemaker.resolved._bolt import STEEL, BearingSeat, Bolt, Clamp, TappedEnd, head_size, nut_size, sold_as
from platemaker.resolved._bolt_length import BoltLength
from platemaker.resolved._bolts import HEADED, alike, seat_depth, thread_left
from platemaker.resolved._boost import Boost, blower_power, blower_speed, boost_of, charge_temperature
from platemaker.resolved._joints import JointSide, ResolvedJoint
from platemaker.resolved._layers import Layer
from platemaker.resolved._making import ALLOWANCE, Making, OrderedStock, Tool, inside_corners, making_of
from platemaker.resolved._matter import exact_figure, matter_of
from platemaker.resolved._over_holes import Loose
from platemaker.resolved._part import ResolvedPart, resolved
from platemaker.resolved._pieces import count_pieces
from platemaker.resolved._stack import ResolvedStack, resolved_stack
from platemaker.resolved._voids import Bored, Milled, Upright, Void
from platemaker.resolved._walls import Wall, WallKind, are_meant_to_meet

if TYPE_CHECKING:
    from platemaker.resolved._cut_faces import (
        Section,
        SeenHole,
        Taken,
        Threaded,
        heights_at,
        lies_along,
        meets_hole,
        through_axis,
    )
    from platemaker.resolved._cutting import Cutting, crossings
    from platemaker.resolved._volume import Predicted, expected_volume, predicted_volume
else:  # only solids, sections and files have need of them
    __getattr__ = on_first_use(
        __name__,
        {
            "_cut_faces": (
                "Section",
                "SeenHole",
                "Taken",
                "Threaded",
                "heights_at",
                "lies_along",
                "meets_hole",
                "through_axis",
            ),
            "_cutting": ("Cutting", "crossings"),
            "_volume": ("Predicted", "expected_volume", "predicted_volume"),
        },
    )

__all__ = [
    "ALLOWANCE",
    "HEADED",
    "STEEL",
    "BearingSeat",
    "BeltCase",
    "Blank",
    "BlankFace",
    "Bolt",
    "BoltLength",
    "Boost",
    "Bored",
    "Clamp",
    "Cutting",
    "IdlerPlate",
    "JointSide",
    "Layer",
    "Loose",
    "Making",
    "Milled",
    "OrderedStock",
    "Predicted",
    "PulleyLine",
    "PulleyPlay",
    "ResolvedBelt",
    "ResolvedJoint",
    "ResolvedPart",
    "ResolvedStack",
    "Running",
    "Section",
    "SeenHole",
    "Taken",
    "TappedEnd",
    "Threaded",
    "Tool",
    "Upright",
    "Void",
    "Wall",
    "WallKind",
    "alike",
    "are_meant_to_meet",
    "assemble",
    "blower_power",
    "blower_speed",
    "boost_of",
    "charge_temperature",
    "count_pieces",
    "crossings",
    "exact_figure",
    "expected_volume",
    "head_size",
    "heights_at",
    "inside_corners",
    "lies_along",
    "making_of",
    "matter_of",
    "meets_hole",
    "nut_size",
    "predicted_volume",
    "resolved",
    "resolved_stack",
    "seat_depth",
    "sold_as",
    "thread_left",
    "through_axis",
    "wedge",
]
