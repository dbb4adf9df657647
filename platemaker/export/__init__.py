"""Files a shop can cut and paper to work from, each read back from disk, in a folder that appears all at once.

The solid kernel and the DXF library load when a function that needs them is first called.
"""

from typing import TYPE_CHECKING

from platemaker import on_first_use

if TYPE_CHECKING:
    from platemaker.export._belt_sheet import write_belt_sheet
    from platemaker.export._build import BuildResult, BuiltPart, Extra, Progress, build, part_key
    from platemaker.export._cover import Cover, announced, write_covers
    from platemaker.export._fitting_sheet import write_fitting_sheet
    from platemaker.export._flat._dxf import write_dxf
    from platemaker.export._folder._changed import MANIFEST
    from platemaker.export._folder._fingerprint import fingerprint
    from platemaker.export._folder._folder import FolderFiles, Made, OutputFolder
    from platemaker.export._folder._kept import kept
    from platemaker.export._folder._store import Store, default_store
    from platemaker.export._lists._bolt_list import write_bolt_list, write_torque_table
    from platemaker.export._lists._holes import HoleRow, hole_table, write_hole_table
    from platemaker.export._names import profile_layer, safe_name, step_layer, tap_layer
    from platemaker.export._nest import NestedCopy, NestedSheet, Nesting, nested, sheet_size, write_nests
    from platemaker.export._paper import PaperReading, blank_sheet
    from platemaker.export._reading._read_back import ReadBack, pdf_record
    from platemaker.export._reading._read_dxf import DxfReading, prove_dxf, read_dxf
    from platemaker.export._reading._read_step import StepItem, StepReading, prove_stack_step, prove_step, read_step
    from platemaker.export._sheet._film_sheet import FilmShown
    from platemaker.export._shops import Shop
    from platemaker.export._solid._skin import Skin
    from platemaker.export._solid._step import BOUGHT, EXISTING, colour_of, write_stack_step, write_step
    from platemaker.export._solid_process import SolidProcess, how_ended, usable_cores
    from platemaker.export._survey_sheets import write_plan_sheet, write_survey_template
else:  # `check` looks into the store alone
    __getattr__ = on_first_use(
        __name__,
        {
            "_belt_sheet": ("write_belt_sheet",),
            "_build": ("BuildResult", "BuiltPart", "Extra", "Progress", "build", "part_key"),
            "_cover": ("Cover", "announced", "write_covers"),
            "_fitting_sheet": ("write_fitting_sheet",),
            "_flat._dxf": ("write_dxf",),
            "_folder._changed": ("MANIFEST",),
            "_folder._fingerprint": ("fingerprint",),
            "_folder._folder": ("FolderFiles", "Made", "OutputFolder"),
            "_folder._kept": ("kept",),
            "_folder._store": ("Store", "default_store"),
            "_lists._bolt_list": ("write_bolt_list", "write_torque_table"),
            "_lists._holes": ("HoleRow", "hole_table", "write_hole_table"),
            "_names": ("profile_layer", "safe_name", "step_layer", "tap_layer"),
            "_nest": ("NestedCopy", "NestedSheet", "Nesting", "nested", "sheet_size", "write_nests"),
            "_paper": ("PaperReading", "blank_sheet"),
            "_reading._read_back": ("ReadBack", "pdf_record"),
            "_reading._read_dxf": ("DxfReading", "prove_dxf", "read_dxf"),
            "_reading._read_step": ("StepItem", "StepReading", "prove_stack_step", "prove_step", "read_step"),
            "_sheet._film_sheet": ("FilmShown",),
            "_shops": ("Shop",),
            "_solid._skin": ("Skin",),
            "_solid._step": ("BOUGHT", "EXISTING", "colour_of", "write_stack_step", "write_step"),
            "_solid_process": ("SolidProcess", "how_ended", "usable_cores"),
            "_survey_sheets": ("write_plan_sheet", "write_survey_template"),
        },
    )

__all__ = [
    "BOUGHT",
    "EXISTING",
    "MANIFEST",
    "BuildResult",
    "BuiltPart",
    "Cover",
    "DxfReading",
    "Extra",
    "FilmShown",
    "FolderFiles",
    "HoleRow",
    "Made",
    "NestedCopy",
    "NestedSheet",
    "Nesting",
    "OutputFolder",
    "PaperReading",
    "Progress",
    "ReadBack",
    "Shop",
    "Skin",
    "SolidProcess",
    "StepItem",
    "StepReading",
    "Store",
    "announced",
    "blank_sheet",
    "build",
    "colour_of",
    "default_store",
    "fingerprint",
    "hole_table",
    "how_ended",
    "kept",
    "nested",
    "part_key",
    "pdf_record",
    "profile_layer",
    "prove_dxf",
    "prove_stack_step",
    "prove_step",
    "read_dxf",
    "read_step",
    "safe_name",
    "sheet_size",
    "step_layer",
    "tap_layer",
    "usable_cores",
    "write_belt_sheet",
    "write_bolt_list",
    "write_covers",
    "write_dxf",
    "write_fitting_sheet",
    "write_hole_table",
    "write_nests",
    "write_plan_sheet",
    "write_stack_step",
    "write_step",
    "write_survey_template",
    "write_torque_table",
]
