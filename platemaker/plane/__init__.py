"""The exact plane: regions of lines and arcs, and what is measured on them. Nothing here polygonises."""

from platemaker.plane._belt import BeltPath, Wheel, belt_path, distance_to
from platemaker.plane._boolean import intersect, subtract, unite
from platemaker.plane._distance import Nearest, nearest
from platemaker.plane._hull import within_hull
from platemaker.plane._inside import Place, contains, contains_each, place_of
from platemaker.plane._least_box import LeastBox, least_box
from platemaker.plane._limiters import Limiter, LimiterKind, gain_by_moving, limiters
from platemaker.plane._many import closest_pairs, nearest_each, nearest_to, neighbours, walls_inside
from platemaker.plane._measure import Measures, measures
from platemaker.plane._necks import necks
from platemaker.plane._offset import Distance, offset
from platemaker.plane._pocket import (
    CUTTER,
    Dropped,
    DropReason,
    OpenedPocket,
    PocketRequest,
    Spared,
    open_out,
    opened_area,
)
from platemaker.plane._sections import lengths_inside
from platemaker.plane._shapes import Arc, Box, Circle, Edge, Line, Loop, Point, Region
from platemaker.plane._shared import areas_left, overlap, shared_area, shared_areas, total_area
from platemaker.plane._simple import self_contact
from platemaker.plane._simplify import simplified
from platemaker.plane._slivers import is_sliver, without_slivers
from platemaker.plane._sweep import kept, swept
from platemaker.plane._table import Shape
from platemaker.plane._throat import ChamberOpening, ChamberPiece, Throat, ThroatKind, ThroatPart, throat
from platemaker.plane._transform import mirrored, moved, rotated
from platemaker.plane._wall import Filled, wall, wall_between

__all__ = [
    "CUTTER",
    "Arc",
    "BeltPath",
    "Box",
    "ChamberOpening",
    "ChamberPiece",
    "Circle",
    "Distance",
    "DropReason",
    "Dropped",
    "Edge",
    "Filled",
    "LeastBox",
    "Limiter",
    "LimiterKind",
    "Line",
    "Loop",
    "Measures",
    "Nearest",
    "OpenedPocket",
    "Place",
    "PocketRequest",
    "Point",
    "Region",
    "Shape",
    "Spared",
    "Throat",
    "ThroatKind",
    "ThroatPart",
    "Wheel",
    "areas_left",
    "belt_path",
    "closest_pairs",
    "contains",
    "contains_each",
    "distance_to",
    "gain_by_moving",
    "intersect",
    "is_sliver",
    "kept",
    "least_box",
    "lengths_inside",
    "limiters",
    "measures",
    "mirrored",
    "moved",
    "nearest",
    "nearest_each",
    "nearest_to",
    "necks",
    "neighbours",
    "offset",
    "open_out",
    "opened_area",
    "overlap",
    "place_of",
    "rotated",
    "self_contact",
    "shared_area",
    "shared_areas",
    "simplified",
    "subtract",
    "swept",
    "throat",
    "total_area",
    "unite",
    "wall",
    "wall_between",
    "walls_inside",
    "within_hull",
    "without_slivers",
]
