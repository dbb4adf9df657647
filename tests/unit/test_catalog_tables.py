"""The tables as such: keys once, columns that rise where nature says so, fits in order, names that others know."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest

from platemaker.catalog import (
    Evidence,
    Family,
    Fit,
    HeadKind,
    LimitRow,
    Material,
    Row,
    Series,
    Thread,
    ToleranceClass,
    WasherStyle,
    bearing_face,
    clearance_hole,
    counterbore,
    countersunk_head,
    cutters,
    drills,
    face_gland,
    general_tolerance,
    hex_head,
    hex_key,
    hex_nut,
    iso286,
    materials,
    mounting_patterns,
    nut_standard,
    o_ring,
    property_class,
    property_classes,
    screw_classes,
    screw_standard,
    socket_head,
    socket_wrench,
    standard_bolt_lengths,
    straight_port,
    stud_end,
    thread,
    threads,
    washer,
)
from platemaker.catalog._table import table
from platemaker.catalog._wrenches import HexKey, SocketWrench
from platemaker.errors import CatalogError


def once(keys: Sequence[object]) -> bool:
    return all(count == 1 for count in Counter(keys).values())


def rises(values: Sequence[float]) -> bool:
    return all(before < after for before, after in pairwise(values))


def never_falls(values: Sequence[float]) -> bool:
    return all(before <= after for before, after in pairwise(values))


def holds(look_up: Callable[[Thread], Row], entry: Thread) -> bool:
    try:
        look_up(entry)
    except CatalogError:
        return False
    return True


def of(series: Series) -> list[Thread]:
    return [entry for entry in threads() if entry.series is series]


def test_threads_are_named_once() -> None:
    assert once([entry.designation for entry in threads()])
    assert Counter(entry.series for entry in threads()) == {
        Series.METRIC_COARSE: 13,
        Series.METRIC_FINE: 11,
        Series.UNC: 13,
        Series.UNF: 13,
    }


@pytest.mark.parametrize("series", [Series.METRIC_COARSE, Series.UNC, Series.UNF])
def test_a_series_rises_with_its_diameter(series: Series) -> None:
    entries = of(series)
    assert rises([entry.major_diameter for entry in entries])
    assert rises([entry.stress_area for entry in entries])
    assert never_falls([entry.pitch for entry in entries])
    # #8-32 and #8-36 share a drill with nobody else: within one series drills rise.
    assert rises([entry.tap_drill for entry in entries])


def test_a_tap_drill_leaves_thread_to_cut() -> None:
    for entry in threads():
        # Between the minor diameter of the basic profile, d - 1.0825 P, and half the height of the thread.
        assert entry.major_diameter - 1.0825 * entry.pitch - 0.03 <= entry.tap_drill, entry.designation
        assert entry.tap_drill < entry.major_diameter - 0.65 * entry.pitch, entry.designation


def test_close_medium_loose() -> None:
    for entry in threads():
        if holds(clearance_hole, entry):
            close, medium, loose = (clearance_hole(entry, fit).diameter for fit in (Fit.CLOSE, Fit.MEDIUM, Fit.LOOSE))
            assert entry.major_diameter < close < medium < loose < 1.4 * entry.major_diameter, entry.designation


@pytest.mark.parametrize("series", [Series.METRIC_COARSE, Series.UNC])
@pytest.mark.parametrize(
    ("look_up", "columns"),
    [
        (socket_head, ("head_diameter", "head_height", "key")),
        (hex_head, ("across_flats", "head_height")),
        (hex_nut, ("across_flats", "nut_height", "least_height", "bearing_diameter")),
        (lambda entry: bearing_face(entry, HeadKind.SOCKET), ("bearing_diameter",)),
        (lambda entry: bearing_face(entry, HeadKind.HEX), ("bearing_diameter",)),
        (countersunk_head, ("head_diameter", "head_height", "key")),
        (washer, ("inside_diameter", "outside_diameter", "thickness")),
        (counterbore, ("diameter", "depth")),
    ],
)
def test_heads_washers_and_counterbores_grow(
    series: Series, look_up: Callable[[Thread], Row], columns: tuple[str, ...]
) -> None:
    rows = [look_up(entry) for entry in of(series) if holds(look_up, entry)]
    assert len(rows) >= 8
    for column in columns:
        values = [getattr(row, column) for row in rows]
        # Keys and thicknesses serve two neighbouring sizes here and there; #8 and #10 nuts are of one height.
        shared = ("key", "thickness", "nut_height", "least_height")
        assert (never_falls if column in shared else rises)(values), column


@pytest.mark.parametrize("entry", [*of(Series.METRIC_COARSE), *of(Series.UNC)], ids=lambda entry: entry.designation)
def test_things_fit_round_each_other(entry: Thread) -> None:
    if holds(socket_head, entry) and holds(counterbore, entry):
        head, bore = socket_head(entry), counterbore(entry)
        assert head.key < entry.major_diameter < head.head_diameter < bore.diameter
        assert head.head_height == pytest.approx(entry.major_diameter, abs=0.01)
        assert head.head_height < bore.depth < head.head_height + 1
        assert hex_key(head.key).short_arm > head.key
    if holds(hex_head, entry):
        bolt = hex_head(entry)
        wrench = socket_wrench(bolt.across_flats)
        deep = counterbore(entry, HeadKind.HEX, with_washer=True)
        assert bolt.across_flats < bolt.across_corners < wrench.outside_diameter < deep.diameter
        assert deep.diameter > washer(entry).outside_diameter
        assert deep.depth > bolt.head_height + washer(entry).thickness
    ring = washer(entry) if holds(washer, entry) else None
    if ring:
        assert entry.major_diameter < ring.inside_diameter < ring.outside_diameter
        if holds(hex_nut, entry):
            nut = hex_nut(entry)
            assert nut.across_flats < ring.outside_diameter
            assert nut.least_height < nut.nut_height < 1.08 * entry.major_diameter
            if holds(hex_head, entry) and entry.size not in ("7/16", "9/16"):  # ASME makes those two nuts wider
                assert nut.across_flats == hex_head(entry).across_flats
    check_bearing_faces(entry)


def check_bearing_faces(entry: Thread) -> None:
    """A face is narrower than its head and wider than the hole that the screw passes."""
    hole = clearance_hole(entry, Fit.MEDIUM).diameter if holds(clearance_hole, entry) else entry.major_diameter
    if holds(socket_head, entry):
        assert hole < bearing_face(entry, HeadKind.SOCKET).bearing_diameter < socket_head(entry).head_diameter
    if holds(hex_head, entry):
        assert hole < bearing_face(entry, HeadKind.HEX).bearing_diameter < hex_head(entry).across_flats
    if holds(hex_nut, entry):
        assert hole < hex_nut(entry).bearing_diameter < hex_nut(entry).across_flats


def test_what_a_screw_is_ordered_by() -> None:
    for entry in threads():
        for head in HeadKind:
            lengths = standard_bolt_lengths(entry, head).lengths
            assert rises(lengths)
            if head is not HeadKind.STUD:  # its metal end decides, below
                assert all(screw_standard(entry, head, length).verified for length in lengths)
            classes = [row.name for row in screw_classes(entry, head)]
            assert once(classes)
            if entry.metric or entry.major_diameter > 6:
                assert classes, (entry.designation, head)
            for name in classes:
                assert property_class(name, entry.major_diameter).tensile_strength > 300
        assert nut_standard(entry).standard
    assert [screw_standard("M10x1.25", HeadKind.HEX, length).standard for length in (40, 45)] == [
        "ISO 8676",
        "ISO 8765",
    ]
    assert "A574" not in {row.name for row in screw_classes("3/8-16", HeadKind.HEX)}
    assert [row.name for row in screw_classes("M8", HeadKind.SOCKET)] == ["8.8", "10.9", "12.9", "A2-70"]


def test_the_metal_end_of_a_stud_grows_with_its_thread() -> None:
    sizes = ("M4", "M5", "M6", "M8", "M10", "M12", "M16", "M20", "3/8-16")
    for metal in (Family.STEEL, Family.CAST_IRON, Family.ALUMINIUM):
        assert rises([stud_end(size, metal).metal_end for size in sizes[:-1]])
    assert stud_end("M20", Family.CAST_IRON).metal_end == 25.0  # DIN 939: 1.25 d
    assert stud_end("3/8-16", Family.ALUMINIUM).metal_end == pytest.approx(19.1)  # 2 x 9.525, to 0.1
    with pytest.raises(CatalogError, match="no stud is set into gasket"):
        stud_end("M8", Family.GASKET)


def test_a_countersunk_head_is_a_cone() -> None:
    # k = (dk - d) / (2 tan(angle/2)) for 90 degrees; ISO prints k and dk to 0.01 and M16 off the rule.
    for size in ("M3", "M4", "M5", "M6", "M8", "M10", "M12"):
        head, entry = countersunk_head(size), thread(size)
        assert head.head_height == pytest.approx((head.head_diameter - entry.major_diameter) / 2, abs=0.01)


def test_wide_washers_are_wider() -> None:
    for entry in of(Series.UNC):
        if entry.major_diameter >= 25.4 / 4 and holds(lambda t: washer(t, WasherStyle.WIDE), entry):
            assert washer(entry, WasherStyle.WIDE).outside_diameter > washer(entry).outside_diameter


def test_wrenches_and_keys_grow() -> None:
    for file in ("socket_wrenches_metric.csv", "socket_wrenches_inch.csv"):
        rows = table(file, SocketWrench)
        assert rises([row.across_flats for row in rows])
        assert rises([row.outside_diameter for row in rows])
        assert {row.evidence for row in rows} == {Evidence.PRACTICE}
    for file in ("iso_2936_hex_keys.csv", "asme_b18_3_hex_keys.csv"):
        keys = table(file, HexKey)
        assert rises([row.key for row in keys])
        assert rises([row.long_arm for row in keys])
        assert rises([row.short_arm for row in keys])
        assert all(row.short_arm < row.long_arm for row in keys)


def test_every_tap_and_clearance_drill_is_stocked() -> None:
    stock = {drill.name: drill.diameter for drill in drills()}
    wanted = {(entry.tap_drill_name, entry.tap_drill) for entry in threads() if entry.tap_drill <= 20}
    wanted |= {
        (hole.drill_name, hole.diameter)
        for entry in threads()
        if not entry.metric and holds(clearance_hole, entry)
        for hole in (clearance_hole(entry, fit) for fit in Fit)
        if hole.diameter <= 25.4
    }
    for name, diameter in wanted:
        # Inch tables print fractions to 0.0001 in.
        assert stock[name] == pytest.approx(diameter, abs=0.00006 * 25.4), name


def test_drills_and_cutters_rise() -> None:
    for flag in (True, False):
        diameters = [drill.diameter for drill in drills() if (drill.flute_length is not None) is flag]
        # Letter E and 1/4 are one drill.
        assert never_falls(diameters)
    flutes = [drill.flute_length for drill in drills() if drill.flute_length is not None]
    assert never_falls(flutes)
    assert once([drill.name for drill in drills()])
    for inch in (True, False):
        mills = [mill for mill in cutters() if mill.name.endswith(" in") is inch]
        assert rises([mill.diameter for mill in mills])
        assert never_falls([mill.flute_length for mill in mills])
        assert all(mill.diameter < mill.flute_length < mill.long_flute_length for mill in mills)


def test_bolt_lengths_rise_and_hold_the_usual_ones() -> None:
    for entry in threads():
        assert rises(standard_bolt_lengths(entry).lengths)
    assert {20.0, 25.0, 30.0, 35.0, 40.0} <= set(standard_bolt_lengths("M8").lengths)
    assert {25.4, 31.75, 38.1} <= set(standard_bolt_lengths("3/8-16").lengths)


def test_strengths() -> None:
    for row in property_classes():
        assert row.over_diameter < row.to_diameter
        if row.proof_strength is not None and row.yield_strength is not None:
            assert row.proof_strength <= row.yield_strength < row.tensile_strength, row.name
    for name in {row.name for row in property_classes()}:
        rows = [row for row in property_classes() if row.name == name]
        assert rows[0].over_diameter == 0
        assert all(before.to_diameter == after.over_diameter for before, after in pairwise(rows)), name


def test_materials_are_physical() -> None:
    assert once([row.name for row in materials()])
    densities = {
        Family.ALUMINIUM: (2600, 2850),
        Family.STEEL: (7800, 7900),
        Family.STAINLESS: (7900, 8050),
        Family.CAST_IRON: (7000, 7300),
        Family.COPPER_ALLOY: (8300, 9000),
        Family.GASKET: (500, 9000),
    }

    def plausible(row: Material) -> bool:
        least, most = densities[row.family]
        strong = row.yield_strength is None or row.tensile_strength is None or row.yield_strength < row.tensile_strength
        return least <= row.density <= most and strong and (row.poisson is None or 0.2 < row.poisson < 0.5)

    assert [row.name for row in materials() if not plausible(row)] == []
    assert all(row.source for row in materials())
    assert all((row.form is None) is (row.family is Family.GASKET) for row in materials())


def test_tolerances_grow_with_size_and_coarseness() -> None:
    lengths = (1, 5, 20, 100, 300, 800, 1500)
    for tolerance_class in ToleranceClass:
        stated = lengths[1:] if tolerance_class is ToleranceClass.VERY_COARSE else lengths
        assert never_falls([general_tolerance(length, tolerance_class).deviation for length in stated])
    nominal = (5, 8, 15, 25, 40, 65, 100)
    for zone in ("H7", "g6", "h6", "k6", "m6", "n6", "p6"):
        assert rises([iso286(d, zone).upper - iso286(d, zone).lower for d in nominal]), zone
    for d in nominal:
        assert iso286(d, "H7").lower == iso286(d, "h6").upper == 0
        # Zones of one grade have one width: IT6 throughout.
        widths = {
            round(iso286(d, zone).upper - iso286(d, zone).lower, 6) for zone in ("g6", "h6", "k6", "m6", "n6", "p6")
        }
        assert len(widths) == 1, d
        assert rises([iso286(d, zone).lower for zone in ("g6", "k6", "m6", "n6", "p6")])


def test_o_rings_by_series() -> None:
    spans = {(4, 50): 1.78, (102, 178): 2.62, (201, 284): 3.53, (309, 395): 5.33, (425, 475): 6.99}
    for (first, last), section in spans.items():
        rings = [o_ring(f"{dash:03d}") for dash in range(first, last + 1)]
        assert {ring.section for ring in rings} == {section}
        assert rises([ring.inside_diameter for ring in rings])
        gland = face_gland(section)
        assert 0.6 * section < gland.depth_least < gland.depth_most < 0.85 * section < section < gland.width


def test_ports_have_threads_that_the_catalog_knows() -> None:
    for dash in ("-4", "-6", "-8", "-10"):
        port = straight_port(dash)
        assert port.tap_drill == thread(port.thread).tap_drill
        assert port.tap_drill < thread(port.thread).major_diameter < port.chamfer_diameter < port.spotface_diameter
        assert port.full_thread_depth < port.tap_drill_depth
        assert not port.verified


def test_mounting_patterns_are_whole() -> None:
    assert once([(row.standard, row.designation) for row in mounting_patterns()])
    for row in mounting_patterns():
        given = (row.bolt_circle is not None, row.pitch_x is not None, row.pitch_y is not None)
        wanted = {"circle": (True, False, False), "rectangle": (False, True, True), "line": (False, True, False)}
        assert given == wanted[row.arrangement.value], row.designation
        assert (row.thread is None) is (row.hole_diameter is not None), row.designation
        if row.thread:
            assert thread(row.thread).metric
        if row.pilot_diameter and row.bolt_circle:
            assert row.pilot_diameter < row.bolt_circle


def test_limits_are_in_order() -> None:
    rows = table("limits.csv", LimitRow)
    assert once([(row.family, row.name) for row in rows])
    for row in rows:
        low, high = (row.fail_below, row.caution_below), (row.fail_above, row.caution_above)
        assert any(value is not None for value in low + high), row.name
        if None not in low:
            assert row.fail_below < row.caution_below, row.name  # type: ignore[operator]
        if None not in high:
            assert row.caution_above < row.fail_above, row.name  # type: ignore[operator]
