"""Formulas of standards and books: one clause, one small pure function. They know no parts and read no files.

Lengths are mm, forces N, stresses MPa, angles degrees; flow is in SI with the units said in each docstring. Every
formula stands in `FORMULAS` with its source, clause, law, units and ranges; `worked` gives a result with its inputs.
"""

from platemaker.formulas._asme_b1_1_2003 import (
    unified_thread_limits,
)
from platemaker.formulas._asme_b1_20_1 import (
    npt_depth_needed,
)
from platemaker.formulas._asme_b18_29 import (
    insert_assembled_length,
    insert_major_diameter,
    insert_minor_diameter,
    insert_thread_depth,
)
from platemaker.formulas._beams import (
    firing_frequency,
    strip_bending_stress,
    strip_end_slope,
    strip_torsion_stress,
    strip_twist,
    stud_bending_stress,
    stud_end_slope,
    tip_mass_frequency,
    unit_load_deflection,
)
from platemaker.formulas._belts import (
    belt_pull,
    capstan_ratio,
    centrifugal_tension,
    groove_friction,
    span_frequency,
)
from platemaker.formulas._bolting_practice import (
    head_bearing_stress,
    tapped_bolt_length,
    through_bolt_length,
    tightening_order,
    tightening_order_outwards,
)
from platemaker.formulas._chambers import (
    CHAMBER_BOUNDS,
    CHAMBER_BOUNDS_OTHER,
    CHAMBER_CONTRACTION,
    CHAMBER_TURN,
    chamber_jet_area,
    chamber_loss,
    jet_mixing_loss,
)
from platemaker.formulas._ecss_32_23 import embedding, force_of_length_change, thermal_mismatch
from platemaker.formulas._engine_air import (
    blower_boost_ratio,
    blower_mass_flow,
    blower_pressure_ratio,
    compression_power,
    compressor_outlet_temperature,
    four_stroke_mass_flow,
)
from platemaker.formulas._fed_std_h28 import (
    external_shear_area,
    internal_shear_area,
    strip_load,
)
from platemaker.formulas._fuel import (
    blend_air_ratio,
    blend_density,
    fuel_needed,
    injected_fuel,
    injector_flow,
    rail_speed,
)
from platemaker.formulas._gas_flow import (
    DuctState,
    air_viscosity,
    area_ratio,
    choked_mass_flow,
    duct_state,
    flow_conductance,
    gas_density,
    hydraulic_diameter,
    pressure_loss,
    static_pressure_ratio,
    static_temperature_ratio,
)
from platemaker.formulas._gaskets import (
    bolt_spacing_limit,
    gasket_seating_width,
)
from platemaker.formulas._hetenyi_1946 import (
    flange_characteristic,
    foundation_modulus,
    gasket_load_at_bolt,
    gasket_load_between_bolts,
)
from platemaker.formulas._iso_898_1_2013 import (
    proof_load,
    ultimate_load,
)
from platemaker.formulas._iso_965_1_2013 import (
    ThreadLimits,
    metric_thread_limits,
)
from platemaker.formulas._library_fluids_losses import (
    LossMethod,
    chamfered_entrance_loss,
    contraction_loss,
    expansion_loss,
    line_pressure_loss,
    mitre_bend_loss,
    rounded_bend_loss,
    rounded_entrance_loss,
    sharp_entrance_loss,
)
from platemaker.formulas._machinery_31_bends import (
    BendStock,
    bend_allowance,
)
from platemaker.formulas._nist_811 import (
    newton_metres_to_pound_feet,
    pascals_to_inches_of_water,
)
from platemaker.formulas._oil_flow import (
    jet_pressure_loss,
    walther_viscosity,
)
from platemaker.formulas._oring_glands import (
    oring_fill,
    oring_section_stretched,
    oring_squeeze,
    oring_stretch,
)
from platemaker.formulas._plates import (
    PlateBending,
    rectangular_plate_supported,
    round_plate_supported,
)
from platemaker.formulas._registry import (
    FORMULAS,
    Formula,
    Range,
    Source,
    Worked,
    about,
    worked,
)
from platemaker.formulas._shigley_fits import (
    assembly_temperature_rise,
    bore_hoop_stress,
    closed_cylinder_stress,
    hold_out_force,
    inner_part_stress,
    interference_when_hot,
    plane_equivalent_stress,
    press_fit_pressure,
)
from platemaker.formulas._shigley_joints import (
    bolt_load,
    bolt_stiffness,
    clamp_left,
    frustum_stiffness,
    grip_tapped,
    joint_constant,
    preload_from_torque,
    separation_factor,
    stiffness_in_series,
    thread_length_inch,
    thread_length_metric,
    torque_for_preload,
    yield_factor,
)
from platemaker.formulas._shigley_patterns import (
    PatternProperties,
    pattern_properties,
    pattern_shear,
    pattern_tension,
    tilting_tension,
)
from platemaker.formulas._shigley_strength import (
    shear_yield_strength,
)
from platemaker.formulas._shop_geometry import (
    EllipseAxes,
    angle_from_vertical,
    chamfer_volume,
    drill_point_height,
    mouth_volume,
)
from platemaker.formulas._socket_screws import (
    thread_length_socket_inch,
    thread_length_socket_metric,
)

__all__ = [
    "CHAMBER_BOUNDS",
    "CHAMBER_BOUNDS_OTHER",
    "CHAMBER_CONTRACTION",
    "CHAMBER_TURN",
    "FORMULAS",
    "BendStock",
    "DuctState",
    "EllipseAxes",
    "Formula",
    "LossMethod",
    "PatternProperties",
    "PlateBending",
    "Range",
    "Source",
    "ThreadLimits",
    "Worked",
    "about",
    "air_viscosity",
    "angle_from_vertical",
    "area_ratio",
    "assembly_temperature_rise",
    "belt_pull",
    "bend_allowance",
    "blend_air_ratio",
    "blend_density",
    "blower_boost_ratio",
    "blower_mass_flow",
    "blower_pressure_ratio",
    "bolt_load",
    "bolt_spacing_limit",
    "bolt_stiffness",
    "bore_hoop_stress",
    "capstan_ratio",
    "centrifugal_tension",
    "chamber_jet_area",
    "chamber_loss",
    "chamfer_volume",
    "chamfered_entrance_loss",
    "choked_mass_flow",
    "clamp_left",
    "closed_cylinder_stress",
    "compression_power",
    "compressor_outlet_temperature",
    "contraction_loss",
    "drill_point_height",
    "duct_state",
    "embedding",
    "expansion_loss",
    "external_shear_area",
    "firing_frequency",
    "flange_characteristic",
    "flow_conductance",
    "force_of_length_change",
    "foundation_modulus",
    "four_stroke_mass_flow",
    "frustum_stiffness",
    "fuel_needed",
    "gas_density",
    "gasket_load_at_bolt",
    "gasket_load_between_bolts",
    "gasket_seating_width",
    "grip_tapped",
    "groove_friction",
    "head_bearing_stress",
    "hold_out_force",
    "hydraulic_diameter",
    "injected_fuel",
    "injector_flow",
    "inner_part_stress",
    "insert_assembled_length",
    "insert_major_diameter",
    "insert_minor_diameter",
    "insert_thread_depth",
    "interference_when_hot",
    "internal_shear_area",
    "jet_mixing_loss",
    "jet_pressure_loss",
    "joint_constant",
    "line_pressure_loss",
    "metric_thread_limits",
    "mitre_bend_loss",
    "mouth_volume",
    "newton_metres_to_pound_feet",
    "npt_depth_needed",
    "oring_fill",
    "oring_section_stretched",
    "oring_squeeze",
    "oring_stretch",
    "pascals_to_inches_of_water",
    "pattern_properties",
    "pattern_shear",
    "pattern_tension",
    "plane_equivalent_stress",
    "preload_from_torque",
    "press_fit_pressure",
    "pressure_loss",
    "proof_load",
    "rail_speed",
    "rectangular_plate_supported",
    "round_plate_supported",
    "rounded_bend_loss",
    "rounded_entrance_loss",
    "separation_factor",
    "sharp_entrance_loss",
    "shear_yield_strength",
    "span_frequency",
    "static_pressure_ratio",
    "static_temperature_ratio",
    "stiffness_in_series",
    "strip_bending_stress",
    "strip_end_slope",
    "strip_load",
    "strip_torsion_stress",
    "strip_twist",
    "stud_bending_stress",
    "stud_end_slope",
    "tapped_bolt_length",
    "thermal_mismatch",
    "thread_length_inch",
    "thread_length_metric",
    "thread_length_socket_inch",
    "thread_length_socket_metric",
    "through_bolt_length",
    "tightening_order",
    "tightening_order_outwards",
    "tilting_tension",
    "tip_mass_frequency",
    "torque_for_preload",
    "ultimate_load",
    "unified_thread_limits",
    "unit_load_deflection",
    "walther_viscosity",
    "worked",
    "yield_factor",
]
