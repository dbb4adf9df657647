"""Formulas of standards and books: one clause, one small pure function. They know no parts and read no files.

Lengths are mm, forces N, stresses MPa, angles degrees; flow is in SI with the units said in each docstring. Every
formula stands in `FORMULAS` with its source, clause, law, units and ranges; `worked` gives a result with its inputs.
"""

from platemaker.formulas._asme_b1_1_2003 import (
    unified_thread_limits,
)
from platemaker.formulas._fed_std_h28 import (
    engagement_equal_materials,
    external_shear_area,
    internal_shear_area,
    relative_thread_strength,
    strip_load,
)
from platemaker.formulas._iso_898_1_2013 import (
    proof_load,
    stress_area,
    ultimate_load,
)
from platemaker.formulas._iso_965_1_2013 import (
    ThreadLimits,
    metric_thread_limits,
)
from platemaker.formulas._registry import (
    FORMULAS,
    Formula,
    Quantity,
    Range,
    Source,
    Worked,
    about,
    worked,
)
from platemaker.formulas._shigley_joints import (
    bolt_load,
    bolt_stiffness,
    clamp_left,
    frustum_stiffness,
    grip_tapped,
    joint_constant,
    load_factor,
    member_stiffness,
    member_stiffness_wileman,
    nut_factor,
    preload_from_torque,
    recommended_preload,
    separation_factor,
    stiffness_in_series,
    thread_length_inch,
    thread_length_metric,
    torque_for_preload,
    unified_stress_area,
    yield_factor,
)
from platemaker.formulas._shigley_patterns import (
    PatternProperties,
    pattern_properties,
    pattern_shear,
    pattern_tension,
    tilting_tension,
)

__all__ = [
    "FORMULAS",
    "Formula",
    "PatternProperties",
    "Quantity",
    "Range",
    "Source",
    "ThreadLimits",
    "Worked",
    "about",
    "bolt_load",
    "bolt_stiffness",
    "clamp_left",
    "engagement_equal_materials",
    "external_shear_area",
    "frustum_stiffness",
    "grip_tapped",
    "internal_shear_area",
    "joint_constant",
    "load_factor",
    "member_stiffness",
    "member_stiffness_wileman",
    "metric_thread_limits",
    "nut_factor",
    "pattern_properties",
    "pattern_shear",
    "pattern_tension",
    "preload_from_torque",
    "proof_load",
    "recommended_preload",
    "relative_thread_strength",
    "separation_factor",
    "stiffness_in_series",
    "stress_area",
    "strip_load",
    "thread_length_inch",
    "thread_length_metric",
    "tilting_tension",
    "torque_for_preload",
    "ultimate_load",
    "unified_stress_area",
    "unified_thread_limits",
    "worked",
    "yield_factor",
]
