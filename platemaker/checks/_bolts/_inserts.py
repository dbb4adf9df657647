"""Thread inserts: room for their length, and the load that pulls them out of the metal."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import property_class, thread
from platemaker.checks._advice import citations, inputs_of
from platemaker.checks._bolts._threads import hole_thread_area, shear_strength, thread_sizes
from platemaker.checks._finding import Finding, Input, Limit, measured, not_checked
from platemaker.checks._loads._heat import part_temperature, warm
from platemaker.formulas import (
    about,
    insert_assembled_length,
    insert_thread_depth,
    proof_load,
    strip_load,
    ultimate_load,
    worked,
)
from platemaker.parts import Hole, Part, Stack, Tapping
from platemaker.records import replace
from platemaker.resolved import resolved_stack, thread_left

DEPTH, PULLED = "PM984", "PM985"
METRIC_CLASS, INCH_CLASS = "8.8", "grade 5"
"""Class of screw that an insert is held against where nothing lies over its hole."""


def check_inserts(stack: Stack) -> Iterator[Finding]:
    """Every hole with a thread insert."""
    for part in stack.parts:
        for hole in part.holes:
            if hole.tapping is not None and hole.tapping.insert > 0 and hole.bolt is not None:
                yield _deep_enough(part, hole, hole.tapping)
                held = resolved_stack(stack).bolt_in(part.name, hole.name)
                warmed = replace(part, material=warm(part.material, part_temperature(stack, part)))
                yield _pulled(warmed, hole, hole.tapping, hole.bolt, held.bolts.property_class if held else None)


def _deep_enough(part: Part, hole: Hole, tapping: Tapping) -> Finding:
    """Full thread against the insert's length, and one pitch more in a blind hole."""
    needed = worked(insert_thread_depth, L=tapping.insert, P=tapping.pitch)
    least = tapping.insert if hole.through else needed.result
    limit = Limit(least, "mm", needed.formula.citation)
    return measured(
        DEPTH, "thread for the insert", part.name, (hole.name, tapping.designation),
        thread_left(part, hole, tapping), limit,
        points=[hole.at], inputs=inputs_of(needed), note="through: its own length" if hole.through else "",
    )  # fmt: skip


def _pulled(part: Part, hole: Hole, tapping: Tapping, bolt: str, strength: str | None) -> Finding:
    """Load that shears the metal's thread round the insert, over the proof load of its screw, or of a usual one."""
    title, screw = "insert pull-out load over screw proof load", thread(bolt)
    features = (hole.name, tapping.designation)
    tau = shear_strength(part.material)
    if tau is None:
        return not_checked(PULLED, title, part.name, features, f"the catalog has no strength for {part.material.name}")
    named = strength or (METRIC_CLASS if screw.metric else INCH_CLASS)
    row = property_class(named, screw.major_diameter)
    if row.proof_strength is None:
        return not_checked(PULLED, title, part.name, features, f"class {named} has no proof strength")
    size = thread_sizes(tapping.major_diameter, tapping.pitch, metric=screw.metric)
    length, left = worked(insert_assembled_length, L=tapping.insert, P=tapping.pitch), thread_left(part, hole, tapping)
    if left <= 0:
        return not_checked(PULLED, title, part.name, features, "no thread is left for it")
    area = hole_thread_area(size, tapping.pitch, min(length.result, left))
    load = worked(strip_load, A=area.result, tau=tau)
    proof = worked(proof_load, A_s=screw.stress_area, S_p=row.proof_strength)
    breaks = ultimate_load(screw.stress_area, row.tensile_strength) / proof.result
    source = f"{citations(area, proof, length)}; caution: the screw breaks first, {about(ultimate_load).citation}"
    inputs: list[Input] = [
        *inputs_of(length, area, load, proof),
        ("pulls out at", load.result, "N"),
        ("proof load", proof.result, "N"),
    ]
    limit = Limit(1.0, "times the proof load", source, breaks)
    note = f"of a screw {screw.designation} of class {named}"
    return measured(
        PULLED,
        title,
        part.name,
        features,
        load.result / proof.result,
        limit,
        points=[hole.at],
        inputs=inputs,
        note=note,
    )
