"""What a field answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from platemaker.errors import PlatemakerError


class FlowError(PlatemakerError):
    """The field cannot be calculated: the library is missing, or its process stops."""


@dataclass(frozen=True)
class Grid:
    """One mesh: cell size in the passage, mm, cells, unknowns, steps, loss over the entry's dynamic pressure.

    `residual` is the change of the loss over the last hundred steps, as a share; `volume` is that of the mesh, mm3.
    """

    size: float
    cells: int
    unknowns: int
    steps: int
    loss: float
    stands: bool
    residual: float
    volume: float


@dataclass(frozen=True)
class Plane:
    """Speed on a plane: `columns` by `rows` values of each component, from the corner of least coordinates."""

    columns: int
    rows: int
    box: tuple[float, float, float, float]
    x: tuple[float | None, ...]
    y: tuple[float | None, ...]
    z: tuple[float | None, ...]


@dataclass(frozen=True)
class Field:
    """A steady field, speeds over the mean at the entry and losses over the entry's dynamic pressure.

    `shares` of the air by outlet; `uniformity` at the entry and the exit of the passage; `fastest` is the speed that
    99.9 % of the air stays below; `lost` is what is lost from the entry up to each slab behind it.
    """

    grids: tuple[Grid, ...]
    seconds: float
    shares: tuple[float, ...] = ()
    uniformity: tuple[float, ...] = ()
    lost: tuple[float, ...] = ()
    fastest: float = 0.0
    plan: Plane | None = None
    section: Plane | None = None

    @property
    def converged(self) -> bool:
        """Whether the loss stands on every mesh."""
        return all(grid.stands for grid in self.grids)

    @property
    def loss(self) -> float:
        """Loss on the finest mesh."""
        return self.grids[-1].loss

    @property
    def grid_error(self) -> float | None:
        """Difference of the two finest meshes, as a share of the loss; None of one mesh."""
        if len(self.grids) < 2 or not self.loss:
            return None
        return abs(self.grids[-1].loss - self.grids[-2].loss) / abs(self.loss)

    @property
    def residual(self) -> float:
        """The larger of the meshes' residuals."""
        return max(grid.residual for grid in self.grids)


def field_of(answer: Mapping[str, Any]) -> Field:
    """A field from the child's answer. Raises FlowError where the answer is not one."""
    try:
        grids = tuple(
            Grid(
                float(one["size"]), int(one["cells"]), int(one["unknowns"]), int(one["steps"]), float(one["loss"]),
                bool(one["stands"]), float(one["residual"]), float(one["volume"]),
            )
            for one in answer["meshes"]
        )  # fmt: skip
        if not grids:
            message = "the calculation's answer has no mesh"
            raise FlowError(message)
        shares, uniformity, lost = (
            tuple(float(one) for one in answer.get(name, ())) for name in ("shares", "uniformity", "lost")
        )
        plan, section = (_plane(answer[name]) if answer.get(name) else None for name in ("plan", "section"))
        fastest, seconds = float(answer.get("fastest", 0.0)), float(answer["seconds"])
        return Field(grids, seconds, shares, uniformity, lost, fastest, plan, section)
    except (KeyError, TypeError, ValueError) as fault:
        message = f"the calculation's answer cannot be read: {type(fault).__name__} {fault}"
        raise FlowError(message) from fault


def _plane(plain: Mapping[str, Any]) -> Plane:
    columns, rows = int(plain["columns"]), int(plain["rows"])
    parts = {name: tuple(None if one is None else float(one) for one in plain[name]) for name in "xyz"}
    if any(len(values) != columns * rows for values in parts.values()):
        message = f"a plane of {columns} by {rows} points has other numbers of values"
        raise ValueError(message)
    x0, y0, x1, y1 = (float(one) for one in plain["box"])
    return Plane(columns, rows, (x0, y0, x1, y1), **parts)
