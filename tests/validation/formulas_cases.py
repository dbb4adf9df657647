"""The one list of validation rows for `platemaker.formulas`: the tests run it and docs/validation.md prints it.

Each row says what kind of evidence its expected number is:

- `read`: the number was read in the document that `where` names, or in a copy of it;
- `library`: a general-purpose library gives it by another way (formulas_library.py);
- `derived`: worked out another way, in the arithmetic of `expected`;
- `memory`: recalled, not read;
- `repeated`: the same law written out again. It finds a typing error and is no evidence.

Formulas that are homogeneous are fed the book's own units (inch, kip). Standards themselves were mostly not open to
reading: "ISO 965-2, M5 6g" means that a copy of its table was read.
"""

# fmt: off


import math
from collections.abc import Callable, Mapping
from enum import Enum
from functools import partial
from typing import Any, NamedTuple

from scipy.optimize import brentq

from platemaker import formulas as f
from platemaker.formulas import BendStock, LossMethod
from tests.validation import formulas_library as lib

DIGIT = "half of the last printed digit"
ROUNDED = "the source rounds what it puts in"
FLOAT = "rounding of floating point"
PREFERRED = "the standard rounds tolerances to preferred numbers, up to 4 % away"


class Evidence(Enum):
    """What the expected number of a row is worth, best first."""

    READ = "number read in a source"
    LIBRARY = "independent library"
    DERIVED = "second derivation"
    MEMORY = "memory"
    REPEATED = "same law again, no evidence"


class Case(NamedTuple):
    """One row: its evidence, the formula, what goes in, what must come out, how near, why that near, and where it was printed."""

    evidence: Evidence
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


read = partial(Case, Evidence.READ)
library = partial(Case, Evidence.LIBRARY)
derived = partial(Case, Evidence.DERIVED)
memory = partial(Case, Evidence.MEMORY)
repeated = partial(Case, Evidence.REPEATED)


def field(name: str) -> Callable[[Any], Any]:
    return lambda result: getattr(result, name)


def times(factor: float) -> Callable[[Any], Any]:
    return lambda result: result * factor


INCH = 25.4
OBLONG = ((-50, -40), (50, -40), (50, 40), (-50, 40))
SLEEVE = math.pi / 4 * (36**2 - 26**2)
"""Section of a sleeve, mm2."""
EX_8_4 = {"S_p": 85.0, "A_t": 0.226, "C": 0.368, "P": 6.0, "F_i": 14.4}
PLATE = {"a": 100.0, "b": 100.0, "t": 10.0, "q": 1.0, "E": 100e3}  # b²q/t² = 100 MPa, b⁴q/(E t³) = 1 mm
ROUND = {"r": 100.0, "t": 10.0, "q": 1.0, "E": 100e3}  # r²q/t² = 100 MPa, r⁴q/(E t³) = 1 mm
FIT = {"delta": 0.04, "d": 50.0, "D": 80.0, "d_i": 0.0, "E_o": 210e3, "nu_o": 0.3, "E_i": 210e3, "nu_i": 0.3}
PRESS = "web page Press Fit Calculator, worked example and table: steel shaft 50 in hub 80, l = 40, mu = 0.12, interference 0.04"
MANUAL_24 = "solutions manual to Shigley, Problem 8-24"
PAGE_458 = "Shigley 9th ed., Example 8-7, p. 458"
R1A = "Roark 7th ed., Table 11.4, case 1a"
HANDBOOK_53 = "Mechanical Engineer's Data Handbook, p. 53"
AERO_255 = "Aeronautical Engineer's Data Book, Table A4.1, p. 255"
AERO_253 = "Aeronautical Engineer's Data Book, Table A4.1, p. 253"
ISO_2533 = "ISO 2533:1975, sea level, from memory"
EX_8_3 = "Shigley 9th ed., Example 8-3, p. 439"
MOTT = "Mott, Machine Elements in Mechanical Design, Example 19-1"
STRIP = "Handbook of Bolts and Bolted Joints (1998), chapter on thread strength, example: M10 × 1.5 in aluminium of 130 MPa, 69 600 N, engagement 21.6 mm"
STAR = "star pattern of ASME PCC-1 as reprinted in two bolting guides"
LOSSES = "minor loss table of a water network manual, Typical Fitting K Coefficients"
RANS = "general-purpose finite-volume flow solver, 2026: square duct to four times the area, 0.573 within 2 %, friction taken off"
CRANE = "Crane TP-410, p. A-29, from memory"
FRIED = "table of rounded entrances that cites Idelchik & Fried p. 52 and ASHRAE Fundamentals 1977"


def rail_sum(at: float) -> float:
    """Hetenyi's single-load solution (F λ/2) e^-u (cos u + sin u), added up over 41 bolts: F = 1000 N, s = 80, λ = 0.02."""
    total = 0.0
    for n in range(-20, 21):
        u = 0.02 * abs(at - 80 * n)
        total += 1000 * 0.02 / 2 * math.exp(-u) * (math.cos(u) + math.sin(u))
    return total


CASES: list[Case] = [
    # ISO 898-1
    read(f.proof_load, {"A_s": 36.6, "S_p": 580}, 21_200, 50, DIGIT, "ISO 898-1:2013, Table 5, M8 class 8.8"),
    read(f.proof_load, {"A_s": 58.0, "S_p": 830}, 48_100, 50, DIGIT, "ISO 898-1:2013, Table 5, M10 class 10.9"),
    read(f.proof_load, {"A_s": 353, "S_p": 970}, 342_000, 500, DIGIT, "ISO 898-1:2013, Table 5, M24 class 12.9"),
    read(f.ultimate_load, {"A_s": 58.0, "R_m": 800}, 46_400, 50, DIGIT, "ISO 898-1:2013, Table 4, M10 class 8.8"),
    read(f.ultimate_load, {"A_s": 84.3, "R_m": 1040}, 87_700, 50, DIGIT, "ISO 898-1:2013, Table 4, M12 class 10.9"),
    # Shigley, joints
    read(f.thread_length_metric, {"d": 16, "L": 46}, 38, 1e-9, FLOAT, PAGE_458),
    memory(f.thread_length_metric, {"d": 12, "L": 150}, 36, 1e-9, FLOAT, "ISO 4014:2011, Table 1, M12 over 125 mm, from memory"),
    read(f.thread_length_inch, {"d": 0.625 * INCH, "L": 2.25 * INCH}, 1.50, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", times(1 / INCH), "in"),
    *[read(f.thread_length_socket_metric, {"d": d, "L": 300}, b, 1e-9, FLOAT, f"ISO 4762:2004, Table 1 as printed in a web copy, b ref. of M{d}") for d, b in ((3, 18), (5, 22), (8, 28), (12, 36), (20, 52))],
    memory(f.thread_length_socket_inch, {"d": 0.375 * INCH, "L": 5 * INCH}, 1.25, 0.005, DIGIT, "ASME B18.3, L_T of 3/8, from memory", times(1 / INCH), "in"),
    read(f.grip_tapped, {"h": 0.595, "t_2": 0.625, "d": 0.5}, 0.845, 5e-4, DIGIT, "solutions manual to Shigley, Problem 8-25", shown="in"),
    read(f.bolt_stiffness, {"A_d": 0.3068, "A_t": 0.226, "l_d": 0.75, "l_t": 0.75, "E": 30}, 5.21, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 442", shown="Mlbf/in"),
    read(f.frustum_stiffness, {"E": 30, "d": 0.5, "D": 0.75, "t": 0.5}, 33.30, 0.005, DIGIT, MANUAL_24 + ", k_1", shown="Mlbf/in"),
    read(f.frustum_stiffness, {"E": 14.5, "d": 0.5, "D": 1.327, "t": 0.11}, 173.8, 0.05, DIGIT, MANUAL_24 + ", k_2", shown="Mlbf/in"),
    read(f.frustum_stiffness, {"E": 14.5, "d": 0.5, "D": 0.86, "t": 0.515}, 21.47, 0.005, DIGIT, MANUAL_24 + ", k_3", shown="Mlbf/in"),
    read(f.frustum_stiffness, {"E": 30, "d": 0.5, "D": 0.75, "t": 0.095}, 97.27, 0.01, ROUNDED, MANUAL_24 + ", k_4", shown="Mlbf/in"),
    read(f.stiffness_in_series, {"k": (33.30, 173.8, 21.47, 97.27)}, 10.79, 0.005, DIGIT, MANUAL_24 + ", k_m", shown="Mlbf/in"),
    read(f.joint_constant, {"k_b": 5.21, "k_m": 8.95}, 0.368, 5e-4, DIGIT, "Shigley 9th ed., Example 8-4, p. 442"),
    read(f.joint_constant, {"k_b": 5.04, "k_m": 12.87}, 0.281, 5e-4, DIGIT, "solutions manual to Shigley, Problem 8-25"),
    read(f.joint_constant, {"k_b": 6.50, "k_m": 13.8}, 0.320, 5e-4, DIGIT, EX_8_3),
    read(f.torque_for_preload, {"F": 4000, "K": 0.15, "d": 0.375}, 225, 0.5, DIGIT, MOTT, shown="lbf.in"),
    memory(f.torque_for_preload, {"F": 25_000, "K": 0.2, "d": 0.75}, 3750, 1e-6, FLOAT, "Shigley 9th ed., Example 8-3 (b), from memory", shown="lbf.in"),
    read(f.preload_from_torque, {"T": 225, "K": 0.15, "d": 0.375}, 4000, 10, "the torque is printed in whole lbf.in", MOTT, shown="lbf"),
    read(f.bolt_load, {"C": 0.320, "P": 6.0, "F_i": 25.0}, 72.17, 0.005, DIGIT, EX_8_3 + ", kip on 0.373 in2", times(1 / 0.373), "stress, kpsi"),
    derived(f.clamp_left, {"C": 0.368, "P": 6.0, "F_i": 14.4}, 14.4 - 0.632 * 6.0, 1e-9, FLOAT, "the parts unload by their share of the load, k_m/(k_b + k_m) = 0.632"),
    read(f.yield_factor, EX_8_4, 1.16, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 443"),
    read(f.separation_factor, {"C": 0.368, "P": 6.0, "F_i": 14.4}, 3.80, 0.005, DIGIT, "Shigley 9th ed., Example 8-4, p. 443"),
    library(f.shear_yield_strength, {"S_y": 300}, lib.shear_at_yield(300), 0.2, "the book prints 1/sqrt(3) as 0.577", "numpy and scipy: pure shear whose deviator is as long as that of yield in tension"),
    # Shigley, patterns
    read(f.pattern_properties, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60))}, 96.0, 0.05, DIGIT, PAGE_458, lambda r: math.sqrt(r.polar / 4), "r, mm"),
    read(f.pattern_shear, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60)), "F_x": 0, "F_y": 16e3, "M": 6.8e6}, 21.0, 0.05, DIGIT, PAGE_458 + ", F_A", lambda r: max(math.hypot(*s) for s in r) / 1e3, "largest share, kN"),
    read(f.pattern_shear, {"points": ((-75, 60), (75, 60), (75, -60), (-75, -60)), "F_x": 0, "F_y": 16e3, "M": 6.8e6}, 14.8, 0.05, DIGIT, PAGE_458 + ", F_C", lambda r: min(math.hypot(*s) for s in r) / 1e3, "least share, kN"),
    library(f.pattern_tension, {"points": OBLONG, "N": 4000, "M_x": 0, "M_y": 20e3}, lib.rigid_plate(OBLONG, 4000, 20e3), 0.01, ROUNDED, "scipy: least energy of equal bolts that balance force and moment"),
    library(f.tilting_tension, {"M": 12e3 * 400, "c": (50, 50, 375, 375)}, lib.tilting_plate((50, 50, 375, 375), 12e3 * 400), 0.6, ROUNDED, "scipy: least energy of equal bolts that balance the moment about an edge"),
    # threads
    *[read(f.metric_thread_limits, {"d": d, "P": P}, value, 0.004, PREFERRED, f"ISO 965-2, coarse threads 6g, M{d}, copy of the table", field("pitch_external_min"), "d_2 min, mm")
      for d, P, value in ((3, 0.5, 2.580), (5, 0.8, 4.361), (6, 1, 5.212), (10, 1.5, 8.862))],
    *[read(f.metric_thread_limits, {"d": d, "P": P}, value, 0.008, PREFERRED, f"ISO 965-2, coarse threads 6g, M{d}, copy of the table", field("major_external_min"), "d_min, mm")
      for d, P, value in ((3, 0.5, 2.874), (5, 0.8, 4.826), (6, 1, 5.794), (10, 1.5, 9.732))],
    memory(f.metric_thread_limits, {"d": 8, "P": 1.25}, 7.348, 0.005, PREFERRED, "ISO 965-2, M8 6H, from memory", field("pitch_internal_max"), "D_2 max, mm"),
    memory(f.metric_thread_limits, {"d": 8, "P": 1.25}, 6.912, 0.008, PREFERRED, "ISO 965-2, M8 6H, from memory", field("minor_internal_max"), "D_1 max, mm"),
    read(f.unified_thread_limits, {"d": 0.086 * INCH, "P": INCH / 56}, 0.0813, 1.5e-4, "the standard rounds allowance and tolerance to 0.0001 in each", "ASME B1.1, limits of size, copy of the table, 2-56 UNC 2A", lambda r: r.major_external_min / INCH, "d_min, in"),
    read(f.unified_thread_limits, {"d": 0.086 * INCH, "P": INCH / 56}, 0.0717, 1.5e-4, "the standard rounds allowance and tolerance to 0.0001 in each", "ASME B1.1, limits of size, copy of the table, 2-56 UNC 2A", lambda r: r.pitch_external_min / INCH, "d_2 min, in"),
    *[read(f.unified_thread_limits, {"d": d * INCH, "P": INCH / n}, value, 1e-4, "the standard rounds to 0.0001 in", f"ASME B1.1, limits of size, copy of the table, {name} UNC 2B", lambda r: r.pitch_internal_max / INCH, "D_2 max, in")
      for name, d, n, value in (("2-56", 0.086, 56, 0.0772), ("1/4-20", 0.25, 20, 0.2224), ("3/8-16", 0.375, 16, 0.3401), ("1/2-13", 0.5, 13, 0.4565))],
    *[read(f.unified_thread_limits, {"d": d * INCH, "P": INCH / n}, value, 6e-4, "the standard rounds to 0.001 in", f"ASME B1.1, limits of size, copy of the table, {name} UNC 2B", lambda r: r.minor_internal_max / INCH, "D_1 max, in")
      for name, d, n, value in (("1/4-20", 0.25, 20, 0.2070), ("3/8-16", 0.375, 16, 0.3210), ("1/2-13", 0.5, 13, 0.4340))],
    library(f.external_shear_area, {"L_e": 1, "P": 0.05, "K_n": 0.2070, "E_s": 0.2127}, lib.sheared_thread(1, 0.05, 0.2127, 0.2070, 1), 2e-5, ROUNDED, "shapely: tooth of 60° drawn and cut at K_n", shown="in2/in"),
    library(f.internal_shear_area, {"L_e": 1, "P": 0.05, "D_s": 0.2408, "E_n": 0.2224}, lib.sheared_thread(1, 0.05, 0.2224, 0.2408, -1), 2e-5, ROUNDED, "shapely: tooth of 60° drawn and cut at D_s", shown="in2/in"),
    memory(f.external_shear_area, {"L_e": 1, "P": 0.05, "K_n": 0.2070, "E_s": 0.2127}, 0.368, 5e-4, DIGIT, "FED-STD-H28/2, shear area table, 1/4-20, from memory", shown="in2/in"),
    memory(f.internal_shear_area, {"L_e": 1, "P": 0.05, "D_s": 0.2408, "E_n": 0.2224}, 0.539, 5e-4, DIGIT, "FED-STD-H28/2, shear area table, 1/4-20, from memory", shown="in2/in"),
    read(f.internal_shear_area, {"L_e": 21.6, "P": 1.5, "D_s": 9.968, "E_n": 9.206}, 69_600 / 130, 1.3, "the length is printed to 0.1 mm", STRIP + ", area = load over shear strength"),
    read(f.strip_load, {"A": 21.6 / 1.5 * math.pi * 9.968 * (0.75 + (9.968 - 9.206) / math.sqrt(3)), "tau": 130}, 69_600, 170, "the length is printed to 0.1 mm", STRIP),
    # beam on the gasket
    repeated(f.foundation_modulus, {"E_g": 100, "b": 12, "t_g": 1.5}, 12 * (100 / 1.5), 1e-9, FLOAT, "Hooke's law: 1 mm on 1.5 mm strains by 1/1.5"),
    # gaskets
    library(f.flange_characteristic, {"k": 800, "E": 70e3, "b_f": 30, "t": 20}, lib.characteristic_of_long_beam(70e3 * 20_000, 800, 1000), 2e-6, ROUNDED, "scipy: long beam of I = 30 × 20³/12 = 20 000 mm4 on springs, from its deflection under a force", shown="1/mm"),
    library(f.gasket_load_at_bolt, {"F": 1000, "s": 80, "lam": 0.02}, lib.loads_of_bolt_row(800 / (4 * 0.02**4), 800, 1000, 80)[0], 1e-3, ROUNDED, "scipy: half a span on springs, symmetrical at both ends"),
    library(f.gasket_load_between_bolts, {"F": 1000, "s": 80, "lam": 0.02}, lib.loads_of_bolt_row(800 / (4 * 0.02**4), 800, 1000, 80)[1], 1e-3, ROUNDED, "scipy: half a span on springs, symmetrical at both ends"),
    derived(f.gasket_load_at_bolt, {"F": 1000, "s": 80, "lam": 0.02}, rail_sum(0), 1e-6, "terms left out are under e^-32", "sum of 41 single loads"),
    derived(f.gasket_seating_width, {"N": 0.75 * INCH}, 0.5 * math.sqrt(0.375), 0.003, "the code's metric constant 2.5 is rounded from 2.52", "inch form of the code, b = 0.5 sqrt(b_0) above 1/4 in, gasket 17.75 × 16.25 in", times(1 / INCH), "in"),
    repeated(f.bolt_spacing_limit, {"d": 20, "t": 30, "m": 2.0}, 40 + 180 / 2.5, 1e-9, FLOAT, "2 × 20 + 6 × 30/2.5; the law was read in ASME BPVC VIII-2 (2010), Table 4.16.11"),
    # O-rings
    read(f.oring_squeeze, {"W": 3.63, "h": 2.54}, 0.30, 0.005, DIGIT, "face glands for AS568 rings, library bd_warehouse 0.4.0, section 0.139 in, greatest squeeze"),
    read(f.oring_squeeze, {"W": 3.43, "h": 2.74}, 0.20, 0.005, DIGIT, "face glands for AS568 rings, library bd_warehouse 0.4.0, section 0.139 in, least squeeze"),
    read(f.oring_squeeze, {"W": 2.0, "h": 1.6}, 0.20, 5e-5, DIGIT, "web page O-Ring Gland Calculator, default result, section 2.0, depth 1.6"),
    read(f.oring_fill, {"W": 2.0, "h": 1.6, "b": 3.2}, 0.6136, 5e-5, DIGIT, "web page O-Ring Gland Calculator, default result, 3.142 mm2 in 5.12 mm2"),
    repeated(f.oring_fill, {"W": 3.53, "h": 2.64, "b": 4.57}, 9.787 / 12.065, 1e-3, ROUNDED, "section 9.787 mm2 over groove 12.065 mm2"),
    repeated(f.oring_stretch, {"L": math.pi * 102, "d_1": 97, "W": 3}, 0.02, 1e-9, FLOAT, "centre line 102 over 100"),
    # plates
    library(f.oring_section_stretched, {"W": 3.0, "stretch": 0.04}, lib.torus_section(3.0, 100.0, 0.04), 2e-4, ROUNDED, "trimesh and scipy: torus of the same volume on a circle 4 % longer"),
    read(f.round_plate_supported, ROUND, 1.238, 5e-4, DIGIT, HANDBOOK_53, lambda r: r.stress_centre / 100, "σ t²/(q r²)"),
    library(f.round_plate_supported, {"r": 100, "t": 10, "q": 1, "E": 100e3}, lib.supported_round_plate(100, 10, 1, 100e3)[0], 0.06, ROUNDED, "scipy: slope of a round plate on its edge", field("stress_centre"), "MPa"),
    library(f.round_plate_supported, {"r": 100, "t": 10, "q": 1, "E": 100e3}, lib.supported_round_plate(100, 10, 1, 100e3)[1], 1e-4, ROUNDED, "scipy: slope of a round plate on its edge", field("deflection"), "mm"),
    read(f.round_plate_supported, ROUND, 0.696, 5e-4, DIGIT, HANDBOOK_53, field("deflection"), "y E t³/(q r⁴)"),
    *[read(f.rectangular_plate_supported, PLATE | {"a": 100.0 * ratio}, beta, 4e-4, "the table stands up to 0.0003 from the exact series", f"{R1A}, a/b = {ratio}, beta", lambda r: r.stress_centre / 100, "β")
      for ratio, beta in ((1, 0.2874), (1.2, 0.3762), (1.4, 0.4530), (2, 0.6102), (4, 0.7410), (5, 0.7476))],
    *[read(f.rectangular_plate_supported, PLATE | {"a": 100.0 * ratio}, alpha, 5e-4, "the table stands up to 0.0004 from the exact series", f"{R1A}, a/b = {ratio}, alpha", field("deflection"), "α")
      for ratio, alpha in ((1, 0.0444), (1.2, 0.0616), (1.4, 0.0770), (2, 0.1110), (4, 0.1400), (5, 0.1417))],
    # fits
    read(f.press_fit_pressure, FIT, 51.2, 0.05, DIGIT, PRESS),
    read(f.bore_hoop_stress, {"p": 51.2, "d": 50, "D": 80}, 117, 0.5, DIGIT, PRESS),
    read(f.hold_out_force, {"mu": 0.12, "p": 51.2, "d": 50, "l_f": 40}, 38.6, 0.05, DIGIT, PRESS, times(1e-3), "kN"),
    library(f.bore_hoop_stress, {"p": 51.2, "d": 50, "D": 80}, lib.hoop_at_bore(51.2, 50, 80), 0.005, ROUNDED, "scipy: equilibrium of a ring under pressure inside"),
    library(f.inner_part_stress, {"p": 30, "d": 50, "d_i": 20}, lib.hoop_of_pressed_part(30, 50, 20), 5e-4, ROUNDED, "scipy: equilibrium of a ring under pressure outside"),
    library(f.plane_equivalent_stress, {"sigma_A": 30.456, "sigma_B": -23.848}, lib.equivalent_in_plane(30.456, -23.848), 5e-4, ROUNDED, "numpy: deviator of the stress tensor"),
    library(f.closed_cylinder_stress, {"p": 0.4, "d": 10, "D": 20}, lib.equivalent_at_bore(0.4, 10, 20), 1e-4, ROUNDED, "scipy and numpy: ring under pressure inside, pull of its ends, deviator of the three stresses"),
    read(f.assembly_temperature_rise, {"delta": 0.0010, "clearance": 0.0020, "alpha": 12.8e-6, "d": 1.000}, 234, 0.5, DIGIT, "web page Shrink Fit Calculator, quick answer: aluminium hub of 1.000 in, in and °F", shown="°F"),
    repeated(f.assembly_temperature_rise, {"delta": 0.042, "clearance": 0.018, "alpha": 24e-6, "d": 25}, 0.060, 1e-9, FLOAT, "the bore of 25 mm grows by 0.060 mm", lambda rise: 25 * 24e-6 * rise, "growth, mm"),
    repeated(f.interference_when_hot, {"delta": 0.030, "alpha_i": 12e-6, "alpha_o": 24e-6, "rise": 100, "d": 20}, (20.030 + 0.024) - (20.0 + 0.048), 1e-9, FLOAT, "steel part 20.030 grows by 0.024, aluminium bore 20 by 0.048"),
    # air
    library(f.gas_density, {"p": 101_325, "T": 288.15}, lib.density_at_sea_level(), 5e-4, DIGIT, "fluids: standard atmosphere of 1976 at sea level"),
    memory(f.gas_density, {"p": 101_325, "T": 288.15}, 1.225, 5e-4, DIGIT, ISO_2533),
    library(f.air_viscosity, {"T": 381.48}, lib.viscosity_of_air(381.48), 5e-10, DIGIT, "fluids: standard atmosphere of 1976, which has the same law", shown="Pa.s"),
    memory(f.air_viscosity, {"T": 373.15}, 2.17e-5, 2e-7, "tables differ by 1 %", "White 7th ed., table A.2, air at 100 degrees C, from memory", shown="Pa.s"),
    library(f.static_temperature_ratio, {"M": 1}, 0.83333, 5e-6, DIGIT, "fluids: T_critical_flow, k = 1.4"),
    library(f.static_pressure_ratio, {"M": 1}, 0.52828, 5e-6, DIGIT, "fluids: P_critical_flow, k = 1.4"),
    *[read(f.hydraulic_diameter, {"A": a * b, "perimeter": 2 * (a + b)}, D, 5e-4, DIGIT, f"table Rectangular Ducts - Hydraulic Diameters of an engineering reference, {1000 * a:g} × {1000 * b:g} mm") for a, b, D in ((0.4, 0.3, 0.343), (0.6, 0.2, 0.300), (1.0, 0.15, 0.261))],
    *[read(f.static_temperature_ratio, {"M": M}, value, 5e-5, DIGIT, f"{page}, M = {M}") for M, value, page in ((0.15, 0.9955, AERO_253), (0.20, 0.9921, AERO_253), (0.90, 0.8606, AERO_255))],
    *[read(f.static_pressure_ratio, {"M": M}, value, 5e-5, DIGIT, f"{page}, M = {M}") for M, value, page in ((0.15, 0.9844, AERO_253), (0.20, 0.9725, AERO_253), (0.90, 0.5913, AERO_255))],
    *[read(f.area_ratio, {"M": M}, value, 5e-5, DIGIT, f"{page}, M = {M}") for M, value, page in ((0.15, 3.9103, AERO_253), (0.20, 2.9635, AERO_253), (0.90, 1.0089, AERO_255))],
    library(f.choked_mass_flow, {"A": 1e-4, "p_0": 300e3, "T_0": 320}, lib.choking_flow(1e-4, 300e3, 320), 1e-5, ROUNDED, "fluids: relief valve without losses after API 520, air"),
    read(f.duct_state, {"mdot": 0.06778 / 2.9635, "A": 1e-4, "p_0": 300e3, "T_0": 320}, 0.2, 5e-5, ROUNDED, AERO_253 + ", M = 0.20, of a choking flow 0.06778 kg/s", field("mach"), "M"),
    memory(f.choked_mass_flow, {"A": 1, "p_0": 1, "T_0": 1 / 287.05}, 0.6847, 5e-5, DIGIT, "White 7th ed., eq. 9.47: m sqrt(R T_0)/(A p_0) = 0.6847, from memory"),
    derived(f.duct_state, {"mdot": 0.07, "A": 1e-4, "p_0": 300e3, "T_0": 320}, True, 0, "yes or no", "choking flow 0.06778 kg/s is less than 0.07", field("choked"), "choked"),
    derived(f.flow_conductance, {"mdot": 1.2 * 0.01 * 50, "dp": 0.5 * 1.2 * 50**2 / 2}, 0.01 * math.sqrt(2 * 1.2 / 0.5), 1e-12, FLOAT, "an orifice of 0.01 m2 with K = 0.5: m = A √(2 ρ Δp / K)"),
    library(f.pressure_loss, {"K": 0.5, "rho": 1.2, "V": 50}, lib.loss_of_pressure(0.5, 1.2, 50), 1e-6, FLOAT, "fluids: dP_from_K"),
    read(f.four_stroke_mass_flow, {"V_d": 250 * INCH**3 / 1e6, "N": 6000, "eta_v": 1, "rho": 1}, 434, 0.5, DIGIT, "web page CFM Calculations & Volumetric Efficiency, 250 in3 at 6000 rev/min", times(60 / 0.3048**3), "ft3/min"),
    read(f.four_stroke_mass_flow, {"V_d": 122 * INCH**3 / 1e6, "N": 7200, "eta_v": 0.92, "rho": 41.1 * 6894.757 / (287.05 * 590 / 1.8)}, 44.0, 0.06, "the pressure is printed to 0.1 psi", "web page Turbocharger Math: 122 in3, 7200 rev/min, 41.1 psi absolute, 130 °F", times(60 / 0.45359237), "lb/min"),
    repeated(f.blower_mass_flow, {"V_t": 2, "N": 9000, "eta_v": 0.9, "rho": 1.2}, 0.002 * 150 * 0.9 * 1.2, 1e-9, FLOAT, "150 turns a second"),
    library(f.blower_boost_ratio, {"V_t": 1.6, "i": 1.75, "eta_b": 0.85, "V_d": 4.4, "eta_e": 0.85, "eta_s": 0.55}, lib.boost_of(2.38 / 1.87, 0.55), 1e-5, ROUNDED, "fluids: isentropic_T_rise_compression, with scipy's root of the balance"),
    derived(f.blower_boost_ratio, {"V_t": 1.6, "i": 1.75, "eta_b": 0.85, "V_d": 4.4, "eta_e": 0.85, "eta_s": 0.55}, brentq(lambda r: r - 2.38 / 1.87 * (1 + (r ** (2 / 7) - 1) / 0.55), 1.1, 10), 1e-9, FLOAT, "root of the balance by SciPy's brentq"),
    # preload that changes
    repeated(f.thermal_mismatch, {"alphas": [21e-6], "lengths": [100.0], "alpha_b": 10e-6, "dT": 27.0}, 0.0297, 1e-9, FLOAT, "27 K x 11e-6 x 100 mm"),
    read(f.force_of_length_change, {"delta": 27.0 * 11e-6 * 100, "k_b": 200e3 * math.pi / 4 * 25**2 / 100, "k_m": 100e3 * SLEEVE / 100}, 20.0, 0.5 / 27 * 20, "the answer is rounded to 1 K of 27", "Gere, Mechanics of Materials, problem 2.5-8, brass sleeve on a steel bolt, in the variant with 20 MPa: 27 °C", times(1 / SLEEVE), "stress of the sleeve, MPa"),
    read(f.embedding, {"n_s": 1, "n_i": 1}, 0.010, 1e-9, FLOAT, "ECSS-E-HB-32-23A, Table 6-3, Rz 10 to 40 µm: 3, 4.5 and 2.5 µm, read in an open program that holds the table"),
    # losses
    library(f.compressor_outlet_temperature, {"T_1": 300, "ratio": 1.5, "eta_s": 0.6}, lib.temperature_behind(300, 1.5, 0.6), 5e-4, ROUNDED, "fluids: isentropic_T_rise_compression"),
    derived(f.blower_pressure_ratio, {"V_t": 0.45, "i": 1.7, "eta_b": 1, "V_d": 1.25, "eta_e": 1, "T_1": 300, "T_2": 300}, (14.7 + 3.29) / 14.7, 1e-3, ROUNDED, "pulley ratio of a table of supercharger formulas, C (14.7 + B)/(14.7 V) with C half the engine, solved for the boost: 3.29 psi"),
    *[read(f.contraction_loss, {"D_1": 100, "D_2": 100 * ratio}, K, 0.0051, DIGIT, f"{LOSSES}, sudden contraction, D2/D1 = {ratio:g}") for ratio, K in ((0.8, 0.18), (0.5, 0.37))],
    library(f.expansion_loss, {"D_1": 50, "D_2": 100}, 0.573, 0.0115, "the solver's band of 2 %", RANS),
    read(f.sharp_entrance_loss, {}, 0.50, 0.005, DIGIT, f"{LOSSES}, sharp-edged entrance"),
    repeated(f.contraction_loss, {"D_1": 100, "D_2": 60}, 0.32, 1e-9, FLOAT, "Crane TP-410: 0.5 (1 − 0.36)"),
    repeated(f.contraction_loss, {"D_1": 100, "D_2": 40, "method": LossMethod.RENNELS}, 0.5301, 5e-5, DIGIT, "manual of the same library"),
    repeated(f.expansion_loss, {"D_1": 70, "D_2": 100}, (1 - 0.49) ** 2, 1e-9, FLOAT, "Borda and Carnot: (1 − A_1/A_2)²"),
    memory(f.sharp_entrance_loss, {}, 0.5, 1e-9, FLOAT, CRANE),
    *[memory(f.rounded_entrance_loss, {"D": 100, "r": r}, K, 1e-9, FLOAT, f"{CRANE}, r/d = {r / 100:g}") for r, K in ((2.0, 0.28), (4.0, 0.24), (6.0, 0.15), (10.0, 0.09))],
    *[read(f.rounded_entrance_loss, {"D": 100, "r": r, "method": LossMethod.IDELCHIK}, K, 0.005, DIGIT, f"{FRIED}, r/D_h = {r / 100:g}") for r, K in ((2.0, 0.37), (4.0, 0.26), (8.0, 0.15), (12.0, 0.09))],
    derived(f.chamfered_entrance_loss, {"D": 100, "l_c": 10, "angle": 90}, 0.50, 0.005, DIGIT, "a chamfer square to the flow is the sharp edge of the loss tables"),
    memory(f.chamfered_entrance_loss, {"D": 100, "l_c": 10, "angle": 30}, 0.18, 1e-9, FLOAT, "Idelchik, table of bevelled entrances, 60° whole angle, l/D = 0.1, from memory"),
    memory(f.chamfered_entrance_loss, {"D": 100, "l_c": 2.5, "angle": 50}, 0.42, 1e-9, FLOAT, "Idelchik, table of bevelled entrances, 100° whole angle, l/D = 0.025, from memory"),
    read(f.rounded_bend_loss, {"D": 50, "r": 100, "angle": 90}, 0.22, 0.03, "the table prints 0.19 to 0.25", f"{LOSSES}, smooth bend of 90°, r/D = 2"),
    read(f.rounded_bend_loss, {"D": 50, "r": 50, "angle": 90}, 0.375, 0.04, "the table prints 0.35 to 0.40; the formula gives 0.34", f"{LOSSES}, smooth bend of 90°, r/D = 1"),
    repeated(f.rounded_bend_loss, {"D": 4.02, "r": 20, "angle": 30, "f": 0.01799}, 0.115191, 1e-5, "f rounded to four figures", "manual of the same library, bend_rounded: 5 diameters, Re 1e5, smooth, f after Colebrook"),
    memory(f.rounded_bend_loss, {"D": 52.5, "r": 78.75, "angle": 90, "f": 0.019}, 14 * 0.019, 0.04, "authors differ by a seventh", "Crane TP-410, p. A-30, 90° bend r/d 1.5, f_T of 2 in pipe, from memory"),
    read(f.mitre_bend_loss, {"angle": 90}, 1.2, 0.1, "the table prints 1.1 to 1.3", "table Minor Loss Coefficients (K), mitered bend of 90° without vanes"),
    read(f.mitre_bend_loss, {"angle": 60}, 0.495, 0.095, "the table prints 0.40 to 0.59", "Table 9.2 Minor Loss Coefficients of an environmental engineering reference, one mitre of 60°"),
    read(f.mitre_bend_loss, {"angle": 30}, 0.15, 0.04, "the table prints 0.11 to 0.19", "Table 9.2 Minor Loss Coefficients of an environmental engineering reference, one mitre of 30°"),
    memory(f.mitre_bend_loss, {"angle": 90}, 1.1, 0.15, "authors differ by a tenth", "Munson 6th ed., fig. 8.31, 90° mitre without vanes, from memory"),
    derived(f.chamber_jet_area, {"T": 1000, "O": 0, "A_1": 2000, "A_2": 4000}, (1 / 577**2 + 1 / 2000**2 + 2.56 / 4000**2) ** -0.5, 1e-6, FLOAT, "three sections in series by their squares"),
    derived(f.chamber_jet_area, {"T": 1e-6, "O": 1500, "A_1": 2000, "A_2": 4000}, 1500.0, 1e-6, FLOAT, "with nothing sideways, what the ports share"),
    library(f.chamber_loss, {"A_e": 1000, "A_1": 1000, "A_2": 4000}, 0.573, 0.0115, "the solver's band of 2 %", RANS),
    derived(f.chamber_loss, {"A_e": 850.0, "A_1": 2320.0, "A_2": 4200.0}, 4.6 - 0.067, 0.25, "closures scatter by 8 %", "passage computed by a flow solver, 12 mm deep: one of the three that the jet was fitted to"),
    derived(f.chamber_loss, {"A_e": 1000, "A_1": 1000, "A_2": 2000}, 0.25, 1e-9, FLOAT, "sudden expansion after Borda and Carnot, (1 - 1/2)²"),
    library(f.jet_mixing_loss, {"mdot": 1e-3, "A_e": 1e-3, "A_2": 4e-3, "p_0": 1e5, "T_0": 300.0}, 0.573 * 287.05 * 300 / (2 * 1e5), 0.01, "the solver's band of 2 %", RANS + ", times (m/A)²/(2 ρ)"),
    derived(f.jet_mixing_loss, {"mdot": 1e-3, "A_e": 1e-3, "A_2": 2e-3, "p_0": 1e5, "T_0": 300.0}, 0.25 * 287.05 * 300 / (2 * 1e5), 1e-4, "density changes by 1e-5", "Borda and Carnot at low speed: (1 - 1/2)² of (m/A)²/(2 ρ)"),
    # geometry
    read(f.drill_point_height, {"d": 0.5}, 0.1502, 5e-5, DIGIT, "web page Drill Point Calculator, 1/2 in, 118°", shown="in"),
    read(f.drill_point_height, {"d": 1, "angle": 135}, 0.207, 5e-4, DIGIT, "web page Drill Point Calculator, constant of 135°"),
    # fasteners
    library(f.mouth_volume, {"L": 2 * math.pi * 30, "r": 6}, lib.rounded_mouth(30, 6), 0.6, ROUNDED, "trimesh: section of the rounding turned round a hole of 60"),
    library(f.chamfer_volume, {"L": 2 * math.pi * 30, "c": 6, "h": 4}, lib.chamfered_mouth(30, 6, 4), 0.6, ROUNDED, "trimesh: section of the chamfer turned round a hole of 60"),
    library(f.angle_from_vertical, {"x": 0, "y": 3, "z": -4}, lib.angle_between((0, 3, -4), (0, 0, -1)), 5e-4, ROUNDED, "trimesh: angle between two vectors"),
    library(f.head_bearing_stress, {"F": 16e3, "d_w": 13, "d_h": 9}, 16e3 / lib.ring_area(13, 9), 0.001, ROUNDED, "shapely: area of the ring that bears"),
    read(f.through_bolt_length, {"l_g": 27, "H": 14.8, "P": 2, "n": 1}, 43.8, 0.05, DIGIT, PAGE_458 + ", which adds 2 mm beyond the nut"),
    derived(f.tapped_bolt_length, {"lengths": (20, 25, 30, 35, 40), "h": 12, "L_e": 16, "L_max": 20}, 30, 0, "a stock length", "28 needed, 32 allowed"),
    read(f.tightening_order, {"angles": tuple(45 * i for i in range(8))}, (0, 4, 2, 6, 1, 5, 3, 7), 0, "an order", STAR + ", 8 bolts: 1 5 3 7 2 6 4 8"),
    read(f.tightening_order, {"angles": tuple(30 * i for i in range(12))}, (0, 6, 3, 9, 1, 7, 4, 10, 2, 8, 5, 11), 0, "an order", STAR + ", 12 bolts: 1 7 4 10 2 8 5 11 3 9 6 12"),
    read(f.tightening_order, {"angles": tuple(22.5 * i for i in range(16))}, (0, 8, 4, 12, 2, 10, 6, 14, 1, 9, 5, 13, 3, 11, 7, 15), 0, "an order", STAR + ", 16 bolts: 1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16"),
    derived(f.tightening_order_outwards, {"points": ((-100, 0), (-50, 0), (0, 0), (50, 0), (100, 0))}, (2, 1, 3, 0, 4), 0, "an order", "five in a row: the middle, its neighbours, the ends"),
    # edges and engagement
    # pipe threads, fuel
    *[read(f.npt_depth_needed, {"L_1": L_1 * INCH, "P": INCH / n}, depth - INCH / n, 0.0101, DIGIT, f"tapping depths of NPTF taps in a tap catalog, {name}: L_1 + 3 P and one pitch more are {depth} mm", shown="mm") for name, L_1, n, depth in (("1/8", 0.162, 27, 7.88), ("1/4", 0.228, 18, 11.44), ("3/8", 0.240, 18, 11.74), ("1/2", 0.320, 14, 15.39))],
    repeated(f.rail_speed, {"Q": 600, "n": 8, "A": 80}, (600e-6 / 60 * 8) / 80e-6, 1e-9, FLOAT, "in m3/s and m2"),
    read(f.insert_major_diameter, {"d": 8, "P": 1.25}, 0.3470, 1e-4, DIGIT, "Machinery's Handbook 31st ed., p. 1007, Table 26a, tap of M8x1.25 STI: basic pitch diameter, least printed less the 0.0005 in of its H limit", lambda r: (r - 0.649519 * 1.25) / INCH, "pitch diameter, in"),
    read(f.insert_major_diameter, {"d": 10, "P": 1.5}, 0.4321, 1e-4, DIGIT, "Machinery's Handbook 31st ed., p. 1007, Table 26a, tap of M10x1.5 STI: basic pitch diameter, least printed less the 0.0010 in of its H limit", lambda r: (r - 0.649519 * 1.5) / INCH, "pitch diameter, in"),
    read(f.insert_minor_diameter, {"d": 8, "P": 1.25}, 0.3470, 1e-4, DIGIT, "Machinery's Handbook 31st ed., p. 1007, Table 26a, tap of M8x1.25 STI: basic pitch diameter, least printed less the 0.0005 in of its H limit", lambda r: (r + 0.433013 * 1.25) / INCH, "pitch diameter, in"),
    read(f.insert_minor_diameter, {"d": 10, "P": 1.5}, 0.4321, 1e-4, DIGIT, "Machinery's Handbook 31st ed., p. 1007, Table 26a, tap of M10x1.5 STI: basic pitch diameter, least printed less the 0.0010 in of its H limit", lambda r: (r + 0.433013 * 1.5) / INCH, "pitch diameter, in"),
    repeated(f.insert_thread_depth, {"L": 15, "P": 1.5}, 15 + 1.5, 1e-9, FLOAT, "the law as read in ASME B18.29.2M, note to the hole table, web copy: nominal length + 1 pitch"),
    repeated(f.insert_assembled_length, {"L": 15, "P": 1.5}, 15 - 0.75 * 1.5, 1e-9, FLOAT, "the law as read in ASME B18.29.2M, note to the hole table, web copy: nominal length less 0.5 to 0.75 pitch"),
    read(f.injector_flow, {"Q_1": 100, "p_1": 0.3, "p_2": 0.6}, 141, 0.5, DIGIT, "web page Fuel Rail Pressure Compensation Calculator: twice the pressure, 1.41 times the flow"),
    read(f.injector_flow, {"Q_1": 100, "p_1": 0.3, "p_2": 0.45}, 122.5, 0.05, DIGIT, "web page Injection Pressure Calculator: 50 % more pressure, 22.5 % more flow"),
    repeated(f.blend_density, {"x": 0.85, "rho_a": 740, "rho_b": 794}, (0.15 * 740 + 0.85 * 794) / 1, 1e-9, FLOAT, "0.15 m3 of one and 0.85 m3 of the other"),
    read(f.blend_air_ratio, {"x": 0.85, "rho_a": 740, "rho_b": 794, "A_a": 14.7, "A_b": 9.0}, 9.7, 0.12, "printed to one place for fuel of no stated density", "table of common fuels on the web, E85"),
    repeated(f.fuel_needed, {"m_a": 0.1, "lam": 1.0, "A": 14.7}, 6.803e-3, 1e-6, ROUNDED, "0.1 kg of air over 14.7"),
    repeated(f.injected_fuel, {"n": 6, "Q": 200, "duty": 0.5, "rho": 800}, 6 * 0.5 * 200 * 0.8 / 60 / 1000, 1e-12, FLOAT, "600 cm3 a minute of 0.8 g"),
    library(f.strip_bending_stress, {"M": 6000, "b": 10, "t": 6}, lib.strip_stress(6000, 10, 6), 1e-4, ROUNDED, "trimesh: second moment of the section"),
    library(f.unit_load_deflection, {"L": (60.0, 40.0), "M": (20e3, 8e3, 0.0), "m": (100.0, 40.0, 0.0), "E": 200e3, "I": 160.0}, lib.cantilever_deflection(200e3 * 160, 200, 100), 1e-4, ROUNDED, "scipy: straight cantilever of 100 under 200 N"),
    derived(f.strip_bending_stress, {"M": 6000, "b": 10, "t": 6}, 6000 * 3 / (10 * 6**3 / 12), 1e-9, FLOAT, "M c/I with c = 3, I = 180"),
    derived(f.unit_load_deflection, {"L": (60.0, 40.0), "M": (20e3, 8e3, 0.0), "m": (100.0, 40.0, 0.0), "E": 200e3, "I": 160.0}, 200 * 100**3 / (3 * 200e3 * 160), 1e-9, FLOAT, "F L³/(3 E I) of a straight cantilever in two pieces"),
    derived(f.unit_load_deflection, {"L": (80.0, 50.0), "M": (5e3, 5e3, 0.0), "m": (50.0, 50.0, 0.0), "E": 200e3, "I": 160.0}, (100 * 50**3 / 3 + 100 * 50**2 * 80) / (200e3 * 160), 1e-9, FLOAT, "right-angled cantilever: F b³/(3 E I) + F b² a/(E I)"),
    read(f.tip_mass_frequency, {"k": 3.0, "m_t": 1.0, "m_b": 1.0}, 1.557298, 0.002, "Rayleigh's shape is 0.06 % off", "Mathematical Problems in Engineering 2017, 1568019, Table 1, first frequency, tip as heavy as the beam", times(2 * math.pi), "ω, rad/s"),
    read(f.tip_mass_frequency, {"k": 3.0, "m_t": 0.0, "m_b": 1.0}, 1.875104**2, 0.06, "Rayleigh's static shape is 1.5 % off", "first root of the cantilever's frequency equation, as a strain-gauge manual prints it", times(2 * math.pi), "ω, rad/s"),
    repeated(f.firing_frequency, {"n": 6, "N": 2000}, 3 * 2000 / 60, 1e-9, FLOAT, "six cylinders fire three times a turn"),
    read(f.walther_viscosity, {"T": 353, "T_1": 313, "nu_1": 32, "T_2": 373, "nu_2": 5.4}, 8.5, 0.05, DIGIT, "worked sheet after ASTM D341 on the web, 32 and 5.4 mm2/s at 40 and 100 degC, at 80 degC"),
    library(f.line_pressure_loss, {"Q": 1.2, "D": 4, "L": 2000, "nu": 20, "rho": 900}, lib.laminar_pipe_loss(1.2, 4, 2000, 20, 900), 1e-4, DIGIT, "scipy: the axial momentum of creeping flow across a round bore, integrated"),
    repeated(f.line_pressure_loss, {"Q": 1.2, "D": 4, "L": 2000, "nu": 20, "rho": 900}, 128 * (20e-6 * 900) * 2 * 2e-5 / (math.pi * 0.004**4) / 1e6, 1e-9, FLOAT, "Hagen and Poiseuille, Re = 318"),
    memory(f.line_pressure_loss, {"Q": 60000 * math.pi / 4 * 0.01**2, "D": 10, "L": 1000, "nu": 0.1, "rho": 1000}, 0.0180 * 100 * 500 / 1e6, 5e-6, ROUNDED, "Moody's chart, smooth pipe at Re 1e5: f = 0.0180, from memory"),
    library(f.jet_pressure_loss, {"Q": 6, "d": 2, "rho": 800, "C": 0.5}, lib.pressure_of_jet(0.08, 0.002, 800, 0.5) / 1e6, 1e-4, ROUNDED, "fluids: flow_meter_discharge"),
    derived(f.jet_pressure_loss, {"Q": 6, "d": 2, "rho": 800, "C": 0.5}, 400 * (1e-4 / (0.5 * math.pi * 1e-6)) ** 2 / 1e6, 1e-9, FLOAT, "Torricelli, 1e-4 m3/s through half of 3.14e-6 m2"),
    # bends
    read(f.bend_allowance, {"A": 180, "R": 0.375, "T": 0.125, "K": 0.407}, 1.338, 1.5e-3, "the handbook prints π/2 as 1.57", "Machinery's Handbook 31st ed., p. 1421, Fig. 13, in, K = 0.64/1.57"),
    *[read(f.bend_allowance, {"A": 90, "R": 0, "T": 1, "K": stock.k_factor}, length, 1e-9, FLOAT, f"Machinery's Handbook 31st ed., p. 1421, {where}") for stock, length, where in ((BendStock.SOFT_COPPER_OR_BRASS, 0.55, "eq. 32"), (BendStock.SOFT_STEEL_OR_ALUMINIUM, 0.64, "eq. 33"), (BendStock.HARD_COPPER_OR_SPRING_STEEL, 0.71, "eq. 34"))],
    # an idler's bracket
    derived(f.strip_end_slope, {"M": 8000, "L": 100, "b": 30, "t": 8, "E": 69e3}, math.degrees(8000 * 100 / (69e3 * 1280)), 1e-9, FLOAT, "constant curvature M/(E I) over the length, I = 30 × 8³/12 = 1280 mm⁴"),
    library(f.strip_torsion_stress, {"T": 1000, "b": 100, "t": 8}, lib.torsion(1000, 100, 8)[0], 0.003, "the formula is approximate: 0.5 % low at this section, up to 4 % at others", "scipy: series of Saint-Venant summed"),
    library(f.strip_twist, {"T": 1000, "L": 100, "b": 40, "t": 8, "G": 26e3}, math.degrees(100 * lib.torsion(1000, 40, 8)[1] / 26e3), 4e-5, "the formula is within 0.1 %", "scipy: series of Saint-Venant summed"),
    derived(f.stud_end_slope, {"F": 800, "L": 30, "d": 12, "E": 205e3}, math.degrees(800 * 30**2 / (2 * 205e3 * math.pi * 12**4 / 64)), 1e-9, FLOAT, "F L²/(2 E I), I = π d⁴/64"),
    derived(f.stud_bending_stress, {"M": 24e3, "d": 12}, 24e3 * 6 / (math.pi * 12**4 / 64), 1e-9, FLOAT, "M c/I, I = π d⁴/64"),
    # belts
    read(f.capstan_ratio, {"mu": 0.2, "theta": 270}, 382.26, 0.005, DIGIT, "open course of mechanics, belt friction, exercise 27: 100 kg over 3/4 of a turn, μ = 0.2", lambda ratio: 100 * 9.81 / ratio, "holding force, N"),
    read(f.groove_friction, {"mu": 1, "beta": 36}, 3.24, 0.005, DIGIT, "open encyclopaedia, article Belt friction, V-belt of 36°: 3.24 μ"),
    read(f.capstan_ratio, {"mu": 0.5123, "theta": 180}, 5, 5e-4, DIGIT, "solutions manual to Shigley, problem 17-19: e^(f theta) = 5"),
    read(f.belt_pull, {"P": 18.63 * 0.745699872, "d": 26 * 25.4, "N": 400}, 225.8, 0.05, DIGIT, "solutions manual to Shigley, problem 17-19: 18.63 hp on a 26 in sheave at 400 rpm, lbf", lambda pull: pull / 4.4482216, "pull, lbf"),
    repeated(f.belt_pull, {"P": 30, "d": 75, "N": 12_000}, 30e3 / (2 * math.pi * 200) / 0.0375, 1e-9, FLOAT, "torque P/ω over the radius"),
    derived(f.centrifugal_tension, {"m": 0.2, "v": 30}, 2 * 90.0, 1e-9, FLOAT, "half a turn: momentum 2 m v² against two tensions"),
    library(f.span_frequency, {"T": 400, "m": 0.126, "L": 341.2}, lib.string_frequency(400, 0.126, 0.3412), 5e-3, ROUNDED, "scipy: least eigenvalue of a chain of 2000 masses on a taut string"),
    library(f.compression_power, {"m": 0.129, "T_1": 303.0, "T_2": lib.heated(303.0, 1.59, 0.55)}, lib.compression_work(0.129, 303.0, 1.59, 0.55), 0.02, "c_p of 1005 against 3.5 R/M", "fluids: isentropic_work_compression"),
    # conversions
    library(f.newton_metres_to_pound_feet, {"T": lib.POUND_FOOT}, 1.0, 1e-6, "the formula's factor has seven digits", "scipy.constants: lbf × foot"),
    derived(f.pascals_to_inches_of_water, {"p": 0.0254 * 1000 * 9.80665}, 1.0, 1e-6, DIGIT, "one inch of water of 1000 kg/m3 under standard gravity"),
    memory(f.pascals_to_inches_of_water, {"p": 249.0889}, 1.0, 1e-6, DIGIT, "NIST SP 811 (2008), B.8, from memory"),
]
# fmt: on


def best_evidence() -> dict[str, Evidence]:
    """The best evidence of each formula, in the order of the rows."""
    order = list(Evidence)
    best: dict[str, Evidence] = {}
    for case in CASES:
        name = case.formula.__name__
        best[name] = min(best.get(name, case.evidence), case.evidence, key=order.index)
    return best
