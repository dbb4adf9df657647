"""Looking up rows: how the trade writes names, and what a wrong name is answered."""

from __future__ import annotations

import subprocess
import sys

import pytest

import platemaker.catalog as catalog
from platemaker.catalog import (
    Family,
    Fit,
    HeadKind,
    LimitName,
    ToleranceClass,
    WasherStyle,
    clearance_hole,
    coordinate_tolerance,
    counterbore,
    general_tolerance,
    hex_head,
    hex_key,
    hex_nut,
    iso286,
    limits,
    material,
    mounting_pattern,
    nut_factor,
    o_ring,
    pipe_thread,
    property_class,
    socket_head,
    socket_wrench,
    spotface,
    standard_bolt_lengths,
    straight_port,
    thread,
    washer,
)
from platemaker.errors import CatalogError
from platemaker.records import replace


def test_the_door_lists_what_it_opens() -> None:
    assert catalog.__all__ == sorted(catalog.__all__, key=lambda name: (not name.isupper(), name[0].islower(), name))
    assert all(hasattr(catalog, name) for name in catalog.__all__)


@pytest.mark.parametrize(
    ("written", "designation"),
    [
        ("M8", "M8"),
        (" m8 ", "M8"),
        ("M8x1.25", "M8"),
        ("M8 X 1", "M8x1"),
        ("M10×1.25", "M10x1.25"),
        ("M10-1.25", "M10x1.25"),
        ("M10 * 1.0", "M10x1"),
        ("3/8-16", "3/8-16 UNC"),
        ("3/8 - 16 unc", "3/8-16 UNC"),
        ('3/8"-24', "3/8-24 UNF"),
        ("1/4 UNF", "1/4-28 UNF"),
        ("#10-32", "#10-32 UNF"),
        ("10-24", "#10-24 UNC"),
        ("No. 8-32", "#8-32 UNC"),
        ("1-8", "1-8 UNC"),
        ("1 in-12", "1-12 UNF"),
    ],
)
def test_threads_as_the_trade_writes_them(written: str, designation: str) -> None:
    assert thread(written).designation == designation


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("M9", "M8"),
        ("M7", "M6"),
        ("M8x1.2", "M8"),
        ("M8x0.75", "M8x1"),
        ("M30", "M24"),
        ("1/4-20 UNF", "1/4-20 UNC"),
        ("3/8-20", "3/8-16 UNC"),
    ],
)
def test_the_nearest_thread_is_named(written: str, nearest: str) -> None:
    with pytest.raises(CatalogError) as caught:
        thread(written)
    assert str(caught.value).startswith(f"no thread {written!r} in the catalog; allowed: ")
    assert str(caught.value).endswith(f"; did you mean '{nearest}'?")
    assert caught.value.met == written
    assert nearest in caught.value.allowed


def test_an_inch_size_without_a_pitch_is_not_guessed() -> None:
    with pytest.raises(CatalogError) as caught:
        thread("3/8")
    assert str(caught.value) == "thread '3/8' does not state its pitch: write 3/8-16 UNC or 3/8-24 UNF"


@pytest.mark.parametrize("nonsense", ["", "M", "bolt", "M8x", "3/8-", "-16", "M8;", "__import__('os')"])
def test_nonsense_is_no_thread(nonsense: str) -> None:
    with pytest.raises(CatalogError, match="no thread"):
        thread(nonsense)


@pytest.mark.parametrize(
    ("look_up", "message"),
    [
        (lambda: clearance_hole("9/16-12"), "no clearance hole for '9/16' in the catalog"),
        (lambda: socket_head("M18"), "no socket head for 'M18' in the catalog"),
        (lambda: hex_head("#10-32"), "no hex head for '#10' in the catalog"),
        (lambda: hex_nut(replace(thread("M8"), size="M9")), "no hex nut for 'M9' in the catalog"),
        (lambda: washer("M8", WasherStyle.WIDE), "no wide washer for 'M8' in the catalog"),
        (lambda: counterbore("M22"), "no counterbore for 'M22' in the catalog"),
        (lambda: socket_wrench(13.2), "no socket wrench across flats '13.2 mm' in the catalog"),
        (lambda: hex_key(7.0), "no hexagon key '7 mm' in the catalog"),
        (lambda: pipe_thread("1/4-20 NPT"), "no pipe thread '1/4-20 NPT' in the catalog; allowed: 1/8 NPT, 1/4 NPT"),
        (lambda: pipe_thread("1/4"), "no pipe thread '1/4' in the catalog"),
        (lambda: straight_port("-5"), "no straight port '-5' in the catalog; allowed: -4, -6, -8, -10"),
        (lambda: material("6016-T6"), "did you mean '6061-T6'?"),
        (lambda: property_class("8.9", 8), "no property class '8.9' in the catalog"),
        (lambda: property_class("grade 8", 40), "grade 8 holds for diameters over 0 and up to 38.1 mm, met 40 mm"),
        (lambda: nut_factor("greased"), "no nut factor condition 'greased' in the catalog; allowed: plain"),
        (lambda: general_tolerance(0.4), "ISO 2768-1 class m holds from 0.5 to 4000 mm, met 0.4 mm"),
        (lambda: general_tolerance(3, ToleranceClass.VERY_COARSE), "class v holds above 3 to 4000 mm, met 3 mm"),
        (lambda: general_tolerance(3000, ToleranceClass.FINE), "class f holds from 0.5 to 2000 mm, met 3000 mm"),
        (lambda: iso286(121.0, "H7"), "H7 is tabled for diameters up to 120 mm, met 121 mm"),
        (lambda: iso286(8.0, "h7"), "no tolerance zone 'h7' in the catalog; allowed: H7, g6, h6"),
        (lambda: o_ring("AS568-300"), "no O-ring AS568 'AS568-300' in the catalog; allowed: 001 to 050"),
        (lambda: mounting_pattern("ISO 9409", "50-4-M6"), "did you mean 'ISO 9409-1'?"),
        (lambda: mounting_pattern("VESA FDMI", "MIS-D 50"), "no VESA FDMI pattern 'MIS-D 50' in the catalog"),
        (lambda: limits(Family.GASKET), "no limits for the family 'gasket'"),
    ],
)
def test_a_name_that_no_table_holds(look_up: object, message: str) -> None:
    assert callable(look_up)
    with pytest.raises(CatalogError) as caught:
        look_up()
    assert message in str(caught.value)


def test_a_thread_or_its_name_will_do() -> None:
    assert clearance_hole(thread("M8"), Fit.LOOSE) == clearance_hole("M8", Fit.LOOSE)
    assert washer(thread("M8x1")) is washer("M8")


def test_a_material_is_found_however_it_is_spaced() -> None:
    assert material("6061 t6") is material("6061-T6")
    assert material("Grey Cast Iron").family is Family.CAST_IRON


def test_every_machined_family_has_every_limit() -> None:
    for family in set(Family) - {Family.GASKET}:
        # Cast iron does not bend.
        bends = {LimitName.BEND_RADIUS, LimitName.BEND_HOLE_DISTANCE} if family is Family.CAST_IRON else set()
        assert set(limits(family)) == set(LimitName) - bends, family


def test_rows_that_the_catalog_puts_together_keep_their_sources() -> None:
    deep = counterbore("M8", HeadKind.HEX, with_washer=True)
    assert "common practice" in deep.source
    assert "ISO 4014" in deep.source
    assert "ISO 7089" in deep.source
    assert "from memory" in counterbore("M8").source
    assert "ISO 888" in standard_bolt_lengths("M8").source
    assert spotface("3/8-16").source.startswith("common practice, no source; washer of ASME B18.21.1")


def test_the_catalog_loads_without_heavy_libraries_and_reads_nothing_on_import() -> None:
    code = (
        "import sys, platemaker.catalog as c; from platemaker.catalog import _table;"
        "print(sorted({'numpy', 'pandas', 'scipy', 'cadquery', 'pydantic'} & set(sys.modules)), _table._READ)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] {}"


@pytest.mark.parametrize(
    ("coordinate", "letter", "deviation"),
    # ISO 2768-1 table 1: f begins with 0.05 from 0.5 mm and ends with 0.5 at 2000 mm, v begins with 0.5 above 3 mm, and
    # both m and v end at 4000 mm. Nearer to the datum and farther off, the nearest of these.
    [
        (0.0, "f", 0.05), (-0.2, "f", 0.05), (2500.0, "f", 0.5), (-1.0, "v", 0.5), (3.0, "v", 0.5), (-30.01, "m", 0.3),
        (30.0, "m", 0.2), (5000.0, "m", 2.0), (-5000.0, "v", 8.0),
    ],
)  # fmt: skip
def test_a_coordinate_always_has_a_general_tolerance(coordinate, letter, deviation):
    assert coordinate_tolerance(coordinate, ToleranceClass(letter)).deviation == deviation
