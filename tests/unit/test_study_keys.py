"""Key paths: short and full, set or left to their default, unknown with the nearest that is valid."""

from __future__ import annotations

from typing import Any

import pytest

from platemaker.errors import SpecError
from platemaker.study._keys import Keys, value_at, with_value
from platemaker.study._vary import grid, varies_of

DATA: dict[str, Any] = {
    "project": "engine",
    "stack": {"ceiling": 260},
    "bodies": {"log": {"material": "A356-T6", "envelope": {"box": [460, 170, 70]}}},
    "joints": {
        "log_top": {
            "bolts": {"pattern": {"rectangle": [168, 100]}, "thread": "M8"},
            "opening": {"circle": 60},
            "gasket": {"thickness": 0.8, "land": 5},
        }
    },
    "parts": {
        "blower_plate": {
            "kind": "plate",
            "material": "6061-T6",
            "thickness": "1 in",
            "outline": {"around": ["log_top"], "margin": 9},
            "opening": {"match": "log_top"},
            "pocket": {"open_out": True, "wall": 5, "land": 12, "cutter": 12.7, "depth": 12},
        },
        "oil_return": {
            "kind": "drain_plate",
            "material": "A36",
            "thickness": "1/4 in",
            "outline": {"circle": 60},
            "drain": {"at": [0, 0], "pipe_thread": "3/8 NPT"},
        },
        "bracket": {"kind": "bracket", "material": "S235", "width": 30, "thickness": 4, "legs": [60, 40]},
    },
}


@pytest.fixture(scope="module")
def keys() -> Keys:
    return Keys(DATA)


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("blower_plate.pocket.wall", ("parts", "blower_plate", "pocket", "wall")),
        ("parts.blower_plate.pocket.wall", ("parts", "blower_plate", "pocket", "wall")),
        ("log_top.gasket.land", ("joints", "log_top", "gasket", "land")),
        ("log_top.bolts.pattern.rectangle[1]", ("joints", "log_top", "bolts", "pattern", "rectangle", 1)),
        ("log.envelope.box[2]", ("bodies", "log", "envelope", "box", 2)),
        ("bracket.legs[1]", ("parts", "bracket", "legs", 1)),
        ("stack.clearance", ("stack", "clearance")),
        ("oil_return.opening.cutter", ("parts", "oil_return", "opening", "cutter")),
        ("blower_plate.limits.minimum_wall", ("parts", "blower_plate", "limits", "minimum_wall")),
        ("blower_plate.opening.mouth_radius", ("parts", "blower_plate", "opening", "mouth_radius")),
    ],
)
def test_found(keys: Keys, text: str, path: tuple[str | int, ...]) -> None:
    """The last four are not set by the spec: the models know them."""
    assert keys.find(text).path == path


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("blower_plate.material", True),
        ("log_top.bolts.class", True),
        ("log_top.bolts.thread", True),
        ("oil_return.drain.pipe_thread", True),
        ("blower_plate.thickness", False),
        ("log_top.bolts.torque", False),
        ("blower_plate.quantity", False),
        ("log_top.bolts.washers", False),
    ],
)
def test_words_or_numbers(keys: Keys, text: str, words: bool) -> None:
    assert keys.find(text).words is words


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        (
            "blower_plate.pocket.wal",
            "unknown key path, met 'blower_plate.pocket.wal'; allowed: in blower_plate.pocket: open_out, wall, land, "
            "cutter, keep_clear, start, depth, side, into; did you mean 'blower_plate.pocket.wall'?",
        ),
        ("blower_plate.wall", "did you mean 'blower_plate.pocket.wall'?"),
        ("log_top.rectangle[0]", "did you mean 'log_top.bolts.pattern.rectangle[0]'?"),
        ("log_top.circle", "did you mean 'log_top.opening.circle'?"),
        ("blowr_plate.pocket.wall", "did you mean 'blower_plate.pocket.wall'?"),
        ("parts.blower_plate.pocket.wal", "did you mean 'parts.blower_plate.pocket.wall'?"),
        ("bracket.legs[2]", "did you mean 'bracket.legs[1]'?"),
        (
            "blower_plate.opening.wall",
            "allowed: in blower_plate.opening: mouth_radius, mouth_chamfer, mouth_angle, mouth, cutter, into, match",
        ),
        ("blower_plate.pocket", "not one value, met 'blower_plate.pocket'; allowed: blower_plate.pocket.open_out"),
        ("blower plate", "not a key path, met 'blower plate'; allowed: names with dots between them"),
        ("a..b", "not a key path"),
        ("", "not a key path"),
    ],
)
def test_unknown(keys: Keys, text: str, stated: str) -> None:
    with pytest.raises(SpecError) as fault:
        keys.find(text)
    assert stated in str(fault.value)


def test_a_name_in_two_sections_is_told() -> None:
    data = {
        "parts": {"rim": {"kind": "plate", "material": "A36"}},
        "bodies": {"rim": {"material": "A36"}},
    }
    with pytest.raises(SpecError, match=r"either of several.*parts\.rim\.material or bodies\.rim\.material"):
        Keys(data).find("rim.material")
    assert Keys(data).find("bodies.rim.material").path == ("bodies", "rim", "material")


def test_a_changed_copy_leaves_the_data_alone() -> None:
    data = {"parts": {"lid": {"legs": [1, 2], "pocket": {"wall": 5}}}}
    changed = with_value(data, ("parts", "lid", "pocket", "cutter"), 8)
    changed = with_value(changed, ("parts", "lid", "legs", 1), 3)
    assert changed == {"parts": {"lid": {"legs": [1, 3], "pocket": {"wall": 5, "cutter": 8}}}}
    assert data == {"parts": {"lid": {"legs": [1, 2], "pocket": {"wall": 5}}}}
    assert value_at(changed, ("parts", "lid", "limits", "wall")) is None


def test_the_grid_runs_through_the_last_key_first(keys: Keys) -> None:
    varies = varies_of(["blower_plate.pocket.wall=3,4", "blower_plate.material=6061-T6,7075-T6"], keys)
    assert [[choice.text for choice in one] for one in grid(varies)] == [
        ["3", "6061-T6"],
        ["3", "7075-T6"],
        ["4", "6061-T6"],
        ["4", "7075-T6"],
    ]


@pytest.mark.parametrize(
    ("texts", "stated"),
    [
        ([], "0 keys to vary; allowed: 1 to 2 without something to seek"),
        (["a=1", "b=1", "c=1"], "3 keys to vary; allowed: 1 to 2 without something to seek"),
        (["blower_plate.pocket.wall"], "nothing to vary, met 'blower_plate.pocket.wall'; allowed: KEY=VALUES"),
        (["blower_plate.pocket.wall="], "nothing to vary"),
        (
            ["blower_plate.pocket.wall=3", "parts.blower_plate.pocket.wall=4"],
            "one key varied twice, met 'blower_plate.pocket.wall'",
        ),
    ],
)
def test_vary_refused(keys: Keys, texts: list[str], stated: str) -> None:
    with pytest.raises(SpecError) as fault:
        varies_of(texts, keys)
    assert str(fault.value).startswith(stated)


def test_too_many_variants(keys: Keys) -> None:
    varies = varies_of(["blower_plate.pocket.wall=1..10/0.01", "blower_plate.pocket.cutter=1..10/1"], keys)
    with pytest.raises(SpecError, match="9010 variants; allowed: at most 5000"):
        grid(varies)
