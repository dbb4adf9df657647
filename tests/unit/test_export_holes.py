"""The hole table."""

from __future__ import annotations

from pathlib import Path

from platemaker.export import hole_table, write_hole_table
from platemaker.parts import Hole, Operation, Step, Tapping
from platemaker.plane import Loop
from platemaker.views import hole_tags
from tests import sample_parts as sample

SIZES = "side,axis [deg],operation,diameter [mm],depth [mm],thread,tap_drill [mm],joint"
HEADER = f"tag,hole,x [mm],y [mm],z [mm],direction_x,direction_y,direction_z,{SIZES}"
BENT = (
    "tag,hole,flat_x [mm],flat_y [mm],bent_x [mm],bent_y [mm],bent_z [mm],"
    f"bent_direction_x,bent_direction_y,bent_direction_z,{SIZES}"
)


def lines(part: object, tmp_path: Path) -> list[str]:
    write_hole_table(part, tmp_path / "holes.csv")  # type: ignore[arg-type]
    data = (tmp_path / "holes.csv").read_bytes()
    assert b"\r" not in data
    return data.decode("utf-8").splitlines()


def test_a_counterbored_hole_is_two_operations(tmp_path: Path) -> None:
    assert lines(sample.counterbore_and_pocket(), tmp_path)[:3] == [
        HEADER,
        "A1,b1,-48.000,-30.000,25.400,0.000000,0.000000,-1.000000,above,90.000,counterbore,15.000,8.600,,,",
        "A1,b1,-48.000,-30.000,25.400,0.000000,0.000000,-1.000000,above,90.000,drill,9.000,THRU,,,",
    ]


def test_a_tapped_hole_is_drilled_and_then_tapped(tmp_path: Path) -> None:
    assert lines(sample.tapped_with_drill_point(), tmp_path) == [
        HEADER,
        "A1,t1,10.000,-5.000,30.000,0.000000,0.000000,-1.000000,above,90.000,drill,6.800,22.000,,,",
        "A1,t1,10.000,-5.000,30.000,0.000000,0.000000,-1.000000,above,90.000,tap,8.000,18.000,M8,6.800,",
    ]


def test_a_slanted_bore_tells_its_angle_to_the_face(tmp_path: Path) -> None:
    assert lines(sample.drilled_casting(), tmp_path)[1] == (
        "A1,bore_1,-30.000,0.000,40.000,0.000000,0.707107,-0.707107,above,45.000,bore,12.000,30.000,,,"
    )


def test_cross_bores_tell_their_joint_and_a_level_bore_its_side(tmp_path: Path) -> None:
    table = lines(sample.cross_bored_rail(), tmp_path)
    assert table[1] == "A1,passage,-150.000,0.000,12.700,1.000000,0.000000,0.000000,side,90.000,drill,14.000,THRU,,,"
    assert (
        table[3]
        == "B1,bore_1,-110.000,0.000,0.000,0.000000,0.000000,1.000000,below,90.000,bore,11.000,12.700,,,injectors"
    )


def test_a_part_without_holes_has_an_empty_table() -> None:
    assert hole_table(sample.plain_plate()) == ()


def test_a_thread_is_cut_in_the_drill_that_it_stands_in(tmp_path: Path) -> None:
    # A straight thread for a fitting, and a narrower plain bore beyond it.
    steps = (Step(Operation.DRILL, 13.1, 0.0, 12.7), Step(Operation.DRILL, 10.0, 12.7, 20.0))
    drain = Hole(
        "drain", (0.0, 0.0, 20.0), (0.0, 0.0, -1.0), steps, True, None, Tapping("9/16-18", 14.2875, 1.41, 12.7)
    )
    table = lines(sample.plate("pad", Loop.circle((0, 0), 30), 20, drain), tmp_path)
    assert (
        table[3]
        == "A1,drain,0.000,0.000,20.000,0.000000,0.000000,-1.000000,above,90.000,tap,14.287,12.700,9/16-18,13.100,"
    )


def test_tags_are_those_of_the_drawing() -> None:
    part = sample.cross_bored_rail()
    assert {row.hole: row.tag for row in hole_table(part)} == hole_tags(part)


def test_places_of_a_bent_part_say_whether_they_are_flat_or_bent(tmp_path: Path) -> None:
    """90 degrees over R5 in 5 mm mild steel takes 0.64 x 5 + 1.57 x 5 = 11.05 mm of the blank.

    Machinery's Handbook, 31st ed., p. 1421, for soft steel. The straight part of leg 1 is 60 - 10 long, and the hole
    stands 28 - 10 beyond the bend: 79.05 in the flat, where the bent part has it at X 60.
    """
    head, first, second = lines(sample.bent_bracket(), tmp_path)
    assert head == BENT
    row = dict(zip(head.split(","), second.split(","), strict=True))
    assert abs(float(row["flat_x [mm]"]) - 79.05) < 0.01
    assert [row[f"bent_{axis} [mm]"] for axis in "xyz"] == ["60.000", "0.000", "28.000"]
    assert [row[f"bent_direction_{axis}"] for axis in "xyz"] == ["-1.000000", "0.000000", "0.000000"]
    assert (row["side"], row["axis [deg]"]) == ("below", "90.000"), "as it is drilled, in the flat"
    assert "x [mm]" not in row
    assert first.startswith("A1,leg_1,20.000,0.000,20.000,0.000,0.000,")
