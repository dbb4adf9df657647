"""platemaker: from a folder of specs to plates, bosses, rails and brackets that a shop can cut.

Lengths are millimetres, angles degrees, forces newtons, pressures and stresses megapascals.

For scripts and notebooks; nothing is loaded before its first use:

    >>> import platemaker
    >>> project = platemaker.load("part_specs/standard_faces")
    >>> thin = project.with_value("adapter.thickness", "8 mm").check()
    >>> thin.passed, round(thin.least_metal("adapter").measured, 3)  # counterbores for M6 are 6.4 mm deep
    (False, 1.6)

`platemaker.new` starts a project. A `Project` is checked, built, studied and compared; a `Checked` holds its
`Finding`s, each with its `Verdict`. A fault of the spec is a `SpecError`; `PlatemakerError` is the root of all errors.

Rooms import to the left only:

    errors, remembered, units < catalog < formulas < plane, space < spec < survey, fit_up < parts < resolved
    < solids < checks < views < export < report < study < project < cli
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from platemaker.checks import Finding, Verdict
    from platemaker.errors import PlatemakerError, SpecError, SpecErrors
    from platemaker.project import Checked, Project, load, new

__version__ = "0.1.0"

__all__ = [
    "Checked",
    "Finding",
    "PlatemakerError",
    "Project",
    "SpecError",
    "SpecErrors",
    "Verdict",
    "load",
    "new",
]


def on_first_use(room: str, modules: Mapping[str, Sequence[str]]) -> Callable[[str], object]:
    """A door's `__getattr__` for the names that most runs do without: their modules are loaded when one is asked for.

    `modules` are modules of the room, each with what the door offers of it.
    """
    module_of = {name: module for module, names in modules.items() for name in names}

    def load_name(name: str) -> object:
        if name not in module_of:
            message = f"module {room!r} has no attribute {name!r}"
            raise AttributeError(message)
        from importlib import import_module  # noqa: PLC0415 - the package itself loads nothing

        return getattr(import_module(f"{room}.{module_of[name]}"), name)

    return load_name


if not TYPE_CHECKING:
    __getattr__ = on_first_use(
        __name__,
        {
            "checks": ("Finding", "Verdict"),
            "errors": ("PlatemakerError", "SpecError", "SpecErrors"),
            "project": ("Checked", "Project", "load", "new"),
        },
    )


def __dir__() -> list[str]:
    """What completion in a notebook shows."""
    return [*__all__, "__version__"]
