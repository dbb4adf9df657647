"""Names of files and layers."""

from __future__ import annotations

import re

import pytest

from platemaker.errors import OutputError
from platemaker.export import profile_layer, safe_name, step_layer, tap_layer
from platemaker.parts import Hole, Part, Tapping
from platemaker.records import replace
from tests import sample_parts as sample

UNSAFE = ["", "..", ".", "a/b", "../up", "a\\b", "/etc", "a b", "träger", "a.step", "nul\0", "a\n", "-x/..", "C:"]


@pytest.mark.parametrize("name", ["lower_plate", "A-1", "x", "0_0-"])
def test_plain_names_pass(name: str) -> None:
    assert safe_name(name) == name


@pytest.mark.parametrize("name", UNSAFE)
def test_names_that_could_leave_the_folder_are_refused(name: str) -> None:
    with pytest.raises(
        OutputError, match=re.escape(f"{name!r} cannot be a file name; allowed: letters a to z, digits")
    ):
        safe_name(name)


def layers(part: Part) -> list[str]:
    found = [profile_layer(profile) for profile in part.profiles]
    for hole in part.holes:
        found += [step_layer(hole, step) for step in hole.bored]
        found += [tap_layer(hole, hole.tapping)] if hole.tapping else []
    return found


def test_layers_say_operation_size_depth_and_face() -> None:
    assert layers(sample.counterbore_and_pocket()) == [
        "CUT_OPENING",
        "POCKET_DP12.0_ABOVE",
        "RELIEF_DP12.5_BELOW",
        *["CBORE_15.0_DP8.6_ABOVE", "DRILL_9.0_THRU"] * 4,
    ]
    assert layers(sample.tapped_with_drill_point()) == ["DRILL_6.8_DP22.0_ABOVE", "TAP_M8X1.25_DP18.0_ABOVE"]
    assert layers(sample.slotted()) == ["CUT_SLOT"]


def tapped(designation: str, pitch: float, *, through: bool = True) -> Hole:
    hole = sample.drilled("t", (0, 0), 6.8, 10)
    return replace(hole, tapping=Tapping(designation, 8.0, pitch, 10.0 if through else 6.0))


@pytest.mark.parametrize(
    ("designation", "pitch", "word"),
    [
        ("M8", 1.25, "TAP_M8X1.25_THRU"),
        ("M10x1", 1.0, "TAP_M10X1_THRU"),
        ("3/8-16 UNC", 25.4 / 16, "TAP_0.375-16-UNC_THRU"),
        ("#10-24 UNC", 25.4 / 24, "TAP_NO10-24-UNC_THRU"),
        ("1/8-27 NPT", 25.4 / 27, "TAP_0.125-27-NPT_THRU"),
    ],
)
def test_threads_are_spelt_in_letters_a_layer_may_hold(designation: str, pitch: float, word: str) -> None:
    hole = tapped(designation, pitch)
    assert hole.tapping is not None
    assert tap_layer(hole, hole.tapping) == word


def test_a_through_hole_tapped_part_way_says_how_far_and_from_where() -> None:
    hole = tapped("M8", 1.25, through=False)
    assert hole.tapping is not None
    assert tap_layer(hole, hole.tapping) == "TAP_M8X1.25_DP6.0_ABOVE"
    assert step_layer(hole, hole.bored[0]) == "DRILL_6.8_THRU"


@pytest.mark.parametrize("make", sample.SAMPLES, ids=lambda make: make.__name__)
def test_every_layer_of_every_sample_is_plain_ascii(make: object) -> None:
    for layer in layers(make()):  # type: ignore[operator]
        assert re.fullmatch(r"[A-Z0-9_.-]+", layer)
