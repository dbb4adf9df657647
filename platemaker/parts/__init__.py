"""From spec models to parts: stock with named cuts, joints, bodies, and the stack that places them."""

from platemaker.parts._cuts import Cut, Hole, Mark, Operation, Profile, ProfileKind, Side, Step, Tapping
from platemaker.parts._part import (
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
from platemaker.parts._stock import Bend, PlateStock, RoundStock, Stock, StripStock

__all__ = [
    "Bend",
    "Body",
    "Bolts",
    "Cut",
    "Envelope",
    "EnvelopeKind",
    "Face",
    "GasketSheet",
    "Hole",
    "Joint",
    "Kind",
    "Mark",
    "Mounting",
    "Operation",
    "Part",
    "PlateStock",
    "Profile",
    "ProfileKind",
    "Role",
    "RoundStock",
    "Side",
    "Stack",
    "Step",
    "Stock",
    "StripStock",
    "Tapping",
]
