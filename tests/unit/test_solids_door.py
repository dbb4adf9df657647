"""Importing the rooms that use the kernel must not load it: it takes two seconds."""

from __future__ import annotations

import inspect
import subprocess
import sys

HEAVY = ("cadquery", "OCP", "ezdxf", "trimesh", "scipy")


def test_importing_solids_and_export_loads_no_heavy_library() -> None:
    code = (
        f"import sys, platemaker.solids, platemaker.export\nprint([name for name in {HEAVY!r} if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_doors_list_what_they_hold() -> None:
    import platemaker.export
    import platemaker.solids

    for door in (platemaker.solids, platemaker.export):
        assert len(door.__all__) == len(set(door.__all__))
        things = [getattr(door, name) for name in door.__all__]
        assert all(thing.__doc__ for thing in things if inspect.isfunction(thing) or inspect.isclass(thing))
