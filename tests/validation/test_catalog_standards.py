"""The catalog against figures from outside, typed a second time here and not taken from its files.

Formulas: ISO 898-1 stress area A = pi/4 (d - 0.938194 P)^2; ASME B1.1 A = pi/4 (d - 0.9743/n)^2; ASME B1.20.1 pitch
diameter of taper pipe threads E0 = D - (0.05 D + 1.1)/n, E1 = E0 + L1/16.
Tables: ISO 273:1979; ASME B18.2.8 (Machinery's Handbook, 31st ed., p. 1741); Shigley 9th ed. Tables 8-2 (p. 413), 8-9
(p. 433), 8-15 (p. 439); EN ISO 898-1 load tables; ISO 4762; ISO 4014; ISO 10642; ISO 7089; ASME B18.3; ASME B18.2.1;
ISO 4032:2001; ASME B18.2.2; ASME B18.21.1 (Machinery's Handbook, 31st ed., p. 1694); ISO 2768-1; ISO 286-2; AS568; ISO 9409-1; VESA FDMI;
ASME B16.5.
"""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import (
    Fit,
    HeadKind,
    ToleranceClass,
    WasherStyle,
    angle_tolerance,
    bearing_face,
    clearance_hole,
    countersunk_head,
    edge_tolerance,
    face_gland,
    general_tolerance,
    hex_head,
    hex_key,
    hex_nut,
    iso286,
    material,
    mounting_pattern,
    nut_factor,
    o_ring,
    pipe_thread,
    property_class,
    radial_glands,
    socket_head,
    thread,
    threads,
    washer,
)

INCH = 25.4
KSI = 4448.2216152605 / INCH**2
EXACT = 1e-8
"""Our reader rounds to 1e-9 after the conversion of units."""


def test_metric_stress_areas_by_formula() -> None:
    for entry in threads():
        if entry.metric:
            by_formula = math.pi / 4 * (entry.major_diameter - 0.938194 * entry.pitch) ** 2
            # The standard prints three figures: half a unit of the third is at most 0.5 %.
            assert entry.stress_area == pytest.approx(by_formula, rel=0.005), entry.designation


def test_inch_stress_areas_by_formula() -> None:
    for entry in threads():
        if not entry.metric:
            by_formula = math.pi / 4 * (entry.major_diameter - 0.9743 * entry.pitch) ** 2
            # The book prints three or four figures.
            assert entry.stress_area == pytest.approx(by_formula, rel=0.003), entry.designation


@pytest.mark.parametrize(
    ("designation", "pitch", "tap_drill", "area"),
    [
        ("M3", 0.5, 2.5, 5.03),
        ("M6", 1.0, 5.0, 20.1),
        ("M8", 1.25, 6.8, 36.6),
        ("M10", 1.5, 8.5, 58.0),
        ("M12", 1.75, 10.2, 84.3),
        ("M16", 2.0, 14.0, 157.0),
        ("M20", 2.5, 17.5, 245.0),
        ("M24", 3.0, 21.0, 353.0),
        ("M10x1.25", 1.25, 8.75, 61.2),
        ("M12x1.5", 1.5, 10.5, 88.1),
    ],
)
def test_metric_threads(designation: str, pitch: float, tap_drill: float, area: float) -> None:
    entry = thread(designation)
    assert (entry.pitch, entry.tap_drill, entry.stress_area) == (pitch, tap_drill, area)


@pytest.mark.parametrize(
    ("designation", "per_inch", "drill", "area"),
    [
        ("#6-32", 32, ("#36", 0.1065), 0.00909),
        ("#10-32", 32, ("#21", 0.1590), 0.0200),
        ("1/4-20", 20, ("#7", 0.2010), 0.0318),
        ("5/16-18", 18, ("F", 0.2570), 0.0524),
        ("3/8-16", 16, ("5/16", 0.3125), 0.0775),
        ("3/8-24", 24, ("Q", 0.3320), 0.0878),
        ("1/2-13", 13, ("27/64", 0.4219), 0.1419),
        ("5/8-11", 11, ("17/32", 0.5312), 0.226),
        ("3/4-16", 16, ("11/16", 0.6875), 0.373),
        ("1-8", 8, ("7/8", 0.8750), 0.606),
        ("1-12", 12, ("59/64", 0.9219), 0.663),  # drill: Machinery's Handbook, 31st ed., p. 2168 Table 4
    ],
)
def test_inch_threads(designation: str, per_inch: int, drill: tuple[str, float], area: float) -> None:
    entry = thread(designation)
    assert entry.pitch == pytest.approx(INCH / per_inch, abs=EXACT)
    assert entry.tap_drill_name == drill[0]
    assert entry.tap_drill == pytest.approx(drill[1] * INCH, abs=EXACT)
    assert entry.stress_area == pytest.approx(area * INCH**2, abs=EXACT)


def test_iso_273_whole() -> None:
    table = {
        "M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8), "M6": (6.4, 6.6, 7), "M8": (8.4, 9, 10),
        "M10": (10.5, 11, 12), "M12": (13, 13.5, 14.5), "M14": (15, 15.5, 16.5), "M16": (17, 17.5, 18.5),
        "M18": (19, 20, 21), "M20": (21, 22, 24), "M22": (23, 24, 26), "M24": (25, 26, 28),
    }  # fmt: skip
    for size, diameters in table.items():
        assert tuple(clearance_hole(size, fit).diameter for fit in (Fit.CLOSE, Fit.MEDIUM, Fit.LOOSE)) == diameters


@pytest.mark.parametrize(
    ("designation", "close", "normal", "loose"),
    [
        ("#10-24", ("#5", 0.2055), ("#2", 0.2210), ("B", 0.2380)),
        ("1/4-20", ("17/64", 0.2656), ("9/32", 0.2812), ("19/64", 0.2969)),
        ("3/8-16", ("25/64", 0.3906), ("13/32", 0.4062), ("27/64", 0.4219)),
        ("1/2-13", ("17/32", 0.5312), ("9/16", 0.5625), ("39/64", 0.6094)),
        ("1-8", ("1 1/32", 1.0312), ("1 3/32", 1.0938), ("1 5/32", 1.1562)),
    ],
)
def test_asme_b18_2_8(
    designation: str, close: tuple[str, float], normal: tuple[str, float], loose: tuple[str, float]
) -> None:
    for fit, (drill, diameter) in zip((Fit.CLOSE, Fit.MEDIUM, Fit.LOOSE), (close, normal, loose), strict=True):
        hole = clearance_hole(designation, fit)
        assert hole.drill_name == drill
        assert hole.diameter == pytest.approx(diameter * INCH, abs=EXACT)


def test_heads_of_metric_screws() -> None:
    # ISO 4762 plain head dk, k = d, s; ISO 4014 s, k; ISO 4032 m; ISO 10642 dk, k, s.
    assert [socket_head(size).head_diameter for size in ("M5", "M6", "M8", "M10", "M12", "M16")] == [
        8.5,
        10,
        13,
        16,
        18,
        24,
    ]
    assert [socket_head(size).key for size in ("M5", "M6", "M8", "M10", "M12", "M16")] == [4, 5, 6, 8, 10, 14]
    assert [hex_head(size).across_flats for size in ("M6", "M8", "M10", "M12", "M14", "M16")] == [
        10,
        13,
        16,
        18,
        21,
        24,
    ]
    assert [hex_head(size).head_height for size in ("M6", "M8", "M10", "M12", "M16")] == [4, 5.3, 6.4, 7.5, 10]
    assert [hex_nut(size).nut_height for size in ("M6", "M8", "M10", "M12", "M16")] == [5.2, 6.8, 8.4, 10.8, 14.8]
    assert (countersunk_head("M8").head_diameter, countersunk_head("M8").head_height) == (17.92, 4.96)
    # Across sharp corners of a 13 mm hexagon: 13 / cos 30 degrees = 15.011 mm.
    assert hex_head("M8").across_corners == pytest.approx(13 / math.cos(math.pi / 6), rel=1e-12)


def test_heads_of_inch_screws() -> None:
    for size, diameter, key in (("1/4-20", 0.375, 3 / 16), ("3/8-16", 0.562, 5 / 16), ("1/2-13", 0.750, 3 / 8)):
        assert socket_head(size).head_diameter == pytest.approx(diameter * INCH, abs=EXACT)
        assert socket_head(size).key == pytest.approx(key * INCH, abs=EXACT)
    for size, flats, height in (("1/4-20", 0.438, 0.163), ("3/8-16", 0.562, 0.243), ("1/2-13", 0.750, 0.323)):
        assert hex_head(size).across_flats == pytest.approx(flats * INCH, abs=EXACT)
        assert hex_head(size).head_height == pytest.approx(height * INCH, abs=EXACT)


def test_bearing_faces_and_nuts() -> None:
    """Read in copies of ISO 4762 (d_w min, second copy: DIN 912), ISO 4014 product grade A and BS EN ISO 4032:2001.

    Inch nuts: ASME B18.2.2 finished hex nuts, thickness printed as basic, largest and least; 3/8: 21/64, 0.337, 0.320.
    """
    for size, socket, hexagon, nut in (
        ("M6", 9.38, 8.88, 8.9),
        ("M8", 12.33, 11.63, 11.6),
        ("M12", 17.23, 16.63, 16.6),
    ):
        assert bearing_face(size, HeadKind.SOCKET).bearing_diameter == socket
        assert bearing_face(size, HeadKind.HEX).bearing_diameter == hexagon
        assert hex_nut(size).bearing_diameter == nut
    for size, most, least, across in (
        ("1/4", 0.226, 0.212, 0.438),
        ("3/8", 0.337, 0.320, 0.562),
        ("1", 0.887, 0.831, 1.5),
    ):
        nut_row = hex_nut(f"{size} UNC")
        assert nut_row.nut_height == pytest.approx(most * INCH, abs=EXACT)
        assert nut_row.least_height == pytest.approx(least * INCH, abs=EXACT)
        assert nut_row.across_flats == pytest.approx(across * INCH, abs=EXACT)
    # ASME B18.2.2, note on bearing surfaces: not under 95 % of the least width across flats, 0.551 in for 3/8.
    assert hex_nut("3/8-16").bearing_diameter == pytest.approx(0.95 * 0.551 * INCH, abs=0.0005 * INCH)
    # ASME B18.3-2003: bottom chamfer or radius at most 0.010 in for 3/8; 2012: head at least 0.540 in.
    assert bearing_face("3/8-16", HeadKind.SOCKET).bearing_diameter == pytest.approx(0.520 * INCH, abs=EXACT)


def test_washers() -> None:
    for size, outside, thickness in (("M6", 12, 1.8), ("M8", 16, 1.8), ("M10", 20, 2.2), ("M12", 24, 2.7)):
        assert (washer(size).outside_diameter, washer(size).thickness) == (outside, thickness)
    for style, outside in ((WasherStyle.REGULAR, 0.812), (WasherStyle.WIDE, 1.0)):
        assert washer("3/8-16", style).outside_diameter == pytest.approx(outside * INCH, abs=EXACT)
    # Shigley 9th ed. Example 8-2 p. 430: the 1/2 N washer is 0.095 in thick.
    assert washer("1/2-20").thickness == pytest.approx(0.095 * INCH, abs=EXACT)


LOADS = [  # EN ISO 898-1 load tables: thread, class, proof load N, least ultimate load N
    ("M5", "8.8", 8230, 11350), ("M6", "8.8", 11600, 16100), ("M8", "8.8", 21200, 29200), ("M8", "10.9", 30400, 38100),
    ("M8", "12.9", 35500, 44600), ("M10", "8.8", 33700, 46400), ("M10", "10.9", 48100, 60300),
    ("M12", "8.8", 48900, 67400), ("M12", "10.9", 70000, 87700), ("M16", "8.8", 91000, 125000),
    ("M20", "8.8", 147000, 203000), ("M20", "12.9", 238000, 299000), ("M24", "10.9", 293000, 367000),
]  # fmt: skip


@pytest.mark.parametrize(("size", "name", "proof", "ultimate"), LOADS)
def test_strength_times_area_is_the_tabled_load(size: str, name: str, proof: float, ultimate: float) -> None:
    entry = thread(size)
    row = property_class(name, entry.major_diameter)
    assert row.proof_strength is not None
    # Loads are printed to three figures (0.5 %), areas too.
    assert row.proof_strength * entry.stress_area == pytest.approx(proof, rel=0.008)
    assert row.tensile_strength * entry.stress_area == pytest.approx(ultimate, rel=0.008)


def test_grades_of_inch_bolts() -> None:
    for name, inches, proof, tensile in (
        ("grade 2", 0.5, 55, 74), ("grade 2", 0.875, 33, 60), ("grade 5", 0.625, 85, 120), ("grade 5", 1.125, 74, 105),
        ("grade 8", 0.5, 120, 150),
    ):  # fmt: skip
        row = property_class(name, inches * INCH)
        assert row.proof_strength == pytest.approx(proof * KSI, abs=1e-6)
        assert row.tensile_strength == pytest.approx(tensile * KSI, abs=1e-6)
    # Shigley 9th ed. Example 8-4 p. 442: 0.75 At Sp of a 5/8-11 grade 5 bolt is 14.4 kip.
    bolt, strength = thread("5/8-11"), property_class("Grade 5", 15.875).proof_strength
    assert strength is not None
    assert 0.75 * bolt.stress_area * strength / 4448.2216152605 == pytest.approx(14.4, abs=0.05)


def test_nut_factors() -> None:
    assert [nut_factor(word).factor for word in ("black", "zinc", "lubricated", "cadmium", "anti-seize")] == [
        0.30, 0.20, 0.18, 0.16, 0.12
    ]  # fmt: skip


def test_pipe_threads_by_formula() -> None:
    for size, per_inch, outside in (("1/8", 27, 0.405), ("1/4", 18, 0.540), ("3/8", 18, 0.675), ("1/2", 14, 0.840)):
        row = pipe_thread(f"{size} NPT")
        e_0 = outside - (0.05 * outside + 1.1) / per_inch
        # E1 is printed to 0.0001 or 0.00001 in.
        assert row.pitch_diameter_hand_tight / INCH == pytest.approx(e_0 + row.hand_tight_length / INCH / 16, abs=6e-5)
    assert pipe_thread("1/4 NPT").effective_length == pytest.approx(0.4018 * INCH, abs=EXACT)


def test_iso_2768_1() -> None:
    fine, medium, coarse, very = ToleranceClass
    for length, tolerance_class, deviation in (
        (0.5, medium, 0.1), (3, coarse, 0.2), (6, coarse, 0.3), (6.01, medium, 0.2), (30, medium, 0.2),
        (30.01, medium, 0.3), (120, fine, 0.15), (400, medium, 0.5), (1000, coarse, 2.0), (4000, medium, 2.0),
        (6, very, 0.5), (30, very, 1.0), (120, very, 1.5), (400, very, 2.5), (1000, very, 4.0), (2000, very, 6.0),
        (4000, very, 8.0),
    ):  # fmt: skip
        assert general_tolerance(length, tolerance_class).deviation == deviation


def test_iso_2768_1_broken_edges() -> None:
    """ISO 2768-1:1989 table 2, read in a web copy: 0.5 to 3, over 3 to 6 and over 6 mm."""
    for classes, deviations in (("fm", (0.2, 0.5, 1.0)), ("cv", (0.4, 1.0, 2.0))):
        for letter in classes:
            stated = [edge_tolerance(size, ToleranceClass(letter)).deviation for size in (0.5, 3, 3.01, 6, 6.01, 40)]
            assert stated == [deviation for deviation in deviations for _ in range(2)]


def test_iso_2768_1_angles() -> None:
    """ISO 2768-1:1989 table 3, minutes by the shorter side, read in two web copies; v up to 120 mm in neither."""
    sides = (10, 50, 120, 400, 500)
    for letter, minutes in (
        ("f", (60, 30, 20, 10, 5)), ("m", (60, 30, 20, 10, 5)), ("c", (90, 60, 30, 15, 10)), ("v", (30, 20)),
    ):  # fmt: skip
        stated = [60 * angle_tolerance(side, ToleranceClass(letter)).deviation for side in sides[-len(minutes) :]]
        assert stated == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("nominal", "zone", "lower", "upper"),
    [
        (10, "H7", 0, 15), (10, "k6", 1, 10), (12, "n6", 12, 23), (16, "p6", 18, 29), (20, "k6", 2, 15),
        (25, "p6", 22, 35), (30, "H7", 0, 21), (40, "n6", 17, 33), (50, "p6", 26, 42), (50, "H7", 0, 25),
    ],
)  # fmt: skip
def test_iso_286_2(nominal: float, zone: str, lower: float, upper: float) -> None:
    row = iso286(nominal, zone)
    assert (row.lower, row.upper) == (lower / 1000, upper / 1000)
    assert row.verified


def test_o_rings_and_glands() -> None:
    for dash, inside, section in (
        ("010", 6.07, 1.78),
        ("116", 18.72, 2.62),
        ("214", 24.99, 3.53),
        ("330", 53.34, 5.33),
    ):
        assert (o_ring(f"AS568-{dash}").inside_diameter, o_ring(dash).section) == (inside, section)
    for section, squeeze_least, squeeze_most in ((1.78, 19, 33), (3.53, 20, 30), (6.99, 20, 27)):
        ring = next(row for row in map(o_ring, ("010", "214", "425")) if row.section == section)
        gland, tolerance = face_gland(section), ring.section_tolerance
        # Squeeze at the ends of all tolerances, printed in whole per cent of the section at that end.
        least = 1 - gland.depth_most / (section - tolerance)
        most = 1 - gland.depth_least / (section + tolerance)
        assert 100 * least == pytest.approx(squeeze_least, abs=1)
        assert 100 * most == pytest.approx(squeeze_most, abs=1)


def test_radial_glands() -> None:
    """Squeeze at the ends of all tolerances, as the table prints it in whole per cent; sections of AS568."""
    rings = {row.section: row for row in map(o_ring, ("010", "116", "214", "330", "425"))}
    printed = {1.78: (18, 32), 2.62: (14, 25), 3.53: (14, 23), 5.33: (14, 21), 6.99: (13, 20)}
    for gland in radial_glands():
        tolerance, (least, most) = rings[gland.section].section_tolerance, printed[gland.section]
        assert 100 * (1 - gland.depth_most / (gland.section - tolerance)) == pytest.approx(least, abs=1)
        assert 100 * (1 - gland.depth_least / (gland.section + tolerance)) == pytest.approx(most, abs=1)


def test_published_patterns() -> None:
    small = mounting_pattern("ISO 9409-1", "31.5-4-M5")  # as three manuals of tools name the flange
    assert (small.holes, small.bolt_circle, small.thread) == (4, 31.5, "M5")
    robot = mounting_pattern("ISO 9409-1", "50-4-M6")
    assert (robot.holes, robot.bolt_circle, robot.thread, robot.pilot_diameter) == (4, 50.0, "M6", 31.5)
    display = mounting_pattern("VESA FDMI", "MIS-D 100")
    assert (display.pitch_x, display.pitch_y, display.thread) == (100.0, 100.0, "M4")
    # NPS 2 class 150: bolt circle 4.75 in, four 3/4 in holes.
    pipe = mounting_pattern("ASME B16.5 class 150", "NPS 2")
    assert pipe.bolt_circle == pytest.approx(4.75 * INCH, abs=0.0501)  # printed to 0.1 mm
    assert (pipe.holes, pipe.hole_diameter) == (4, 19.05)


def test_hex_keys() -> None:
    # JIS B 4648:2008, standard type, and ASME B18.3-2012.
    assert [(hex_key(s).long_arm, hex_key(s).short_arm) for s in (3, 5, 6, 10)] == [
        (66, 23),
        (85, 33),
        (96, 38),
        (122, 50),
    ]
    assert hex_key(INCH / 4).long_arm == pytest.approx(3.344 * INCH, abs=EXACT)


def test_materials() -> None:
    # ASTM A36: 36 and 58 ksi, in SI rounded to 250 and 400 MPa.
    assert material("A36").yield_strength == pytest.approx(36 * KSI, rel=0.01)
    assert material("A36").tensile_strength == pytest.approx(58 * KSI, rel=0.01)
    # Aluminum Design Manual 2005, Table 3.3-1M, 5083-H116 sheet and plate 4 to 40 mm.
    marine = material("5083-H116")
    assert (marine.tensile_strength, marine.yield_strength, marine.elastic_modulus) == (305, 215, 71700)
    # Shigley 9th ed. Table 8-8: E of steel 30.0, aluminium 10.3, grey cast iron 14.5 Mpsi, book values for a family.
    for name, mpsi in (("A36", 30.0), ("6061-T6", 10.3), ("grey cast iron", 14.5)):
        assert material(name).elastic_modulus == pytest.approx(mpsi * 1000 * KSI, rel=0.035), name
