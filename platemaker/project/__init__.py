"""One project as scripts and commands handle it: started, loaded, changed, checked, built, studied, compared.

What `import platemaker` offers comes from here.
"""

from typing import TYPE_CHECKING

from platemaker import on_first_use
from platemaker.project._checked import READ, Checked
from platemaker.project._new import load, new
from platemaker.project._project import Project

if TYPE_CHECKING:
    from platemaker.project._files import build_files
    from platemaker.project._flow import flow, flow_case, stored_flow, write_flow_case
    from platemaker.project._seal import seal, seal_cures, sealed_joints, stored_films
else:  # only a build and fields need the room of export
    __getattr__ = on_first_use(
        __name__,
        {
            "_files": ("build_files",),
            "_flow": ("flow", "flow_case", "stored_flow", "write_flow_case"),
            "_seal": ("seal", "seal_cures", "sealed_joints", "stored_films"),
        },
    )

__all__ = [
    "READ",
    "Checked",
    "Project",
    "build_files",
    "flow",
    "flow_case",
    "load",
    "new",
    "seal",
    "seal_cures",
    "sealed_joints",
    "stored_films",
    "stored_flow",
    "write_flow_case",
]
