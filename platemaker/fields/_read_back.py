"""What is read off the solver's field: shares, uniformity, where the loss arises, recirculation, two planes."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platemaker.fields._outlines import Points
from platemaker.fields._plan import PlanMesh
from platemaker.fields._planes import plane_of
from platemaker.fields._prisms import PrismMesh
from platemaker.records import Record

FASTEST = 0.999
"""Share of the volume that is slower than the speed given as the largest."""
BACK = 0.01
"""Share of the flow that comes back, from which a layer of the duct behind counts as recirculating."""


class Solution(Record):
    """Speed, m/s, pressure over density, m2/s2, by cell; flow through each face, m3/s, out of its owner."""

    speed: Points
    pressure: Points
    flow: Points


def read_solution(folder: Path, mesh: PrismMesh) -> Solution:
    """The fields of a step. Raises OSError, and ValueError where they are not those of the mesh."""
    flow = np.zeros(len(mesh.faces))
    text = (folder / "phi").read_text(encoding="ascii")
    flow[: len(mesh.neighbour)] = _inner(text, len(mesh.neighbour))
    boundary = text[text.index("boundaryField") :]
    for patch in mesh.patches:
        flow[patch.first : patch.first + patch.count] = _on_patch(boundary, patch.name, patch.count)
    return Solution(read_cells(folder / "U", mesh.count), read_cells(folder / "p", mesh.count), flow)


def read_cells(path: Path, count: int) -> Points:
    """A field's values by cell. Raises ValueError where it has another number of them."""
    text = path.read_text(encoding="ascii")
    return _inner(text, count)


def _inner(text: str, count: int) -> Points:
    head = text.index("internalField")
    begin, end = text.index("(", head), text.index("boundaryField")
    found = _numbers(text[begin + 1 : text.rindex(")", begin, end)])
    if len(found) not in (count, 3 * count):
        message = f"a field has {len(found)} numbers for {count} places"
        raise ValueError(message)
    return found.reshape(count, 3) if len(found) == 3 * count else found


def _numbers(text: str) -> Points:
    return np.array(text.replace("(", " ").replace(")", " ").split(), dtype=float)


def _on_patch(text: str, name: str, count: int) -> Points:
    """Values of a flow on a patch: a list, or one number for all."""
    block = re.search(rf"\b{name}\s*\{{(.*?)\n    \}}", text, re.DOTALL)
    if block is None:
        message = f"the field has no patch {name}"
        raise ValueError(message)
    even = re.search(r"value\s+uniform\s+(\S+);", block[1])
    if even:
        return np.full(count, float(even[1]))
    listed = re.search(r"nonuniform\s+List<scalar>\s*(\d+)\s*\((.*?)\)", block[1], re.DOTALL)
    return _numbers(listed[2]) if listed else np.zeros(count)


class ReadField(Record):
    """A field on its mesh and plan, with the mean speed at the entry, m/s."""

    mesh: PrismMesh
    plan: PlanMesh
    field: Solution
    speed: float

    def readings(self, case: dict[str, Any]) -> dict[str, Any]:
        """All readings: speeds over the mean at the entry, losses over its dynamic pressure."""
        mesh, slabs = self.mesh, case["slabs"]
        size = np.linalg.norm(self.field.speed, axis=1) / self.speed
        order = np.argsort(size)
        below = np.cumsum(mesh.volumes[order]) / mesh.volumes.sum()
        first, last = mesh.starts[1], mesh.starts[-2]
        outlets = [self._box(box) for box in case["outlets"]]
        entry = self._total("inlet")
        return {
            "fastest": float(size[order][np.searchsorted(below, FASTEST)]),
            "shares": self._shares(outlets),
            "uniformity": [
                self._uniformity(self._at(first)),
                *(self._uniformity(self._at(last) & one) for one in outlets),
            ],
            "lost": [(entry - self._total(level)) / (self.speed**2 / 2) for level in mesh.starts[1:-1]],
            "back": self._back(last, slabs[-1]["start"]),
            "plan": plane_of(mesh, self.plan, self.field.speed / self.speed, case, case["plan"]),
            "section": plane_of(mesh, self.plan, self.field.speed / self.speed, case, case["section"]),
        }

    def _at(self, level: int) -> NDArray[np.bool_]:
        """Faces in a boundary of layers, which air can cross."""
        found: NDArray[np.bool_] = self.mesh.level == level
        found[len(self.mesh.neighbour) :] = False
        return found

    def _patch(self, name: str) -> NDArray[np.bool_]:
        found = np.zeros(len(self.mesh.faces), dtype=bool)
        for patch in self.mesh.patches:
            if patch.name == name:
                found[patch.first : patch.first + patch.count] = True
        return found

    def _box(self, box: tuple[float, float, float, float]) -> NDArray[np.bool_]:
        x, y = self.mesh.centres[:, 0], self.mesh.centres[:, 1]
        found: NDArray[np.bool_] = (x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])
        return found

    def _shares(self, outlets: list[NDArray[np.bool_]]) -> list[float]:
        out = np.where(self._patch("outlet"), self.field.flow, 0.0)
        return [float(out[one].sum() / out.sum()) for one in outlets]

    def _uniformity(self, faces: NDArray[np.bool_]) -> float:
        """Uniformity index of the speed along the flow: 1 - mean deviation / (2 mean), over faces."""
        area = np.linalg.norm(self.mesh.areas[faces], axis=1)
        along = self.field.flow[faces] / area
        mean = self.field.flow[faces].sum() / area.sum()
        return float(1 - (np.abs(along - mean) * area).sum() / (2 * abs(mean) * area.sum()))

    def _total(self, where: int | str) -> float:
        """Mean total pressure over density, m2/s2, of the air that crosses a boundary of layers or a patch."""
        faces = self._patch(where) if isinstance(where, str) else self._at(where)
        owner = self.mesh.owner[faces]
        if isinstance(where, str):
            speed = np.zeros((faces.sum(), 3))
            speed[:, 2] = self.speed
            pressure = self.field.pressure[owner]
        else:
            beyond = self.mesh.neighbour[np.flatnonzero(faces)]
            height = self.mesh.middles[:, 2]
            level = self.mesh.heights[where]
            share = ((level - height[owner]) / (height[beyond] - height[owner]))[:, None]
            speed = self.field.speed[owner] * (1 - share) + self.field.speed[beyond] * share
            pressure = self.field.pressure[owner] * (1 - share[:, 0]) + self.field.pressure[beyond] * share[:, 0]
        flow = np.abs(self.field.flow[faces]) if isinstance(where, str) else self.field.flow[faces]
        total = pressure + (speed**2).sum(axis=1) / 2
        return float((total * flow).sum() / flow.sum())

    def _back(self, last: int, start: float) -> dict[str, float]:
        """Air that comes back at the end of the passage, as a share of the flow; how far into the duct behind, mm."""
        net = abs(self.field.flow[self._patch("inlet")].sum())
        reach, at_end = 0.0, 0.0
        for level in range(last, len(self.mesh.heights) - 1):
            through = self.field.flow[self._at(level)]
            back = float(-through[through < 0].sum() / net)
            at_end = back if level == last else at_end
            if back < BACK:
                break
            reach = float(self.mesh.heights[level + 1]) - start
        return {"share": at_end, "reach": reach}
