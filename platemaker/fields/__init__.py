"""Fields: air through a chamber, pressure under a gasket; meshed and calculated in a process of its own."""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.fields._answer import FAST, MODEL, FlowAnswer
from platemaker.fields._kept import fields_kept, mark_fields, store_folder
from platemaker.fields._records import Field, FlowError, Grid, SpeedPlane, field_of
from platemaker.fields._run import SEAL_CHILD, has_library, solved
from platemaker.fields._seal._answer import SealAnswer
from platemaker.fields._seal._case import Ends, Pressed, Push, SealInput, seal_case
from platemaker.fields._seal._records import FilmCase, FilmMesh, SealField, seal_field_of
from platemaker.fields._volume import AirVolume, Edge, Slab, Stretch, air_volume, joined, volume_of

if TYPE_CHECKING:
    from platemaker.fields._calculation import calculated, case_folder
    from platemaker.fields._case import case_of, seconds_of
    from platemaker.fields._seal._slant import film_grid, slanted
    from platemaker.fields._solver import MISSING, has_solver, solver_version
    from platemaker.fields._spacing import edge_profile
else:  # only meshes and pictures need numbers in arrays
    __getattr__ = on_first_use(
        __name__,
        {
            "_calculation": ("calculated", "case_folder"),
            "_case": ("case_of", "seconds_of"),
            "_seal._slant": ("film_grid", "slanted"),
            "_solver": ("MISSING", "has_solver", "solver_version"),
            "_spacing": ("edge_profile",),
        },
    )

__all__ = [
    "FAST",
    "MISSING",
    "MODEL",
    "SEAL_CHILD",
    "AirVolume",
    "Edge",
    "Ends",
    "Field",
    "FilmCase",
    "FilmMesh",
    "FlowAnswer",
    "FlowError",
    "Grid",
    "Pressed",
    "Push",
    "SealAnswer",
    "SealField",
    "SealInput",
    "Slab",
    "SpeedPlane",
    "Stretch",
    "air_volume",
    "calculated",
    "case_folder",
    "case_of",
    "edge_profile",
    "field_of",
    "fields_kept",
    "film_grid",
    "has_library",
    "has_solver",
    "joined",
    "mark_fields",
    "seal_case",
    "seal_field_of",
    "seconds_of",
    "slanted",
    "solved",
    "solver_version",
    "store_folder",
    "volume_of",
]
