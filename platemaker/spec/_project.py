"""A project folder: its YAML files read, merged and validated into one frozen model."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, Strict, ValidationError

from platemaker.errors import (
    CatalogError,
    GeometryError,
    Location,
    OutOfRange,
    SpecError,
    SpecErrors,
    SurveyError,
    UnitError,
    nearest_word,
)
from platemaker.records import Record
from platemaker.spec._accept_models import AcceptModel
from platemaker.spec._base import Name, SpecModel, Title
from platemaker.spec._belt_models import BeltModel
from platemaker.spec._design_models import DesignModel
from platemaker.spec._drawing_models import DrawingModel
from platemaker.spec._joint_models import BodyModel, JointModel
from platemaker.spec._limit_models import LimitsModel
from platemaker.spec._part_models import AnyPart
from platemaker.spec._stack_models import StackModel
from platemaker.spec._yaml import KeyPath, ReadFile, dotted, load_yaml

MAIN_FILE = "project.yaml"
SHARED_SECTIONS = ("bodies", "joints", "parts")
READINGS = ".readings.yaml"


class ProjectModel(SpecModel):
    """A whole project: what exists, where it meets, what is made."""

    project: Name
    title: Title | None = None
    units: Literal["mm", "in"] = "mm"
    limits: LimitsModel = LimitsModel.model_construct()
    accept: Annotated[tuple[AcceptModel, ...], Strict(False), Field(max_length=200)] = ()
    design: DesignModel | None = None
    belt: BeltModel | None = None
    drawing: DrawingModel = DrawingModel.model_construct()
    stack: StackModel = StackModel.model_construct()
    bodies: dict[Name, BodyModel] = Field(default_factory=dict)
    joints: dict[Name, JointModel] = Field(default_factory=dict)
    parts: Annotated[dict[Name, AnyPart], Field(min_length=1)]


class Sources(Record):
    """The files of a project, and which of them holds which entry of the shared sections."""

    main: ReadFile
    files: tuple[ReadFile, ...]
    owner: Mapping[tuple[str, str], ReadFile]

    def where(self, *path: str | int) -> Location:
        """The place of a key path, in whichever file holds it."""
        if len(path) >= 2 and (path[0], path[1]) in self.owner:
            return self.owner[str(path[0]), str(path[1])].where(path)
        return self.main.where(path)

    def shared(self, path: KeyPath) -> tuple[KeyPath, ...]:
        """All key paths of what is written at `path`, which change together: several where an alias brings it in."""
        owner = self.owner.get((str(path[0]), str(path[1])), self.main) if len(path) >= 2 else self.main
        return owner.lines.shared(path)


class ProjectSpec(Record):
    """A validated project and where each of its values stands. `folder` holds the spec's files."""

    folder: Path
    model: ProjectModel
    sources: Sources
    data: Mapping[str, Any]

    def where(self, *path: str | int) -> Location:
        """The file, line and key path of a value."""
        return self.sources.where(*path)

    @contextmanager
    def blame(self, *path: str | int) -> Iterator[None]:
        """Errors raised inside that do not say where they arose become spec errors at key `path`."""
        try:
            yield
        except SpecErrors:
            raise
        except SpecError as fault:
            if fault.where is not None:
                raise
            raise SpecError(
                fault.problem, where=self.where(*path), met=fault.met, allowed=fault.allowed, nearest=fault.nearest
            ) from fault
        except CatalogError as fault:
            # The catalog's words name the nearest size themselves.
            raise SpecError(str(fault), where=self.where(*path)) from fault
        except (GeometryError, UnitError, OutOfRange, SurveyError) as fault:
            raise SpecError(str(fault), where=self.where(*path)) from fault


def load_project(folder: Path) -> ProjectSpec:
    """The project in `folder`. Raises SpecError or SpecErrors naming file, line and key for whatever is wrong."""
    sources, data = read_folder(folder)
    return validate(folder, sources, data)


def read_folder(folder: Path) -> tuple[Sources, dict[str, Any]]:
    """The files of a project folder, merged but not validated."""
    if not folder.exists():
        problem = "no such project folder"
        raise SpecError(problem, where=Location(folder), nearest=_neighbour(folder))
    if not folder.is_dir():
        problem = "a file, not a project folder"
        raise SpecError(problem, where=Location(folder), allowed=f"a folder with a {MAIN_FILE}")
    try:
        names = {path.name for path in folder.iterdir()}
    except OSError as fault:
        problem = f"the folder cannot be read: {fault.strerror}"
        raise SpecError(problem, where=Location(folder)) from fault
    if MAIN_FILE not in names:
        problem = f"the folder has no {MAIN_FILE}"
        raise SpecError(problem, where=Location(folder), allowed=f"a folder with a {MAIN_FILE}")
    main = load_yaml(folder / MAIN_FILE)
    others = sorted(
        path
        for path in (*folder.glob("*.yaml"), *folder.glob("*.yml"))
        if path.name != MAIN_FILE and not path.name.endswith(READINGS)
    )
    return _merge(main, [load_yaml(path) for path in others])


def validate(folder: Path, sources: Sources, data: Mapping[str, Any]) -> ProjectSpec:
    """`data` as a project. The bare lengths in it are in its own `units`."""
    units = data.get("units", "mm")
    context = {"units": units if units in ("mm", "in") else "mm"}
    try:
        model = ProjectModel.model_validate(dict(data), context=context)
    except ValidationError as fault:
        from platemaker.spec._located import located  # noqa: PLC0415 - a spec without faults has no need of it

        raise located(fault, data, sources.where, ProjectModel) from None
    return ProjectSpec(folder, model, sources, data)


def _merge(main: ReadFile, others: list[ReadFile]) -> tuple[Sources, dict[str, Any]]:
    data: dict[str, Any] = {key: value for key, value in main.data.items() if key not in SHARED_SECTIONS}
    owner: dict[tuple[str, str], ReadFile] = {}
    for loaded in (main, *others):
        if loaded is not main:
            _only_shared(loaded)
        for section in SHARED_SECTIONS:
            if section not in loaded.data:
                continue
            entries = loaded.data[section]
            if not isinstance(entries, dict):
                problem = f"`{section}` must be a mapping of names"
                raise SpecError(problem, where=loaded.where((section,)), met=entries, allowed="name: {...}")
            _take(section, entries, loaded, data, owner)
    return Sources(main, (main, *others), owner), data


def _take(
    section: str,
    entries: dict[str, Any],
    loaded: ReadFile,
    data: dict[str, Any],
    owner: dict[tuple[str, str], ReadFile],
) -> None:
    merged = data.setdefault(section, {})
    for name, value in entries.items():
        if name in merged:
            first = owner[section, name].where((section, name))
            problem = f"'{name}' is declared twice in `{section}`, first in {first.file.name}:{first.line}"
            raise SpecError(problem, where=loaded.where((section, name)))
        merged[name] = value
        owner[section, name] = loaded


def _refuse_other_kinds(loaded: ReadFile) -> None:
    """Sheets and readings are no files of the spec."""
    for key, what, allowed in (
        ("measures", "a first-article sheet, no file of the spec", "it in another folder, for `check --as-built`"),
        ("readings", "readings of a survey, no file of the spec", f"a name that ends in {READINGS}"),
    ):
        if isinstance(loaded.data.get(key), list):
            raise SpecError(what, where=loaded.where((key,)), allowed=allowed)


def _only_shared(loaded: ReadFile) -> None:
    _refuse_other_kinds(loaded)
    for key in loaded.data:
        if key not in SHARED_SECTIONS:
            problem = f"unknown key '{key}'"
            raise SpecError(
                problem,
                where=loaded.where((key,)),
                allowed=f"{', '.join(SHARED_SECTIONS)} (the other keys stand in {MAIN_FILE})",
                nearest=nearest_word(str(key), SHARED_SECTIONS),
            )


def _neighbour(folder: Path) -> str | None:
    parent = folder.parent
    return nearest_word(folder.name, [one.name for one in parent.iterdir()]) if parent.is_dir() else None


__all__ = ["MAIN_FILE", "READINGS", "ProjectModel", "ProjectSpec", "Sources", "dotted", "load_project"]
