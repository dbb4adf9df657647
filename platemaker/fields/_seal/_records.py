"""What the calculation of a joint answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from platemaker.fields._records import FlowError
from platemaker.records import Record

BALANCE = 1e-3
"""Largest share of the bolts' force that may be missing where a case counts as balanced."""

Point = tuple[float, float]


class FilmCase(Record):
    """The film in one case; pressures in MPa, lengths in mm, forces in N.

    `sealed` is the pressure that is held back, 0 where none is; `push` says which way the loads act. `leak` is the
    greatest pressure on the way of a leak, `path` that way and `at` the place where it is met. `contact` is the share
    of the land that is pressed at all, `bow` the largest difference of its closure. `bolts` are forces, `before` those
    without pressure and loads. `pressure` and `closure` are at the film's cells; empty on a coarser mesh.
    """

    name: str
    push: str
    sealed: float
    leak: float | None
    path: tuple[Point, ...]
    at: Point | None
    contact: float
    bow: float
    balance: float
    bolts: tuple[float, ...]
    before: tuple[float, ...]
    pressure: tuple[float, ...]
    closure: tuple[float, ...]

    @property
    def words(self) -> str:
        """Its name, with the way of the loads."""
        return f"{self.name}, {self.push}" if self.push else self.name

    @property
    def loses(self) -> tuple[int, float]:
        """Which bolt loses most, by its number, and how much, N; below 0 where all gain."""
        lost = [a - b for a, b in zip(self.before, self.bolts, strict=False)] or [0.0]
        return max(enumerate(lost), key=lambda one: one[1])


class FilmMesh(Record):
    """One mesh: cell size on the face, mm, cells, unknowns, and the film's grid: start, pitch, rows and columns, land.

    `land` is its area, mm2, `cells_of_land` the numbers of its cells, row by row.
    """

    size: float
    cells: int
    unknowns: int
    land: float
    start: Point
    pitch: float
    shape: tuple[int, int]
    cells_of_land: tuple[int, ...]
    cases: tuple[FilmCase, ...]

    def middle(self, number: int) -> Point:
        """The middle of a cell of the land, by its place among them, mm."""
        row, column = divmod(self.cells_of_land[number], self.shape[1])
        return self.start[0] + (column + 0.5) * self.pitch, self.start[1] + (row + 0.5) * self.pitch


class SealField(Record):
    """The film of a joint on each mesh, the coarser first."""

    meshes: tuple[FilmMesh, ...]
    seconds: float

    @property
    def finest(self) -> FilmMesh:
        """The finest mesh."""
        return self.meshes[-1]

    @property
    def cases(self) -> tuple[FilmCase, ...]:
        """The cases on the finest mesh."""
        return self.finest.cases

    def case(self, name: str, *, pushed: bool = False) -> FilmCase | None:
        """A case by its name, with the loads or without; None where it was not calculated."""
        return next((one for one in self.cases if one.name == name and bool(one.push) is pushed), None)

    def doubt(self, case: FilmCase) -> float:
        """How much the leak's pressure differs between the two finest meshes, MPa."""
        if len(self.meshes) < 2 or case.leak is None:
            return 0.0
        pairs = zip(self.meshes[-2].cases, self.cases, strict=True)
        other = next(one for one, own in pairs if own is case)
        return abs(case.leak - other.leak) if other.leak is not None else case.leak

    @property
    def balance(self) -> float:
        """The largest share of the bolts' force that any case misses."""
        return max(one.balance for mesh in self.meshes for one in mesh.cases)


def seal_field_of(answer: Mapping[str, Any]) -> SealField:
    """The films from the child's answer.

    Raises FlowError where it says that a case does not converge, where forces do not balance, or where it is none.
    """
    if "fault" in answer:
        message = f"no film: {answer['fault']}"
        raise FlowError(message)
    try:
        meshes = tuple(_mesh(one) for one in answer["meshes"])
        found = SealField(meshes, float(answer["seconds"]))
        whole = bool(meshes) and len({tuple(one.name for one in mesh.cases) for mesh in meshes}) == 1
        balance = found.balance
    except (KeyError, TypeError, ValueError, IndexError) as fault:
        message = f"the calculation's answer cannot be read: {type(fault).__name__} {fault}"
        raise FlowError(message) from fault
    if not whole:
        message = "the calculation's answer has no mesh, or other cases on each"
        raise FlowError(message)
    if not balance <= BALANCE:
        message = f"no film: forces do not balance by {balance:.2%} of the bolts', more than {BALANCE:.1%}"
        raise FlowError(message)
    return found


def _mesh(plain: Mapping[str, Any]) -> FilmMesh:
    rows, columns = (int(one) for one in plain["shape"])
    land = tuple(int(one) for one in plain["cells_of_land"])
    x, y = (float(one) for one in plain["start"])
    cases = tuple(_case(one, len(land)) for one in plain["cases"])
    return FilmMesh(
        float(plain["size"]), int(plain["cells"]), int(plain["unknowns"]), float(plain["land"]), (x, y),
        float(plain["pitch"]), (rows, columns), land, cases,
    )  # fmt: skip


def _case(plain: Mapping[str, Any], cells: int) -> FilmCase:
    pressure, closure = (tuple(float(one) for one in plain[name]) for name in ("pressure", "closure"))
    if len(pressure) != len(closure) or len(pressure) not in (0, cells):
        message = f"a film of {cells} cells has other numbers of values"
        raise ValueError(message)
    leak, at = plain["leak"], plain["at"]
    return FilmCase(
        str(plain["name"]), str(plain.get("push", "")), float(plain.get("sealed", 0.0)),
        None if leak is None else float(leak), tuple(_point(one) for one in plain["path"]),
        None if at is None else _point(at), float(plain["contact"]), float(plain["bow"]), float(plain["balance"]),
        tuple(float(one) for one in plain["bolts"]), tuple(float(one) for one in plain.get("before", ())),
        pressure, closure,
    )  # fmt: skip


def _point(plain: Any) -> Point:
    x, y = plain
    return float(x), float(y)
