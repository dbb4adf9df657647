"""Fields of air: the flow through a chamber, meshed and calculated in a process of its own, with its errors."""

from platemaker.fields._answer import FAST, FlowAnswer
from platemaker.fields._records import Field, FlowError, Grid, Plane, field_of
from platemaker.fields._run import FRICTION, MISSING, WORST, case_of, has_library, solved
from platemaker.fields._volume import AirVolume, Section, Slab, air_volume, joined, volume_of

__all__ = [
    "FAST",
    "FRICTION",
    "MISSING",
    "WORST",
    "AirVolume",
    "Field",
    "FlowAnswer",
    "FlowError",
    "Grid",
    "Plane",
    "Section",
    "Slab",
    "air_volume",
    "case_of",
    "field_of",
    "has_library",
    "joined",
    "solved",
    "volume_of",
]
