"""Small sound projects, and changes of one value drawn at random that make a check fail: what cures are sought for.

A draw is a key and a new value; the old one goes nowhere. Draws after which nothing fails, or that the spec refuses, are
drawn again.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from platemaker.checks import Verdict, check_stack
from platemaker.errors import PlatemakerError
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, load_project
from platemaker.study import with_value

PROJECTS = Path(__file__).parent / "cures"
EACH = 8
Range = tuple[float, float]
Draws = tuple[tuple[str, str, Range | tuple[Any, ...]], ...]

KINDS: Mapping[str, Draws] = {
    "thin": (
        ("cover", "parts.lower.thickness", (14.0, 28.0)),
        ("cover", "parts.upper.thickness", (5.0, 11.0)),
        ("cover", "parts.upper.pockets.left.depth", (9.3, 11.8)),
        ("cover", "parts.lower.above.rim.thread_depth", (22.0, 28.0)),
        ("cover", "parts.lower.holes.sensor.depth", (23.0, 29.0)),
        ("arm", "parts.wall.thickness", (12.0, 20.0)),
        ("arm", "parts.bed.holes.dowel.depth", (12.5, 15.5)),
        ("adapter", "parts.adapter.thickness", (8.0, 16.0)),
        ("tank", "parts.ring.thickness", (18.0, 28.0)),
        ("tank", "parts.lid.thickness", (4.0, 12.0)),
    ),
    "short": (
        ("cover", "joints.rim.bolts.length", ("16", "20", "25", "35", "40")),
        ("cover", "joints.port.bolts.length", ("25", "30", "35", "55", "60")),
        ("cover", "parts.upper.holes.sensor.screw.length", ("14", "16", "20", "30", "35")),
        ("cover", "parts.lower.above.rim.thread_depth", (6.0, 17.0)),
        ("cover", "parts.lower.holes.sensor.depth", (5.0, 13.0)),
        ("arm", "parts.angle.holes.foot.screw.length", ("8", "10", "12", "30")),
        ("arm", "parts.angle.holes.eye.screw.length", ("6", "8", "10", "25")),
        ("arm", "parts.wall.holes.eye.depth", (5.0, 12.0)),
        ("tank", "joints.seam.bolts.length", ("20", "25", "40", "45")),
        ("tank", "parts.ring.above.seam.thread_depth", (7.0, 16.0)),
    ),
    "crowded": (
        ("cover", "joints.rim.bolts.pattern.rectangle[0]", (98.0, 120.0)),
        ("cover", "joints.rim.bolts.pattern.rectangle[1]", (50.0, 66.0)),
        ("cover", "parts.upper.outline.rectangle[0]", (100.0, 122.0)),
        ("cover", "parts.upper.outline.rectangle[1]", (110.0, 126.0)),
        ("cover", "parts.lower.outline.rectangle[1]", (140.0, 160.0)),
        ("cover", "parts.upper.pockets.left.shape.at[0]", (-60.0, -40.0)),
        ("cover", "parts.upper.pockets.left.shape.rectangle[1]", (46.0, 74.0)),
        ("arm", "parts.bed.holes.dowel.at[1]", (1.0, 14.0)),
        ("arm", "parts.bed.holes.dowel.diameter", (9.0, 16.0)),
        ("arm", "parts.angle.width", (14.0, 30.0)),
        ("adapter", "parts.adapter.outline.margin", (1.0, 7.0)),
        ("tank", "joints.seam.bolts.pattern.circle", (134.0, 152.0)),
        ("tank", "joints.seam.bolts.pattern.count", (26, 28, 30, 32, 34)),
    ),
    "misaligned": (
        ("cover", "parts.lower.holes.sensor.at[0]", (37.0, 43.0)),
        ("cover", "parts.lower.holes.sensor.at[1]", (50.0, 55.0)),
        ("cover", "parts.upper.holes.sensor.at[0]", (37.0, 43.0)),
        ("cover", "parts.upper.holes.sensor.at[1]", (50.0, 55.0)),
        ("cover", "parts.upper.below.rim.at[0]", (-6.0, 6.0)),
        ("arm", "parts.angle.legs[0]", (60.0, 72.0)),
        ("arm", "parts.angle.holes.foot.at[0]", (17.0, 26.0)),
        ("arm", "parts.angle.holes.eye.at[0]", (38.0, 46.0)),
        ("arm", "parts.angle.bends[0].angle", (86.0, 94.0)),
        ("arm", "parts.wall.place.at[0]", (-24.0, -18.0)),
        ("arm", "parts.wall.place.at[2]", (-26.0, -18.0)),
        ("arm", "parts.wall.holes.eye.at[0]", (-4.0, 4.0)),
    ),
    "leaking": (
        ("cover", "joints.rim.opening.circle", (60.0, 70.0)),
        ("cover", "joints.rim.seal.o_ring", ("AS568-224", "AS568-228", "AS568-240", "AS568-245")),
        ("tank", "joints.seam.opening.circle", (98.0, 118.0)),
        ("tank", "joints.seam.bolts.pattern.circle", (100.0, 118.0)),
        ("tank", "joints.seam.bolts.pattern.count", (2, 3, 4, 5, 6, 7)),
        ("tank", "joints.seam.bolts.thread", ("M4", "M5", "M6")),
        ("tank", "joints.seam.gasket.material", ("fibre gasket", "copper", "graphite", "PTFE")),
        ("tank", "parts.lid.thickness", (4.0, 12.0)),
    ),
}
"""What is drawn from: project, key, and its new values, a range of lengths or a list."""


@dataclass(frozen=True)
class Mutation:
    """One value of a sound project changed so that a check fails; `also` are others, each a key and its value."""

    kind: str
    project: str
    key: str
    value: Any
    also: tuple[tuple[str, Any], ...] = ()

    def written(self, folder: Path) -> Path:
        """The project's folder, written below `folder`, without a trace of what stood there before."""
        data = yaml.safe_load((PROJECTS / self.project / "project.yaml").read_text(encoding="utf-8"))
        for key, value in ((self.key, self.value), *self.also):
            path: list[str | int] = []
            for word in key.split("."):
                name, _, place = word.partition("[")
                path += [name, int(place[:-1])] if place else [name]
            data = with_value(data, tuple(path), value)
        made = folder / f"{self.kind}_{self.project}"
        made.mkdir(parents=True)
        text = yaml.safe_dump(data, sort_keys=False)
        (made / "project.yaml").write_text(text, encoding="utf-8")
        return made


def fails(spec: ProjectSpec) -> set[str]:
    """The ids of the findings that fail."""
    return {found.id for found in check_stack(assemble(spec)) if found.verdict is Verdict.FAIL}


def mutations(seed: int, folder: Path, each: int = EACH, *, keys: int = 1) -> Iterator[tuple[Mutation, Path]]:
    """So many failing changes of each kind, of one key or of two of one project, each written to a folder of its own."""
    rng = random.Random(seed)
    for kind, draws in KINDS.items():
        done = 0
        for number in range(1000):
            project, key, values = rng.choice(draws)
            value = _drawn(rng, values)
            others = [(other, ones) for one, other, ones in draws if one == project and other != key]
            if len(others) < keys - 1:
                continue
            also = tuple((other, _drawn(rng, ones)) for other, ones in rng.sample(others, keys - 1))
            mutation = Mutation(kind, project, key, value, also)
            place = mutation.written(folder / f"{kind}_{number}")
            try:
                failing = fails(load_project(place))
            except PlatemakerError:
                continue
            if failing:
                yield mutation, place
                done += 1
                if done == each:
                    break


def _drawn(rng: random.Random, values: Range | tuple[Any, ...]) -> Any:
    value = rng.choice(values)
    if isinstance(values[0], float):
        return round(rng.uniform(*values), 1)
    return float(value) if isinstance(value, str) and value.isdigit() else value
