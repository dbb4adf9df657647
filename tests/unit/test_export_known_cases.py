"""Parts whose check once passed and whose build then stopped: refused by name in `check`, or built as they are.

Sources: plane and solid geometry written out beside each number; the counterbore of an M8 socket head, 15 mm wide and
8.6 mm deep, and its hole of 9 mm from the catalog's tables; a drill point of 118 degrees.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.cli_runner import run

CASES = Path(__file__).parent.parent / "cases"
PI, PLATE, CORNERS = math.pi, 100 * 60, (4 - math.pi) * 5**2
TIP = 4 / math.tan(math.radians(59))

REFUSED = {
    "hole_inside_opening": (
        "project.yaml:11: parts.pl.holes.a: a of pl takes nothing away: it lies inside opening; "
        "allowed: cuts that each take something away"
    ),
    "slots_same": (
        "project.yaml:8: parts.p.slots.b: b of p takes nothing away: it lies inside a; "
        "allowed: cuts that each take something away"
    ),
    "bracket_through_itself": (
        "project.yaml:10: parts.k.bends: k is bent through itself, or so that its legs touch; "
        "allowed: legs that keep clear of each other"
    ),
    "outline_crosses_itself": (
        "project.yaml:7: parts.p.outline: an outline crosses or touches itself at (25.000, 25.000); "
        "allowed: corners in their order round an outline that keeps clear of itself"
    ),
    "mouth_as_deep_as_plate": (
        "project.yaml:8: parts.p.opening: the rounded mouth of opening is as deep as p is thick, met '12 mm'; "
        "allowed: less than 12 mm deep"
    ),
}

BUILT = {
    # Down to the pocket's floor at 9.5 the counterbore takes all that the hole does; below there is the pocket.
    "counterbore_without_seat": ("pl", (PLATE - CORNERS) * 16 - (40 * 30 - CORNERS) * 9.5 - PI / 4 * 15**2 * 6.5, 1),
    # The pocket's straight edge runs through the drill's axis: of the tip of the point, where the drill ends 7 above
    # the lower face and the pocket 6, half is in the pocket already. A cone holds a third of its cylinder.
    "drill_point_into_pocket": (
        "pl",
        (PLATE - CORNERS) * 16 - (30 * 20 - CORNERS) * 6 - PI * 16 * (9 + TIP / 3)
        + PI * ((TIP - 1) * 4 / TIP) ** 2 * (TIP - 1) / 3 / 2,
        1,
    ),
    # From X = 50, Z = 20 to X = 10, Z = 0: a cylinder between two planes holds its section times its axis' length.
    "slanted_bore_lip": ("p", 100 * 70 * 30 - PI * 16 * 20 * math.sqrt(5), 0),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_what_no_solid_can_be_made_of_is_refused_in_check(case: str) -> None:
    answer = run("check", CASES / case)
    assert (answer.code, answer.out, answer.err) == (2, "", REFUSED[case] + "\n")


@pytest.mark.kernel
@pytest.mark.parametrize("case", BUILT)
def test_what_a_solid_can_be_made_of_is_built(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    part, volume, code = BUILT[case]
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert run("check", CASES / case).code == code
    answer = run("build", CASES / case, "--out", tmp_path, "--json")
    assert answer.code == code
    stated = json.loads(answer.out)
    [folder] = [path.parent for path in tmp_path.glob("*/manifest.json")]
    written = {path.name for path in folder.iterdir()}
    assert {f"{part}.step", f"{part}.dxf", f"{part}_drawing.pdf", "report.html", "stack.step"} - written <= {
        "stack.step"
    }
    [step] = [
        file for file in json.loads((folder / "manifest.json").read_text())["files"] if file["name"] == f"{part}.step"
    ]
    # Files are read back to a share of 1e-6; the lip that a bore once left, 24 mm3, is a hundred times that.
    assert step["read_back"]["volume_mm3"] == pytest.approx(volume, rel=1e-6)
    assert [one["name"] for one in stated["parts"]] == [part]
