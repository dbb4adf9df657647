"""Names of the files that a project is written to, and what a part must not be called so that none is written twice."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from platemaker.errors import SpecError
from platemaker.parts._records._part import Part
from platemaker.spec import ProjectSpec


class PackageFile(StrEnum):
    """Files of a whole project, without their endings."""

    STACK = "stack"
    REPORT = "report"
    BOLTS = "bolts"
    TORQUES = "torques"
    BELT = "belt"
    COVER = "cover_page"
    FITTING = "fitting_sheet"
    MANIFEST = "manifest"


class PartFile(StrEnum):
    """What stands behind a part's name in the names of its files."""

    MODEL = ""
    PROFILE = "_profile"
    HOLES = "_holes"
    DRAWING = "_drawing"
    TEMPLATE = "_template"
    FIRST_ARTICLE = "_first_article"

    def of(self, part: Part) -> str:
        """The file's name without its ending."""
        return f"{part.name}{self.value}"


DEVICES = frozenset(["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))])
"""Names that Windows keeps for devices, whatever the ending (Microsoft, Naming Files, Paths, and Namespaces)."""


def refuse_shared_files(parts: Iterable[Part], spec: ProjectSpec) -> None:
    """Raise SpecError for a part with a body's name, or one of whose files would have the name of another."""
    taken = {file.value: f"the project's own {file.value} file" for file in PackageFile}
    for part in parts:
        where = spec.where(*part.key.split(".")[:2])
        if part.name in spec.model.bodies:
            problem = f"'{part.name}' is a body too"
            raise SpecError(problem, where=where, allowed="a name that no body has")
        if part.name.lower() in DEVICES:
            problem = f"Windows writes no file called '{part.name}'"
            raise SpecError(problem, where=where, allowed="another name")
        own = {file.of(part).lower(): f"'{file.of(part)}'" for file in PartFile}
        for stem, name in own.items():
            if stem in taken:
                problem = f"{name} and {taken[stem]} would be one file name"
                raise SpecError(problem, where=where, allowed="names that differ")
        taken |= own
