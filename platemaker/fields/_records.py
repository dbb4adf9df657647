"""What a field answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from platemaker.errors import PlatemakerError
from platemaker.records import Record


class FlowError(PlatemakerError):
    """The field cannot be calculated: the solver is missing, or stops."""


class Grid(Record):
    """One mesh: cell size in the passage, mm, cells, steps, loss over the entry's dynamic pressure.

    `residual` is how far the loss still moves or goes up and down, as a share; `volume` is that of the mesh, mm3.
    """

    size: float
    cells: int
    steps: int
    loss: float
    stands: bool
    residual: float
    volume: float


COARSER = 1.35
"""Cell size of the coarser mesh over that of the finer."""
ORDER = 2.0
"""Order of the solver's schemes: by it the error of the finer mesh follows from the difference of both (Richardson)."""


class SpeedPlane(Record):
    """Speed on a plane: `columns` by `rows` values of each component, from the corner of least coordinates."""

    columns: int
    rows: int
    box: tuple[float, float, float, float]
    x: tuple[float | None, ...]
    y: tuple[float | None, ...]
    z: tuple[float | None, ...]


class Field(Record):
    """A steady field, speeds over the mean at the entry and losses over the entry's dynamic pressure.

    `shares` of the air by outlet; `uniformity` at the entry of the passage and at each opening behind it; `fastest` is
    the speed that 99.9 % of the air stays below; `lost` is what is lost from the entry up to each slab behind it.
    `back` is the share of the air that comes back where the duct behind begins, `reach` how far into it, mm, more than
    1 % does. `stopped`: ended before the finer mesh was done.
    """

    grids: tuple[Grid, ...]
    seconds: float
    shares: tuple[float, ...] = ()
    uniformity: tuple[float, ...] = ()
    lost: tuple[float, ...] = ()
    fastest: float = 0.0
    back: float = 0.0
    reach: float = 0.0
    stopped: bool = False
    plan: SpeedPlane | None = None
    section: SpeedPlane | None = None

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
        """Error by the mesh as a share of the loss, from the two finest; None of one mesh."""
        if len(self.grids) < 2 or not self.loss:
            return None
        difference = abs(self.grids[-1].loss - self.grids[-2].loss) / abs(self.loss)
        return float(difference / (COARSER**ORDER - 1))

    @property
    def residual(self) -> float:
        """The larger of the meshes' residuals."""
        return max(grid.residual for grid in self.grids)


def field_of(answer: Mapping[str, Any]) -> Field:
    """A field from the child's answer. Raises FlowError where the answer is not one."""
    try:
        grids = tuple(
            Grid(
                float(one["size"]), int(one["cells"]), int(one["steps"]), float(one["loss"]),
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
        back, fastest = answer.get("back", {}), float(answer.get("fastest", 0.0))
        return Field(
            grids, float(answer["seconds"]), shares, uniformity, lost, fastest, float(back.get("share", 0.0)),
            float(back.get("reach", 0.0)), bool(answer.get("stopped")), plan, section,
        )  # fmt: skip
    except (KeyError, TypeError, ValueError) as fault:
        message = f"the calculation's answer cannot be read: {type(fault).__name__} {fault}"
        raise FlowError(message) from fault


def _plane(plain: Mapping[str, Any]) -> SpeedPlane:
    columns, rows = int(plain["columns"]), int(plain["rows"])
    parts = {name: tuple(None if one is None else float(one) for one in plain[name]) for name in "xyz"}
    if any(len(values) != columns * rows for values in parts.values()):
        message = f"a plane of {columns} by {rows} points has other numbers of values"
        raise ValueError(message)
    x0, y0, x1, y1 = (float(one) for one in plain["box"])
    return SpeedPlane(columns, rows, (x0, y0, x1, y1), **parts)
