"""platemaker: from a folder of specs to plates, bosses, rails and brackets that a shop can cut.

Lengths are millimetres, angles degrees, forces newtons, pressures and stresses megapascals.

Rooms import to the left only:

    errors, units < catalog < formulas < plane, space < spec < survey < parts
    < solids < checks < views < export < report < study < cli
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

__version__ = "0.1.0"


def on_first_use(room: str, modules: Mapping[str, Sequence[str]]) -> Callable[[str], object]:
    """A door's `__getattr__` for the names that most runs do without: their modules are loaded when one is asked for.

    `modules` are private modules of the room, each with what the door offers of it.
    """
    module_of = {name: module for module, names in modules.items() for name in names}

    def load(name: str) -> object:
        if name not in module_of:
            message = f"module {room!r} has no attribute {name!r}"
            raise AttributeError(message)
        from importlib import import_module  # noqa: PLC0415 - the package itself loads nothing

        return getattr(import_module(f"{room}.{module_of[name]}"), name)

    return load
