"""What is found in random parts, joints, chambers and surveys, as it was when last looked at.

They notice change and prove nothing: the ledgers and oracles under `tests/property` and `tests/validation` hold such
answers true. To renew them after a change that was meant: run this file as a module from the project's root, then look
at the difference.
"""

from __future__ import annotations

import json
import random
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import astuple

from platemaker.errors import GeometryError, PlatemakerError
from platemaker.plane import ChamberOpening, ChamberPiece, throat
from platemaker.survey import solve
from tests.chambers import random_chamber
from tests.golden.test_project_golden import findings, rounded
from tests.metal_oracle import spec_of, text_of
from tests.property.test_checks_design_random import drawn
from tests.survey_simulation import BLUNDERS, casting

HERE = Path(__file__).resolve().parent / "random"


def parts(number: int) -> Iterator[str]:
    """A dozen parts, one of every kind."""
    for seed in range(12 * number, 12 * number + 12):
        yield f"part {seed}\n{_found(text_of(spec_of(seed)))}"


def joints(number: int) -> Iterator[str]:
    """A dozen projects of a plate, a body and a pressed boss."""
    pick = random.Random(100 + number)
    for place in range(12):
        yield f"joint {place}\n{_found(drawn(pick))}"


def _found(text: str) -> str:
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "project.yaml").write_text(text, encoding="utf-8")
        return findings(Path(folder))


def chambers(number: int) -> Iterator[str]:
    """Eight pockets with openings and islands."""
    for seed in range(8 * number, 8 * number + 8):
        one = random_chamber(seed)
        try:
            found = throat(
                [ChamberPiece("pocket", *piece) for piece in one.pieces],
                [ChamberOpening("in", region) for region in one.inflow],
                [ChamberOpening("out", region) for region in one.outflow],
            )
        except GeometryError as fault:
            yield f"chamber {seed}: {type(fault).__name__}\n"
            continue
        yield f"chamber {seed}: {json.dumps(rounded([found.area, found.between, found.closed]))}\n"


def surveys(number: int) -> Iterator[str]:
    """Three castings, and each with a reading that is wrong in one of the usual ways."""
    kinds = list(BLUNDERS.values())
    for seed in range(3 * number, 3 * number + 3):
        one = casting(seed, 4 + seed % 7)
        for network in (one.network, kinds[seed % len(kinds)](one, np.random.default_rng(seed))[0]):
            try:
                found = solve(network)
            except PlatemakerError as fault:
                yield f"survey {seed}: {type(fault).__name__}\n"
                continue
            places = [[point.name, *point.place, *astuple(point.ellipse)] for point in found.points]
            suspects = [[one.judged.title, one.alternatives] for one in found.suspects]
            weak = [[one.title, one.shift] for one in (*found.weak(placed=True), *found.weak())]
            yield f"survey {seed}: {json.dumps(rounded([places, suspects, weak, found.unchecked]))}\n"


MAKERS: dict[Callable[[int], Iterator[str]], int] = {parts: 2, joints: 3, chambers: 3, surveys: 3}
GOLDEN = {f"{make.__name__}_{number}.txt": (make, number) for make, files in MAKERS.items() for number in range(files)}


@pytest.mark.parametrize("name", sorted(GOLDEN))
def test_random_answers_are_as_they_were(name: str) -> None:
    make, number = GOLDEN[name]
    assert "".join(make(number)).splitlines() == (HERE / name).read_text(encoding="utf-8").splitlines()


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    for each, (made, count) in GOLDEN.items():
        (HERE / each).write_text("".join(made(count)), encoding="utf-8")
