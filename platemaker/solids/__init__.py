"""Parts as kernel solids: made, proved, placed and measured. The kernel loads when a function here is first called."""

from platemaker.solids._build import solid_of
from platemaker.solids._envelope import envelope_solid
from platemaker.solids._faces import SAME_PLACE, CylinderFace, cylinders_of, round_faces, slopes_of
from platemaker.solids._imported_body import ImportedBody, ImportedFace
from platemaker.solids._keep import solid_from_bytes, solid_to_bytes
from platemaker.solids._kernel import Solid, kernel, load_kernel
from platemaker.solids._measure import bounds_of, location_of, placed
from platemaker.solids._mesh import Facets, facets_of
from platemaker.solids._proof import prove
from platemaker.solids._records import Imported, SolidProof
from platemaker.solids._space_figures import figure_solid
from platemaker.solids._step_file import load_step
from platemaker.solids._tools import tools_of
from platemaker.solids._volume import volume_of

__all__ = [
    "SAME_PLACE",
    "CylinderFace",
    "Facets",
    "Imported",
    "ImportedBody",
    "ImportedFace",
    "Solid",
    "SolidProof",
    "bounds_of",
    "cylinders_of",
    "envelope_solid",
    "facets_of",
    "figure_solid",
    "kernel",
    "load_kernel",
    "load_step",
    "location_of",
    "placed",
    "prove",
    "round_faces",
    "slopes_of",
    "solid_from_bytes",
    "solid_of",
    "solid_to_bytes",
    "tools_of",
    "volume_of",
]
