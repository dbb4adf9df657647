"""Fields: air through a chamber, pressure under a gasket; meshed and calculated in a process of its own."""

from platemaker.fields._answer import FAST, FlowAnswer
from platemaker.fields._kept import films_kept, mark_films, store_folder
from platemaker.fields._records import Field, FlowError, Grid, Plane, field_of
from platemaker.fields._run import FRICTION, MISSING, SEAL_CHILD, WORST, case_of, has_library, solved
from platemaker.fields._seal._answer import SealAnswer
from platemaker.fields._seal._case import Ends, Pressed, Push, SealInput, seal_case
from platemaker.fields._seal._records import FilmCase, FilmMesh, SealField, seal_field_of
from platemaker.fields._volume import AirVolume, Section, Slab, air_volume, joined, volume_of

__all__ = [
    "FAST",
    "FRICTION",
    "MISSING",
    "SEAL_CHILD",
    "WORST",
    "AirVolume",
    "Ends",
    "Field",
    "FilmCase",
    "FilmMesh",
    "FlowAnswer",
    "FlowError",
    "Grid",
    "Plane",
    "Pressed",
    "Push",
    "SealAnswer",
    "SealField",
    "SealInput",
    "Section",
    "Slab",
    "air_volume",
    "case_of",
    "field_of",
    "films_kept",
    "has_library",
    "joined",
    "mark_films",
    "seal_case",
    "seal_field_of",
    "solved",
    "store_folder",
    "volume_of",
]
