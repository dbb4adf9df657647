"""The one list of validation rows for `platemaker.formulas`: the tests run it and docs/validation.md prints it.

Each row's `where` names the figure, page or table that `expected` was taken from. Rows whose `where` begins with
`no published check found` give a second derivation instead, written out as arithmetic in `expected`. Rows marked
`from memory` were recalled, not read. Formulas that are homogeneous are fed the book's own units (inch, kip).
"""

# fmt: off


import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from platemaker import formulas as f
from platemaker.formulas import BendStock, EdgeRule, LossMethod, TappedMaterial

DIGIT = "half of the last printed digit"
ROUNDED = "the source rounds what it puts in"
FLOAT = "rounding of floating point"
PREFERRED = "the standard rounds tolerances to preferred numbers, up to 4 % away"
NONE = "no published check found: "


class Case(NamedTuple):
    """One row: the formula, what goes in, what must come out, how near, why that near, and where it was printed."""

    formula: Callable[..., Any]
    inputs: Mapping[str, Any]
    expected: Any
    tolerance: float
    reason: str
    where: str
    pick: Callable[[Any], Any] = lambda result: result
    """Takes one number out of the result, or changes its unit to the printed one."""
    shown: str = ""
    """Name and unit of what `pick` takes."""


def field(name: str) -> Callable[[Any], Any]:
    return lambda result: getattr(result, name)


def times(factor: float) -> Callable[[Any], Any]:
    return lambda result: result * factor


INCH = 25.4
EX_8_4 = {"S_p": 85.0, "A_t": 0.226, "C": 0.368, "P": 6.0, "F_i": 14.4}
PLATE = {"a": 100.0, "b": 100.0, "t": 10.0, "q": 1.0, "E": 100e3}  # b²q/t² = 100 MPa, b⁴q/(E t³) = 1 mm
ROUND = {"r": 100.0, "t": 10.0, "q": 1.0, "E": 100e3}  # r²q/t² = 100 MPa, r⁴q/(E t³) = 1 mm
FIT = {"delta": 0.04, "d": 50.0, "D": 80.0, "d_i": 0.0, "E_o": 210e3, "nu_o": 0.3, "E_i": 210e3, "nu_i": 0.3}
PRESS = "published press-fit example, solid steel shaft 50 in hub 80, l = 40, mu = 0.12"
MANUAL_24 = "solutions manual to Shigley, Problem 8-24"
PAGE_458 = "Shigley 9th ed., Example 8-7, p. 458"
CHART = "ASME B1.20.1 as printed in a thread chart"
R1A = "Roark 7th ed., Table 11.4, case 1a"
R8A = "Roark 7th ed., Table 11.4, case 8a, from memory"
HANDBOOK_53 = "Mechanical Engineer's Data Handbook, p. 53"
NACA = "NACA Report 1135, Table I, from memory"
ISO_2533 = "ISO 2533:1975, sea level, from memory"
CRANE = "Crane TP-410, p. A-29"
FRIED = "entrance table after Idelchik and Fried"


def rail_sum(at: float) -> float:
    """Hetenyi's single-load solution (F λ/2) e^-u (cos u + sin u), added up over 41 bolts: F = 1000 N, s = 80, λ = 0.02."""
    total = 0.0
    for n in range(-20, 21):
        u = 0.02 * abs(at - 80 * n)
        total += 1000 * 0.02 / 2 * math.exp(-u) * (math.cos(u) + math.sin(u))
    return total


def ring_removed(R: float, r: float) -> float:
    """Volume between a rounded mouth and the hole of radius R, by integrating rings: ∫ π ((R + r − sqrt(r² − z²))² − R²) dz."""
    return math.pi * (((R + r) ** 2 - R**2) * r - 2 * (R + r) * math.pi * r**2 / 4 + 2 * r**3 / 3)


def lame(p: float, d: float, D: float) -> float:
    """Distortion-energy stress at the bore from Lamé's hoop, axial and radial stresses of a closed cylinder."""
    hoop, axial, radial = p * (D**2 + d**2) / (D**2 - d**2), p * d**2 / (D**2 - d**2), -p
    return math.sqrt(((hoop - axial) ** 2 + (axial - radial) ** 2 + (radial - hoop) ** 2) / 2)


CASES: list[Case] = [
    # ISO 898-1
    Case(f.stress_area, {"d": 3, "P": 0.5}, 5.03, 0.005, DIGIT, "ISO 898-1:2013, Table 4, M3"),
    Case(f.stress_area, {"d": 8, "P": 1.25}, 36.6, 0.05, DIGIT, "ISO 898-1:2013, Table 4, M8"),
    Case(f.stress_area, {"d": 14, "P": 2}, 115, 0.5, DIGIT, "ISO 898-1:2013, Table 4, M14"),
    Case(f.stress_area, {"d": 24, "P": 3}, 353, 0.5, DIGIT, "ISO 898-1:2013, Table 4, M24"),
    Case(f.stress_area, {"d": 10, "P": 1.25}, 61.2, 0.05, DIGIT, "ISO 898-1:2013, Table 6, M10x1.25, from memory"),
    Case(f.proof_load, {"A_s": 36.6, "S_p": 580}, 21_200, 50, DIGIT, "ISO 898-1:2013, Table 5, M8 class 8.8"),
    Case(f.proof_load, {"A_s": 58.0, "S_p": 830}, 48_100, 50, DIGIT, "ISO 898-1:2013, Table 5, M10 class 10.9"),
    Case(f.proof_load, {"A_s": 353, "S_p": 970}, 342_000, 500, DIGIT, "ISO 898-1:2013, Table 5, M24 class 12.9"),
    Case(f.ultimate_load, {"A_s": 58.0, "R_m": 800}, 46_400, 50, DIGIT, "ISO 898-1:2013, Table 4, M10 class 8.8"),
    Case(f.ultimate_load, {"A_s": 84.3, "R_m": 1040}, 87_700, 50, DIGIT, "ISO 898-1:2013, Table 4, M12 class 10.9"),
    # Shigley, joints
    Case(f.unified_stress_area, {"d": 0.5 * INCH, "P": INCH / 13}, 0.1419, 5e-5, DIGIT, "Shigley 9th ed., Table 8-2, 1/2-13", times(INCH**-2), "in2"),
    Case(f.unified_stress_area, {"d": 0.164 * INCH, "P": INCH / 36}, 0.01474, 1.5e-5, ROUNDED, "Shigley 9th ed., Table 8-2, No. 8-36", times(INCH**-2), "in2"),
    Case(f.thread_length_metric, {"d": 16, "L": 46}, 38, 1e-9, FLOAT, PAGE_458),
    Case(f.thread_length_metric, {"d": 12, "L": 150}, 36, 1e-9, FLOAT, "ISO 4014:2011, Table 1, M12 over 125 mm, from memory"),
    Case(f.thread_length_inch, {"d": 0.625 * INCH, "L": 2.25 * INCH}, 1.50, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", times(1 / INCH), "in"),
    Case(f.grip_tapped, {"h": 0.595, "t_2": 0.625, "d": 0.5}, 0.845, 5e-4, DIGIT, "solutions manual to Shigley, Problem 8-25", shown="in"),
    Case(f.bolt_stiffness, {"A_d": 0.3068, "A_t": 0.226, "l_d": 0.75, "l_t": 0.75, "E": 30}, 5.21, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", shown="Mlbf/in"),
    Case(f.frustum_stiffness, {"E": 30, "d": 0.5, "D": 0.75, "t": 0.5}, 33.30, 0.005, DIGIT, MANUAL_24 + ", k_1", shown="Mlbf/in"),
    Case(f.frustum_stiffness, {"E": 14.5, "d": 0.5, "D": 1.327, "t": 0.11}, 173.8, 0.05, DIGIT, MANUAL_24 + ", k_2", shown="Mlbf/in"),
    Case(f.frustum_stiffness, {"E": 14.5, "d": 0.5, "D": 0.86, "t": 0.515}, 21.47, 0.005, DIGIT, MANUAL_24 + ", k_3", shown="Mlbf/in"),
    Case(f.frustum_stiffness, {"E": 30, "d": 0.5, "D": 0.75, "t": 0.095}, 97.27, 0.01, ROUNDED, MANUAL_24 + ", k_4", shown="Mlbf/in"),
    Case(f.stiffness_in_series, {"k": (33.30, 173.8, 21.47, 97.27)}, 10.79, 0.005, DIGIT, MANUAL_24 + ", k_m", shown="Mlbf/in"),
    Case(f.member_stiffness, {"E": 14, "d": 0.625, "l_g": 1.5}, 8.95, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", shown="Mlbf/in"),
    Case(f.member_stiffness_wileman, {"E": 14, "d": 0.625, "l_g": 1.5, "A": 0.77871, "B": 0.61616}, 8.81, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", shown="Mlbf/in"),
    Case(f.joint_constant, {"k_b": 5.21, "k_m": 8.95}, 0.368, 5e-4, DIGIT, "Shigley 9th ed., Example 8-4, p. 442"),
    Case(f.joint_constant, {"k_b": 5.04, "k_m": 12.87}, 0.281, 5e-4, DIGIT, "solutions manual to Shigley, Problem 8-25"),
    Case(f.nut_factor, {"d": 0.75, "P": 1 / 16, "f": 0.15, "f_c": 0.15}, 3551, 0.5, DIGIT, "Shigley 9th ed., Example 8-3 (c), from memory", times(25e3 * 0.75), "torque, lbf.in"),
    Case(f.preload_from_torque, {"T": 3750, "K": 0.2, "d": 0.75}, 25_000, 1e-6, FLOAT, "Shigley 9th ed., Example 8-3 (b), from memory", shown="lbf"),
    Case(f.torque_for_preload, {"F": 25_000, "K": 0.2, "d": 0.75}, 3750, 1e-6, FLOAT, "Shigley 9th ed., Example 8-3 (b), from memory", shown="lbf.in"),
    Case(f.recommended_preload, {"F_p": 85 * 0.226}, 14.4, 0.05, DIGIT, "Shigley 9th ed., Example 8-4, p. 443", shown="kip"),
    Case(f.bolt_load, {"C": 0.320, "P": 6.0, "F_i": 25.0}, 72.17, 0.005, DIGIT, "Shigley 9th ed., Example 8-3 (a), from memory, kip on 0.373 in2", times(1 / 0.373), "stress, kpsi"),
    Case(f.clamp_left, {"C": 0.368, "P": 6.0, "F_i": 14.4}, (0.368 * 6 + 14.4) - 6.0, 1e-9, FLOAT, NONE + "bolt force less load, by equilibrium"),
    Case(f.yield_factor, EX_8_4, 1.16, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 443"),
    Case(f.load_factor, EX_8_4, 2.18, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 443"),
    Case(f.separation_factor, {"C": 0.368, "P": 6.0, "F_i": 14.4}, 3.80, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 443"),
    Case(f.shear_yield_strength, {"S_y": 300}, 300 / math.sqrt(3), 0.2, "the book prints 1/sqrt(3) as 0.577", NONE + "von Mises: 300/sqrt(3)"),
    # Shigley, patterns
    Case(f.pattern_properties, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60))}, 96.0, 0.05, DIGIT, PAGE_458, lambda r: math.sqrt(r.polar / 4), "r, mm"),
    Case(f.pattern_shear, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60)), "F_x": 0, "F_y": 16e3, "M": 6.8e6}, 21.0, 0.05, DIGIT, PAGE_458 + ", F_A", lambda r: max(math.hypot(*s) for s in r) / 1e3, "largest share, kN"),
    Case(f.pattern_shear, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60)), "F_x": 0, "F_y": 16e3, "M": 6.8e6}, 14.8, 0.05, DIGIT, PAGE_458 + ", F_C", lambda r: min(math.hypot(*s) for s in r) / 1e3, "least share, kN"),
    Case(f.pattern_tension, {"points": ((-50, -40), (50, -40), (50, 40), (-50, 40)), "N": 4000, "M_x": 0, "M_y": 20e3}, (900, 1100, 1100, 900), 1e-9, FLOAT, NONE + "4000/4 ± 20 000/(4 × 50)"),
    Case(f.tilting_tension, {"M": 12e3 * 400, "c": (50, 50, 375, 375)}, 6.29, 0.005, DIGIT, "Khurmi & Gupta, A Textbook of Machine Design, bracket of four bolts, 12 kN at 400 mm, from memory", lambda r: r[-1] / 1e3, "kN"),
    # threads
    Case(f.metric_thread_limits, {"d": 10, "P": 1.5}, 9.732, 0.008, PREFERRED, "ISO 965-2, M10 6g, as printed in a calculation report", field("major_external_min"), "d_min, mm"),
    Case(f.metric_thread_limits, {"d": 10, "P": 1.5}, 8.862, 0.004, PREFERRED, "ISO 965-2, M10 6g, as printed in a calculation report", field("pitch_external_min"), "d_2 min, mm"),
    Case(f.metric_thread_limits, {"d": 5, "P": 0.8}, 4.361, 0.003, PREFERRED, "ASME B1.13M chart, M5 6g", field("pitch_external_min"), "d_2 min, mm"),
    Case(f.metric_thread_limits, {"d": 3, "P": 0.5}, 2.874, 0.004, PREFERRED, "ASME B1.13M chart, M3 6g", field("major_external_min"), "d_min, mm"),
    Case(f.metric_thread_limits, {"d": 8, "P": 1.25}, 7.348, 0.005, PREFERRED, "ISO 965-2, M8 6H, from memory", field("pitch_internal_max"), "D_2 max, mm"),
    Case(f.metric_thread_limits, {"d": 8, "P": 1.25}, 6.912, 0.008, PREFERRED, "ISO 965-2, M8 6H, from memory", field("minor_internal_max"), "D_1 max, mm"),
    Case(f.unified_thread_limits, {"d": 6.35, "P": 1.27}, 0.2408, 1.5e-4, "the standard rounds allowance and tolerance to 0.0001 in each", "ASME B1.1, 1/4-20 UNC 2A, from memory", lambda r: r.major_external_min / INCH, "d_min, in"),
    Case(f.unified_thread_limits, {"d": 6.35, "P": 1.27}, 0.2127, 1e-4, "the standard rounds to 0.0001 in", "ASME B1.1, 1/4-20 UNC 2A, from memory", lambda r: r.pitch_external_min / INCH, "d_2 min, in"),
    Case(f.unified_thread_limits, {"d": 6.35, "P": 1.27}, 0.2224, 1e-4, "the standard rounds to 0.0001 in", "ASME B1.1, 1/4-20 UNC 2B, from memory", lambda r: r.pitch_internal_max / INCH, "D_2 max, in"),
    Case(f.unified_thread_limits, {"d": 6.35, "P": 1.27}, 0.207, 5e-4, DIGIT, "ASME B1.1, 1/4-20 UNC 2B, from memory", lambda r: r.minor_internal_max / INCH, "D_1 max, in"),
    Case(f.external_shear_area, {"L_e": 1, "P": 0.05, "K_n": 0.2070, "E_s": 0.2127}, 0.368, 5e-4, DIGIT, "FED-STD-H28/2, shear area table, 1/4-20, from memory", shown="in2/in"),
    Case(f.internal_shear_area, {"L_e": 1, "P": 0.05, "D_s": 0.2408, "E_n": 0.2224}, 0.539, 5e-4, DIGIT, "FED-STD-H28/2, shear area table, 1/4-20, from memory", shown="in2/in"),
    Case(f.engagement_equal_materials, {"A_t": 0.0318, "P": 0.05, "K_n": 0.2070, "E_s": 0.2127}, 2 * 0.0318 / 0.368, 3e-4, ROUNDED, "FED-STD-H28/2 sets A_s = 2 A_t; A_s = 0.368 in2 an inch from its table, from memory"),
    Case(f.relative_thread_strength, {"A_s": 30, "S_ext": 800, "A_n": 40, "S_int": 300}, 24_000 / 12_000, 1e-9, FLOAT, NONE + "ratio of the two strip loads"),
    Case(f.strip_load, {"A": 100, "tau": 200}, 20_000, 1e-9, FLOAT, NONE + "100 mm2 × 200 N/mm2"),
    # beam on the gasket
    Case(f.foundation_modulus, {"E_g": 100, "b": 12, "t_g": 1.5}, 12 * (100 / 1.5), 1e-9, FLOAT, NONE + "Hooke's law: 1 mm on 1.5 mm strains by 1/1.5"),
    Case(f.flange_characteristic, {"k": 800, "E": 70e3, "b_f": 30, "t": 20}, 800, 1e-6, FLOAT, NONE + "put back into 4 E I λ⁴ = k", lambda lam: 4 * 70e3 * (30 * 20**3 / 12) * lam**4, "4 E I λ⁴, N/mm2"),
    Case(f.gasket_load_at_bolt, {"F": 1000, "s": 80, "lam": 0.02}, rail_sum(0), 1e-6, "terms left out are under e^-32", NONE + "sum of 41 single loads"),
    Case(f.gasket_load_between_bolts, {"F": 1000, "s": 80, "lam": 0.02}, rail_sum(40), 1e-6, "terms left out are under e^-32", NONE + "sum of 41 single loads"),
    # gaskets
    Case(f.gasket_seating_width, {"N": 0.75 * INCH}, 0.5 * math.sqrt(0.375), 0.003, "the code's metric constant 2.5 is rounded from 2.52", "ASME VIII-1, Table 2-5.2, inch form, gasket 17.75 × 16.25 in", times(1 / INCH), "in"),
    Case(f.gasket_operating_load, {"A": math.pi * 200**2 / 4, "L": math.pi * 200, "b": 5, "m": 2, "p": 0.5}, 0.785 * 200**2 * 0.5 + 2 * 5 * 3.14 * 200 * 2 * 0.5, 25, "the code prints π as 3.14", "ASME VIII-1, App. 2, 2-5(c)(1), round form, G = 200"),
    Case(f.gasket_seating_load, {"L": math.pi * 200, "b": 5, "y": 11}, 3.14 * 5 * 200 * 11, 20, "the code prints π as 3.14", "ASME VIII-1, App. 2, 2-5(c)(2), round form, G = 200"),
    Case(f.bolt_spacing_limit, {"d": 20, "t": 30, "m": 2.0}, 40 + 180 / 2.5, 1e-9, FLOAT, NONE + "2 × 20 + 6 × 30/2.5"),
    # O-rings
    Case(f.oring_squeeze, {"W": 3.63, "h": 2.54}, 0.30, 0.005, DIGIT, "AS568 face-gland table, section 0.139 in, greatest squeeze"),
    Case(f.oring_squeeze, {"W": 3.43, "h": 2.74}, 0.20, 0.005, DIGIT, "AS568 face-gland table, section 0.139 in, least squeeze"),
    Case(f.oring_fill, {"W": 3.53, "h": 2.64, "b": 4.57}, 9.787 / 12.065, 1e-3, ROUNDED, NONE + "section 9.787 mm2 over groove 12.065 mm2"),
    Case(f.oring_groove_outer, {"d_1": 24.99, "W": 3.53}, 1.262 * INCH, 0.02, ROUNDED, "AS568-214: 0.984 in inside, 0.139 in section, 1.262 in outside, from memory"),
    Case(f.oring_stretch, {"L": math.pi * 102, "d_1": 97, "W": 3}, 0.02, 1e-9, FLOAT, NONE + "centre line 102 over 100"),
    Case(f.oring_section_stretched, {"W": 3.0, "stretch": 0.04}, 100.0, 1e-9, FLOAT, NONE + "volume kept", lambda w: 100 * (w / 3.0) ** 2 * 1.04, "volume, %"),
    # plates
    Case(f.round_plate_supported, ROUND, 1.238, 5e-4, DIGIT, HANDBOOK_53, lambda r: r.stress_centre / 100, "σ t²/(q r²)"),
    Case(f.round_plate_supported, ROUND, 0.696, 5e-4, DIGIT, HANDBOOK_53, field("deflection"), "y E t³/(q r⁴)"),
    Case(f.round_plate_clamped, ROUND, 0.171, 5e-4, DIGIT, HANDBOOK_53, field("deflection"), "y E t³/(q r⁴)"),
    Case(f.round_plate_clamped, {"r": 40, "t": 1, "q": 6, "E": 30e6}, 7200, 0.5, DIGIT, "Timoshenko, Strength of Materials II, 3rd ed., p. 97, psi", field("stress_edge"), "psi"),
    Case(f.round_plate_clamped, {"r": 40, "t": 1, "q": 6, "E": 30e6}, 780, 0.5, DIGIT, "Timoshenko, Strength of Materials II, 3rd ed., p. 97, in.lbf/in", lambda r: r.stress_centre / 6, "M at the centre"),
    Case(f.round_plate_clamped, {"r": 40, "t": 1, "q": 6, "E": 30e6}, 0.0874, 5e-5, DIGIT, "Timoshenko, Strength of Materials II, 3rd ed., p. 97, in", field("deflection"), "in"),
    *[Case(f.rectangular_plate_supported, PLATE | {"a": 100.0 * ratio}, beta, 4e-4, "the table stands up to 0.0003 from the exact series", f"{R1A}, a/b = {ratio}, beta", lambda r: r.stress_centre / 100, "β")
      for ratio, beta in ((1, 0.2874), (1.2, 0.3762), (1.4, 0.4530), (2, 0.6102), (4, 0.7410), (5, 0.7476))],
    *[Case(f.rectangular_plate_supported, PLATE | {"a": 100.0 * ratio}, alpha, 5e-4, "the table stands up to 0.0004 from the exact series", f"{R1A}, a/b = {ratio}, alpha", field("deflection"), "α")
      for ratio, alpha in ((1, 0.0444), (1.2, 0.0616), (1.4, 0.0770), (2, 0.1110), (4, 0.1400), (5, 0.1417))],
    *[Case(f.rectangular_plate_clamped, PLATE | {"a": 100.0 * ratio}, beta, 4e-4, "four-figure table from Ritz's method", f"{R8A}, a/b = {ratio}, beta_1", lambda r: r.stress_edge / 100, "β_1")
      for ratio, beta in ((1, 0.3078), (1.2, 0.3834), (1.4, 0.4356), (2, 0.4974))],
    *[Case(f.rectangular_plate_clamped, PLATE | {"a": 100.0 * ratio}, beta, 1.3e-3, "the table's square differs by 0.0012 from the modern value 0.1374", f"{R8A}, a/b = {ratio}, beta_2", lambda r: r.stress_centre / 100, "β_2")
      for ratio, beta in ((1, 0.1386), (1.2, 0.1794), (1.4, 0.2094), (2, 0.2472))],
    *[Case(f.rectangular_plate_clamped, PLATE | {"a": 100.0 * ratio}, alpha, 5e-5, DIGIT, f"{R8A}, a/b = {ratio}, alpha", field("deflection"), "α")
      for ratio, alpha in ((1, 0.0138), (1.2, 0.0188), (1.4, 0.0226), (2, 0.0277))],
    Case(f.rectangular_plate_clamped, PLATE | {"a": 3000.0}, 0.5, 1e-3, "the plate is taken as four times as long as wide", "clamped strip: q b²/12 at the edge, β_1 = 1/2", lambda r: r.stress_edge / 100, "β_1"),
    # fits
    Case(f.press_fit_pressure, FIT, 51.2, 0.05, DIGIT, PRESS),
    Case(f.bore_hoop_stress, {"p": 51.2, "d": 50, "D": 80}, 117, 0.5, DIGIT, PRESS),
    Case(f.hold_out_force, {"mu": 0.12, "p": 51.2, "d": 50, "l_f": 40}, 38.6, 0.05, DIGIT, PRESS, times(1e-3), "kN"),
    Case(f.hold_torque, {"mu": 0.12, "p": 51.2, "d": 50, "l_f": 40}, 965, 0.5, DIGIT, PRESS, times(1e-3), "N.m"),
    Case(f.inner_part_stress, {"p": 30, "d": 50, "d_i": 20}, -30 * 25**2 / (25**2 - 10**2) * (1 + 10**2 / 25**2), 1e-9, FLOAT, NONE + "Lamé's general form under outside pressure, radii 10 and 25"),
    Case(f.closed_cylinder_stress, {"p": 0.4, "d": 10, "D": 20}, lame(0.4, 10, 20), 1e-9, FLOAT, NONE + "distortion energy from Lamé's three stresses"),
    Case(f.interference_limits, {"EI": 0, "ES": 25, "ei": 26, "es": 42}, (1, 42), 1e-9, FLOAT, "ISO 286-1, 50 H7/p6"),
    Case(f.interference_limits, {"EI": 0, "ES": 15, "ei": 1, "es": 10}, (-14, 10), 1e-9, FLOAT, "ISO 286-1, 10 H7/k6"),
    Case(f.assembly_temperature_rise, {"delta": 0.042, "clearance": 0.018, "alpha": 24e-6, "d": 25}, 0.060, 1e-9, FLOAT, NONE + "the bore of 25 mm grows by 0.060 mm", lambda rise: 25 * 24e-6 * rise, "growth, mm"),
    Case(f.interference_when_hot, {"delta": 0.030, "alpha_i": 12e-6, "alpha_o": 24e-6, "rise": 100, "d": 20}, (20.030 + 0.024) - (20.0 + 0.048), 1e-9, FLOAT, NONE + "steel part 20.030 grows by 0.024, aluminium bore 20 by 0.048"),
    # air
    Case(f.gas_density, {"p": 101_325, "T": 288.15}, 1.225, 5e-4, DIGIT, ISO_2533),
    Case(f.speed_of_sound, {"T": 288.15}, 340.294, 0.01, "R rounded to 287.05", ISO_2533),
    Case(f.mean_speed, {"mdot": 0.25, "rho": 1.25, "A": 0.004}, 0.2 / 0.004, 1e-9, FLOAT, NONE + "0.2 m3/s through 0.004 m2"),
    Case(f.hydraulic_diameter, {"A": math.pi * 0.05**2 / 4, "perimeter": math.pi * 0.05}, 0.05, 1e-12, FLOAT, "a circle's is its diameter"),
    Case(f.static_temperature_ratio, {"M": 0.3}, 0.98232, 5e-6, DIGIT, NACA + ", M = 0.3"),
    Case(f.static_pressure_ratio, {"M": 0.5}, 0.84302, 5e-6, DIGIT, NACA + ", M = 0.5"),
    Case(f.static_temperature_ratio, {"M": 1}, 0.83333, 5e-6, DIGIT, "library fluids 1.3.1, T_critical_flow, k = 1.4"),
    Case(f.static_pressure_ratio, {"M": 1}, 0.52828, 5e-6, DIGIT, "library fluids 1.3.1, P_critical_flow, k = 1.4"),
    Case(f.area_ratio, {"M": 0.3}, 2.03507, 5e-6, DIGIT, NACA + ", M = 0.3"),
    Case(f.area_ratio, {"M": 0.5}, 1.33984, 5e-6, DIGIT, NACA + ", M = 0.5"),
    Case(f.choked_mass_flow, {"A": 1, "p_0": 1, "T_0": 1 / 287.05}, 0.6847, 5e-5, DIGIT, "White 7th ed., eq. 9.47: m sqrt(R T_0)/(A p_0) = 0.6847, from memory"),
    Case(f.choked_mass_flow, {"A": 1, "p_0": 1, "T_0": 1}, 0.0404, 5e-5, DIGIT, "textbook constant for air, kg sqrt(K)/(s N)"),
    Case(f.duct_state, {"mdot": 0.06778 / 2.03507, "A": 1e-4, "p_0": 300e3, "T_0": 320}, 0.3, 1e-4, ROUNDED, NACA + ", M = 0.3, of a choking flow 0.06778 kg/s", field("mach"), "M"),
    Case(f.duct_state, {"mdot": 0.07, "A": 1e-4, "p_0": 300e3, "T_0": 320}, True, 0, "yes or no", "choking flow 0.06778 kg/s is less than 0.07", field("choked"), "choked"),
    Case(f.pressure_loss, {"K": 0.5, "rho": 1.2, "V": 50}, 0.5 * 1500, 1e-9, FLOAT, NONE + "half of the velocity head 1.2 × 2500/2"),
    Case(f.four_stroke_mass_flow, {"V_d": 350 * INCH**3 / 1e6, "N": 6000, "eta_v": 1, "rho": 1}, 350 * 6000 / 3456, 1e-3, FLOAT, "common practice: cubic feet a minute = cubic inches × speed/3456", times(60 / 0.3048**3), "ft3/min"),
    Case(f.blower_mass_flow, {"V_t": 2, "N": 9000, "eta_v": 0.9, "rho": 1.2}, 0.002 * 150 * 0.9 * 1.2, 1e-9, FLOAT, NONE + "150 turns a second"),
    Case(f.compressor_outlet_temperature, {"T_1": 300, "ratio": 1 / 0.84302, "eta_s": 1}, 300 / 0.95238, 0.005, ROUNDED, NACA + ", M = 0.5: p/p_0 = 0.84302, T/T_0 = 0.95238"),
    Case(f.blower_pressure_ratio, {"V_t": 2, "i": 2, "eta_b": 0.9, "V_d": 4, "eta_e": 0.9, "T_1": 300, "T_2": 360}, 3.6 / (1.8 / (360 / 300)), 1e-9, FLOAT, NONE + "3.6 L of inlet air a turn leave as 1.8 L"),
    # losses
    Case(f.contraction_loss, {"D_1": 100, "D_2": 60}, 0.32, 1e-9, FLOAT, "Crane TP-410: 0.5 (1 − 0.36)"),
    Case(f.contraction_loss, {"D_1": 100, "D_2": 40, "method": LossMethod.RENNELS}, 0.5301, 5e-5, DIGIT, "worked value in the library's manual"),
    Case(f.expansion_loss, {"D_1": 70, "D_2": 100}, (1 - 0.49) ** 2, 1e-9, FLOAT, "Borda and Carnot: (1 − A_1/A_2)²"),
    Case(f.sharp_entrance_loss, {}, 0.5, 1e-9, FLOAT, CRANE),
    *[Case(f.rounded_entrance_loss, {"D": 100, "r": r}, K, 1e-9, FLOAT, f"{CRANE}, r/d = {r / 100:g}") for r, K in ((2.0, 0.28), (4.0, 0.24), (6.0, 0.15), (10.0, 0.09))],
    *[Case(f.rounded_entrance_loss, {"D": 100, "r": r, "method": LossMethod.IDELCHIK}, K, 0.005, DIGIT, f"{FRIED}, r/D_h = {r / 100:g}") for r, K in ((2.0, 0.37), (4.0, 0.26), (8.0, 0.15), (12.0, 0.09))],
    Case(f.chamfered_entrance_loss, {"D": 100, "l_c": 10, "angle": 30}, 0.18, 1e-9, FLOAT, "Idelchik's table of bevelled mouths, 60° whole angle, l/D = 0.1"),
    Case(f.chamfered_entrance_loss, {"D": 100, "l_c": 2.5, "angle": 50}, 0.42, 1e-9, FLOAT, "Idelchik's table of bevelled mouths, 100° whole angle, l/D = 0.025"),
    Case(f.rounded_bend_loss, {"D": 4.02, "r": 20, "angle": 30, "f": 0.01799}, 0.115191, 1e-5, "f rounded to four figures", "documentation of the library's bend_rounded: 5 diameters, Re 1e5, smooth, f after Colebrook"),
    Case(f.rounded_bend_loss, {"D": 52.5, "r": 78.75, "angle": 90, "f": 0.019}, 14 * 0.019, 0.04, "authors differ by a seventh", "Crane TP-410, p. A-30, 90° bend r/d 1.5, f_T of 2 in pipe, from memory"),
    Case(f.mitre_bend_loss, {"angle": 90}, 1.1, 0.15, "authors differ by a tenth", "Munson 6th ed., fig. 8.31, 90° mitre without vanes, from memory"),
    Case(f.exit_loss, {}, 1.0, 1e-9, FLOAT, "Munson 6th ed., fig. 8.25"),
    Case(f.orifice_loss, {"D": 100, "D_o": 50, "C": 0.61}, (math.sqrt(1 - 0.5**4 * (1 - 0.61**2)) / (0.61 * 0.25) - 1) ** 2, 1e-6, FLOAT, "ISO 5167-2:2003, eq. 8 with the pressure loss turned into K"),
    Case(f.chamber_jet_area, {"T": 1000, "O": 0, "A_1": 2000, "A_2": 4000}, (1 / 577**2 + 1 / 2000**2 + 2.56 / 4000**2) ** -0.5, 1e-6, FLOAT, NONE + "three sections in series by their squares"),
    Case(f.chamber_jet_area, {"T": 1e-6, "O": 1500, "A_1": 2000, "A_2": 4000}, 1500.0, 1e-6, FLOAT, NONE + "with nothing sideways, what the ports share"),
    Case(f.chamber_loss, {"A_e": 850.0, "A_1": 2320.0, "A_2": 4200.0}, 4.6 - 0.067, 0.25, "closures scatter by 8 %", "computed passage, ports 50 mm apart, 12 mm deep, friction of the ducts taken off"),
    Case(f.chamber_loss, {"A_e": 1000, "A_1": 1000, "A_2": 2000}, 0.25, 1e-9, FLOAT, "sudden expansion after Borda and Carnot, (1 - 1/2)²"),
    Case(f.jet_mixing_loss, {"mdot": 1e-3, "A_e": 1e-3, "A_2": 2e-3, "p_0": 1e5, "T_0": 300.0}, 0.25 * 287.05 * 300 / (2 * 1e5), 1e-4, "density changes by 1e-5", "Borda and Carnot at low speed: (1 - 1/2)² of (m/A)²/(2 ρ)"),
    Case(f.thick_orifice_loss, {"A_0": 1, "A_1": 1e9, "t": 0, "D_h": 100}, 2.85, 0.005, DIGIT, "Idelchik, thin sharp orifice between large spaces, from memory"),
    Case(f.thick_orifice_loss, {"A_0": 1, "A_1": 1e9, "t": 300, "D_h": 100}, 0.5 + 1.0, 1e-6, FLOAT, "sharp entrance 0.5 and exit 1.0, Munson 6th ed., figs. 8.22 and 8.25"),
    Case(f.thick_orifice_loss, {"A_0": 25, "A_1": 100, "t": 40, "D_h": 100}, 0.5 * 0.75**0.75 + 1.10 * 0.75**1.375 + 0.75**2, 0.007, "the handbook's table prints τ to 0.01", "Idelchik, diagram 4-12, τ = 1.10 at l = 0.4, from memory"),
    # geometry
    Case(f.drill_point_height, {"d": 10}, 3.0, 0.05, DIGIT, "shop tables: 0.3 d for 118°, from memory"),
    Case(f.countersink_depth, {"D": 12, "d": 6, "angle": 90}, (12 - 6) / 2, 1e-9, FLOAT, NONE + "45° flank: as deep as it is wide"),
    Case(f.countersink_diameter_below, {"D": 12, "t": 3, "angle": 90}, 6, 1e-9, FLOAT, NONE + "12 mm countersink of 90° in a 3 mm plate"),
    Case(f.slanted_bore_opening, {"d": 10, "angle": 60}, 20, 1e-9, FLOAT, NONE + "cos 60° = 1/2", field("major"), "major, mm"),
    Case(f.slanted_bore_lead, {"d": 8, "angle": 45}, 4, 1e-9, FLOAT, NONE + "half square"),
    Case(f.mouth_volume, {"L": 2 * math.pi * 30, "r": 6}, ring_removed(30, 6), 1e-6, FLOAT, NONE + "rings integrated over a round hole of 60"),
    Case(f.chamfer_volume, {"L": 2 * math.pi * 30, "c": 6, "h": 4}, math.pi * 4 / 3 * (36**2 + 36 * 30 + 30**2) - math.pi * 30**2 * 4, 1e-6, FLOAT, NONE + "frustum of a cone less its core, round a hole of 60"),
    Case(f.angle_from_vertical, {"x": 0, "y": 3, "z": -4}, 36.87, 0.005, DIGIT, "3-4-5 triangle"),
    # fasteners
    Case(f.floating_fastener_tolerance, {"H": 9.0, "F": 8.0}, 1.0, 1e-9, FLOAT, "GD&T: Application and Interpretation (2021), p. 308: T = H − F"),
    Case(f.fixed_fastener_tolerance, {"H": 9.0, "F": 8.0}, 0.5, 1e-9, FLOAT, "GD&T: Application and Interpretation (2021), p. 308: T = (H − F)/2"),
    Case(f.fixed_fastener_clearance_tolerance, {"H": 9.0, "F": 8.0, "T_2": 0.2, "P": 16, "D": 16}, 1.0 - 0.2 - 2 * 0.2, 1e-9, FLOAT, NONE + "an axis tilted by 0.2 over 16 stands 0.4 further out on both sides 16 above"),
    Case(f.head_bearing_stress, {"F": 16e3, "d_w": 13, "d_h": 9}, 16e3 / (132.732 - 63.617), 0.01, ROUNDED, NONE + "areas of 13 and 9 mm circles"),
    Case(f.through_bolt_length, {"l_g": 27, "H": 14.8, "P": 2, "n": 1}, 43.8, 0.05, DIGIT, PAGE_458 + ", which adds 2 mm beyond the nut"),
    Case(f.tapped_bolt_length, {"lengths": (20, 25, 30, 35, 40), "h": 12, "L_e": 16, "L_max": 20}, 30, 0, "a stock length", NONE + "28 needed, 32 allowed"),
    Case(f.tightening_order, {"angles": tuple(45 * i for i in range(8))}, (0, 4, 2, 6, 1, 5, 3, 7), 0, "an order", "ASME PCC-1, eight bolts: 1 5 3 7 2 6 4 8, from memory"),
    Case(f.tightening_order, {"angles": tuple(30 * i for i in range(12))}, (0, 6, 3, 9, 1, 7, 4, 10, 2, 8, 5, 11), 0, "an order", "ASME PCC-1, twelve bolts: 1 7 4 10 2 8 5 11 3 9 6 12, from memory"),
    Case(f.tightening_order_outwards, {"points": ((-100, 0), (-50, 0), (0, 0), (50, 0), (100, 0))}, (2, 1, 3, 0, 4), 0, "an order", NONE + "five in a row: the middle, its neighbours, the ends"),
    # edges and engagement
    Case(f.edge_distance_aisc, {"d": 16}, 22, 1e-9, FLOAT, "AISC 360-16, Table J3.4M"),
    Case(f.edge_distance_aisc, {"d": 36}, 46, 1e-9, FLOAT, "AISC 360-16, Table J3.4M"),
    Case(f.edge_distance_aisc, {"d": 0.75 * INCH}, 1.0, 1e-9, FLOAT, "AISC 360-16, Table J3.4", times(1 / INCH), "in"),
    Case(f.bolt_spacing_aisc, {"d": 12}, 32, 1e-9, FLOAT, "Structural Steel Designer's Handbook, p. 5.47: 2-2/3 d"),
    Case(f.largest_edge_distance_aisc, {"t": 25}, 150, 1e-9, FLOAT, "Structural Steel Designer's Handbook, p. 5.48: 12 t, at most 150 mm"),
    Case(f.engagement_practice, {"d": 8, "material": TappedMaterial.STEEL}, 8, 1e-9, FLOAT, "published mounting tables: 1.0 d in steel"),
    Case(f.engagement_practice, {"d": 8, "material": TappedMaterial.ALUMINIUM}, 16, 1e-9, FLOAT, "published mounting tables: 2.0 d in aluminium"),
    Case(f.edge_distance_practice, {"D": 10, "rule": EdgeRule.LEAST}, 15, 1e-9, FLOAT, "MMPDS bearing allowables begin at e/D = 1.5"),
    Case(f.edge_distance_practice, {"D": 10, "rule": EdgeRule.PREFERRED}, 20, 1e-9, FLOAT, "aircraft structures practice: 2.0 D"),
    Case(f.bolt_spacing_practice, {"d": 8}, (40, 80), 1e-9, FLOAT, "university course notes: 5 to 10 bolt diameters"),
    # pipe threads, fuel
    Case(f.npt_small_pitch_diameter, {"D": 0.84 * INCH, "P": INCH / 14}, 0.77843 - 0.320 / 16, 5e-5, "L_1 printed to 0.001 in", CHART + ", 1/2-14: E_1 − L_1/16", times(1 / INCH), "in"),
    Case(f.npt_gauge_pitch_diameter, {"D": 0.54 * INCH, "P": INCH / 18, "L_1": 0.228 * INCH}, 0.49163, 5e-5, "L_1 printed to 0.001 in", CHART + ", 1/4-18", times(1 / INCH), "in"),
    Case(f.npt_effective_length, {"D": 0.84 * INCH, "P": INCH / 14}, 0.5337, 5e-5, DIGIT, CHART + ", 1/2-14", times(1 / INCH), "in"),
    Case(f.npt_effective_length, {"D": 0.405 * INCH, "P": INCH / 27}, 0.2639, 5e-5, DIGIT, CHART + ", 1/8-27", times(1 / INCH), "in"),
    Case(f.npt_depth_needed, {"L_1": 0.228 * INCH, "P": INCH / 18}, 0.228 + 3 / 18, 1e-9, FLOAT, NONE + "0.228 + 3/18 in", times(1 / INCH), "in"),
    Case(f.rail_speed, {"Q": 600, "n": 8, "A": 80}, (600e-6 / 60 * 8) / 80e-6, 1e-9, FLOAT, NONE + "in m3/s and m2"),
    Case(f.blend_density, {"x": 0.85, "rho_a": 740, "rho_b": 794}, (0.15 * 740 + 0.85 * 794) / 1, 1e-9, FLOAT, NONE + "0.15 m3 of one and 0.85 m3 of the other"),
    Case(f.blend_air_ratio, {"x": 0.85, "rho_a": 740, "rho_b": 794, "A_a": 14.7, "A_b": 9.0}, 9.7, 0.12, "printed to one place for fuel of no stated density", "table of common fuels on the web, E85"),
    Case(f.fuel_needed, {"m_a": 0.1, "lam": 1.0, "A": 14.7}, 6.803e-3, 1e-6, ROUNDED, NONE + "0.1 kg of air over 14.7"),
    Case(f.injected_fuel, {"n": 6, "Q": 200, "duty": 0.5, "rho": 800}, 6 * 0.5 * 200 * 0.8 / 60 / 1000, 1e-12, FLOAT, NONE + "600 cm3 a minute of 0.8 g"),
    Case(f.strip_bending_stress, {"M": 6000, "b": 10, "t": 6}, 6000 * 3 / (10 * 6**3 / 12), 1e-9, FLOAT, NONE + "M c/I with c = 3, I = 180"),
    Case(f.unit_load_deflection, {"L": (60.0, 40.0), "M": (20e3, 8e3, 0.0), "m": (100.0, 40.0, 0.0), "E": 200e3, "I": 160.0}, 200 * 100**3 / (3 * 200e3 * 160), 1e-9, FLOAT, NONE + "F L³/(3 E I) of a straight cantilever in two pieces"),
    Case(f.unit_load_deflection, {"L": (80.0, 50.0), "M": (5e3, 5e3, 0.0), "m": (50.0, 50.0, 0.0), "E": 200e3, "I": 160.0}, (100 * 50**3 / 3 + 100 * 50**2 * 80) / (200e3 * 160), 1e-9, FLOAT, NONE + "right-angled cantilever: F b³/(3 E I) + F b² a/(E I)"),
    Case(f.tip_mass_frequency, {"k": 3.0, "m_t": 1.0, "m_b": 1.0}, 1.557298, 0.002, "Rayleigh's shape is 0.06 % off", "Mathematical Problems in Engineering 2017, 1568019, Table 1, first frequency, tip as heavy as the beam", times(2 * math.pi), "ω, rad/s"),
    Case(f.tip_mass_frequency, {"k": 3.0, "m_t": 0.0, "m_b": 1.0}, 1.875104**2, 0.06, "Rayleigh's static shape is 1.5 % off", "first root of the cantilever's frequency equation, as a strain-gauge manual prints it", times(2 * math.pi), "ω, rad/s"),
    Case(f.firing_frequency, {"n": 6, "N": 2000}, 3 * 2000 / 60, 1e-9, FLOAT, NONE + "six cylinders fire three times a turn"),
    Case(f.walther_viscosity, {"T": 353, "T_1": 313, "nu_1": 32, "T_2": 373, "nu_2": 5.4}, 8.5, 0.05, DIGIT, "worked sheet after ASTM D341 on the web, 32 and 5.4 mm2/s at 40 and 100 degC, at 80 degC"),
    Case(f.line_pressure_loss, {"Q": 1.2, "D": 4, "L": 2000, "nu": 20, "rho": 900}, 128 * (20e-6 * 900) * 2 * 2e-5 / (math.pi * 0.004**4) / 1e6, 1e-9, FLOAT, NONE + "Hagen and Poiseuille, Re = 318"),
    Case(f.line_pressure_loss, {"Q": 60000 * math.pi / 4 * 0.01**2, "D": 10, "L": 1000, "nu": 0.1, "rho": 1000}, 0.0180 * 100 * 500 / 1e6, 5e-6, ROUNDED, "Moody's chart, smooth pipe at Re 1e5: f = 0.0180, from memory"),
    Case(f.jet_pressure_loss, {"Q": 6, "d": 2, "rho": 800, "C": 0.5}, 400 * (1e-4 / (0.5 * math.pi * 1e-6)) ** 2 / 1e6, 1e-9, FLOAT, NONE + "Torricelli, 1e-4 m3/s through half of 3.14e-6 m2"),
    Case(f.insert_major_diameter, {"d": 10, "P": 1.5}, 11.949, 0.0005, DIGIT, "tap chart of M10 x 1.5 STI, major diameter, from memory"),
    Case(f.insert_minor_diameter, {"d": 10, "P": 1.5}, 10.324, 0.0015, DIGIT, "tap chart of M10 x 1.5 STI, least minor diameter, from memory"),
    Case(f.insert_thread_depth, {"L": 15, "P": 1.5}, 15 + 1.5, 1e-9, FLOAT, "ASME B18.29.2M, note to the hole table: nominal length + 1 pitch"),
    Case(f.insert_assembled_length, {"L": 15, "P": 1.5}, 15 - 0.75 * 1.5, 1e-9, FLOAT, "ASME B18.29.2M, note to the hole table: nominal length less 0.5 to 0.75 pitch"),
    Case(f.injector_flow, {"Q_1": 300, "p_1": 0.3, "p_2": 1.2}, 2 * 300, 1e-9, FLOAT, NONE + "four times the pressure, twice the flow"),
    # bends
    Case(f.handbook_bend_length, {"T": 0.125, "R": 0.375, "A": 180, "stock": BendStock.SOFT_STEEL_OR_ALUMINIUM}, 1.338, 5.1e-4, "printed from 1.3375, half rounded up", "Machinery's Handbook 31st ed., p. 1421, Fig. 13", shown="in"),
    Case(f.handbook_bend_length, {"T": 1, "R": 0, "A": 90, "stock": BendStock.SOFT_COPPER_OR_BRASS}, 0.55, 1e-9, FLOAT, "Machinery's Handbook 31st ed., p. 1421, eq. 32"),
    Case(f.handbook_bend_length, {"T": 1, "R": 0, "A": 90, "stock": BendStock.HARD_COPPER_OR_SPRING_STEEL}, 0.71, 1e-9, FLOAT, "Machinery's Handbook 31st ed., p. 1421, eq. 34"),
    Case(f.bend_allowance, {"A": 180, "R": 0.375, "T": 0.125, "K": 0.407}, 1.338, 1.5e-3, "the handbook prints π/2 as 1.57", "Machinery's Handbook 31st ed., p. 1421, Fig. 13, in, K = 0.64/1.57"),
    Case(f.bend_deduction, {"A": 90, "R": 3, "T": 3, "K": 0.33}, 12 - math.pi / 2 * 3.99, 1e-9, FLOAT, NONE + "two legs to the corner less the neutral line"),
    Case(f.minimum_bend_radius, {"T": 3, "r": 50}, 0, 1e-9, FLOAT, "Kalpakjian & Schmid 6th ed., sec. 16.5: r = 50 % bends flat on itself, from memory"),
    Case(f.minimum_bend_radius, {"T": 3, "r": 20}, 3 * (2.5 - 1), 1e-9, FLOAT, NONE + "50/20 = 2.5"),
    Case(f.hole_to_bend_distance, {"T": 3, "R": 3}, 3 + 7.5, 1e-9, FLOAT, NONE + "3 + 2.5 × 3"),
    # belts
    Case(f.open_belt_wrap, {"D": 6, "D_other": 18, "C": 96}, 3.016511, 5e-7, DIGIT, "solutions manual to Shigley, Problem 17-5", times(math.pi / 180), "rad"),
    Case(f.open_belt_wrap, {"D": 18, "D_other": 6, "C": 96}, 3.266674, 5e-7, DIGIT, "solutions manual to Shigley, Problem 17-5", times(math.pi / 180), "rad"),
    Case(f.open_belt_length, {"d": 6, "D": 18, "C": 96}, 230.074, 5e-4, DIGIT, "solutions manual to Shigley, Problem 17-5", shown="in"),
    Case(f.crossed_belt_length, {"d": 6, "D": 18, "C": 96}, 2 * 96 * math.cos(math.asin(0.125)) + 24 * (math.pi / 2 + math.asin(0.125)), 1e-9, FLOAT, NONE + "two tangents and two arcs of π/2 + asin(12/96) a side"),
    Case(f.capstan_ratio, {"mu": 0.2, "theta": 270}, 382.26, 0.005, DIGIT, "open mechanics course, exercise 27: 100 kg over 3/4 of a turn", lambda ratio: 100 * 9.81 / ratio, "holding force, N"),
    Case(f.groove_friction, {"mu": 1, "beta": 36}, 3.24, 0.005, DIGIT, "open encyclopaedia, belt friction, 36° groove"),
    Case(f.belt_pull, {"P": 30, "d": 75, "N": 12_000}, 30e3 / (2 * math.pi * 200) / 0.0375, 1e-9, FLOAT, NONE + "torque P/ω over the radius"),
    Case(f.shaft_pull, {"T_1": 600, "T_2": 200, "theta": 90}, math.hypot(600, 200), 1e-9, FLOAT, NONE + "two pulls at right angles"),
    # conversions
    Case(f.newton_metres_to_pound_feet, {"T": 1.355818}, 1.0, 1e-6, DIGIT, "NIST SP 811 (2008), B.8, from memory"),
    Case(f.pascals_to_inches_of_water, {"p": 249.0889}, 1.0, 1e-6, DIGIT, "NIST SP 811 (2008), B.8, from memory"),
    Case(f.pascals_to_psi, {"p": 6894.757}, 1.0, 1e-6, DIGIT, "NIST SP 811 (2008), B.8, from memory"),
]
# fmt: on
