"""What follows from a part: blank, voids, layers, walls and volume, each worked out once and then only read."""

from platemaker.resolved._assemble import assemble
from platemaker.resolved._blank import Blank, Face
from platemaker.resolved._layers import Layer
from platemaker.resolved._matter import matter_of
from platemaker.resolved._part import ResolvedPart, resolved
from platemaker.resolved._pieces import count_pieces
from platemaker.resolved._voids import Bored, Milled, Upright, Void
from platemaker.resolved._volume import Predicted, expected_volume, predicted_volume
from platemaker.resolved._walls import Wall, WallKind, are_meant_to_meet

__all__ = [
    "Blank",
    "Bored",
    "Face",
    "Layer",
    "Milled",
    "Predicted",
    "ResolvedPart",
    "Upright",
    "Void",
    "Wall",
    "WallKind",
    "are_meant_to_meet",
    "assemble",
    "count_pieces",
    "expected_volume",
    "matter_of",
    "predicted_volume",
    "resolved",
]
