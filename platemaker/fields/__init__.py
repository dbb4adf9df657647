"""Fields of air: the flow through a chamber, meshed and calculated in a process of its own, with its errors."""

from platemaker.fields._answer import FRICTION, FlowAnswer, flow
from platemaker.fields._pictures import write_flow
from platemaker.fields._records import Field, FlowError, Grid, Plane, field_of
from platemaker.fields._run import MISSING, WORST, case_of, has_library, solved
from platemaker.fields._volume import AirVolume, Section, Slab, air_volume, joined, volume_of
from platemaker.fields._words import flow_json, flow_text

__all__ = [
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
    "flow",
    "flow_json",
    "flow_text",
    "has_library",
    "joined",
    "solved",
    "volume_of",
    "write_flow",
]
