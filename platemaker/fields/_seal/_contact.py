"""Plates on a one-sided sheet between bolts: the balance of forces, by Newton's method. Runs in a child process only.

Unknowns are displacements, mm. The closure of the film is how far the faces come together; it presses where they do.
A linear system of a step is solved by conjugate gradients, with the factors of the sheet lying everywhere before it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np
from msgspec import Struct
from scipy.optimize import brentq
from scipy.sparse import csr_matrix, diags

from platemaker.fields._seal._film import Points
from platemaker.fields._seal._solids import NotSettledError
from platemaker.records import Record

STEPS = 60
"""Most steps of Newton's method."""
BALANCED = 1e-6
"""Work of the forces that are left over, as a share of that of all forces, at which they balance (its root)."""
INNER = 1e-2
"""By what a step's linear system is solved better than before it."""
MOST_INNER = 200
CLOSE, FARTHEST = 0.1, 1e6
"""Share of the work along a change that may be left at its end, and how many times it is gone at most."""
WAYS, REDUCED = 96, 12
"""Directions of systems that are kept, and most steps of Newton's method along them alone."""
SINGULAR = 1e-11
"""Directions that add less than this are none."""

Sparse = csr_matrix
Solve = Callable[[Points], Points]


class SheetSpring(Record):
    """How a sheet presses: `k` MPa a mm as it is closed the first time, `back` as it springs back and closes again."""

    k: float
    back: float

    def pressure(self, closure: Points, most: Points | None) -> tuple[Points, Points]:
        """Pressure, MPa, and its slope, where it was closed by `most`, mm, before; None: never."""
        load = self.k * np.maximum(closure, 0.0)
        slope: Points = np.where(closure >= 0, self.k, 0.0)
        if most is None:
            return load, slope
        again = self.k * most - self.back * (most - closure)
        first = closure > most  # where it begins to spring back, the steep line leads on
        pressed = np.where(first, load, np.maximum(again, 0.0))
        return pressed, np.where(first, slope, np.where(again > 0, self.back, 0.0))


class Balance(Record):
    """A case that balances: displacements, closure of the film, mm, its pressure, MPa, and each bolt's force, N."""

    moved: Points
    closure: Points
    pressure: Points
    slope: Points
    bolts: Points
    stretch: Points
    steps: int
    residual: float


class CaseLoad(Record):
    """What acts in a case: outside forces, what each bolt pulls with, N, how far the film was closed, mm.

    From the state `tightened` on, bolts pull by as much more as they stretch.
    """

    forces: Points
    bolts: Points
    most: Points | None
    tightened: Balance | None

    @property
    def stretching(self) -> bool:
        """Whether a bolt's force follows its length."""
        return self.tightened is not None

    def pull(self, stiff: Points, stretch: Points) -> Points:
        """Each bolt's force, N."""
        return self.bolts if self.tightened is None else self.bolts + stiff * (stretch - self.tightened.stretch)


class SolvedDirections:
    """Directions that systems were solved along, with what stiffness, film and bolts make of them."""

    def __init__(self, unknowns: int, points: int, bolts: int) -> None:
        self.count = 0
        self.moved = np.zeros((unknowns, WAYS))
        self.plain = np.zeros((WAYS, WAYS))
        self.closing = np.zeros((points, WAYS))
        self.pulls = np.zeros((bolts, WAYS))

    def add(self, moved: Points, forces: Points, closing: Points, pulls: Points) -> None:
        """One direction more, while there is room."""
        if self.count == WAYS:
            return
        size, k = np.linalg.norm(moved), self.count
        self.moved[:, k] = moved / size
        self.closing[:, k], self.pulls[:, k] = closing / size, pulls / size
        self.plain[: k + 1, k] = self.moved[:, : k + 1].T @ (forces / size)
        self.plain[k, : k + 1] = self.plain[: k + 1, k]
        self.count += 1

    def solved(self, forces: Points, film: Points, stiff: Points | None) -> Points:
        """The best answer of a linear system along them; `film` is the film's slope times area, N/mm."""
        k = self.count
        if k == 0:
            return np.zeros_like(forces)
        closing, pulls = self.closing[:, :k], self.pulls[:, :k]
        whole = self.plain[:k, :k] + closing.T @ (film[:, None] * closing)
        if stiff is not None:
            whole = whole + pulls.T @ (stiff[:, None] * pulls)
        scale = 1 / np.sqrt(np.maximum(np.diag(whole), 1e-30))
        right = scale * (self.moved[:, :k].T @ forces)
        answer = np.linalg.lstsq(whole * scale[:, None] * scale, right, rcond=SINGULAR)[0]
        best: Points = self.moved[:, :k] @ (scale * answer)
        return best


class ContactSystem(Struct, dict=True):
    """What does not change between cases.

    `closing` gives the film's closure, `area` is that of its points, mm2; `pulls` has a column for each bolt, whose
    product with the displacements is how much longer it gets, and `stiff` its stiffness, N/mm.
    """

    stiffness: Sparse
    closing: Sparse
    area: Points
    sheet: SheetSpring
    pulls: Points
    stiff: Points
    inverse: Callable[[Sparse], Solve]
    solves: int = 0

    @cached_property
    def _ways(self) -> SolvedDirections:
        return SolvedDirections(self.stiffness.shape[0], len(self.area), len(self.stiff))

    @cached_property
    def _first(self) -> Solve:
        """Solves with the whole film lying on."""
        mean = np.sqrt(self.sheet.k * self.sheet.back)
        return self.inverse((self.stiffness + self.closing.T @ diags(self.area * mean) @ self.closing).tocsr())

    @cached_property
    def _columns(self) -> tuple[Points, Points]:
        """What each bolt's pull does, and the inverse of the small matrix that lets bolts stretch in the solver."""
        done = np.column_stack([self._solved(column) for column in self.pulls.T])
        small = np.asarray(np.linalg.inv(np.diag(1 / self.stiff) + self.pulls.T @ done), dtype=np.float64)
        return done, small

    def _solved(self, forces: Points) -> Points:
        self.solves += 1
        return self._first(forces)

    def _precondition(self, forces: Points, stretching: bool) -> Points:
        if not stretching:
            return self._solved(forces)
        done, small = self._columns
        moved = self._solved(forces)
        return moved - done @ (small @ (self.pulls.T @ moved))

    def _product(self, moved: Points, slope: Points, stretching: bool) -> Points:
        product: Points = self.stiffness @ moved + self._pressed_and_pulled(moved, slope, stretching)
        return product

    def _pressed_and_pulled(self, moved: Points, slope: Points, stretching: bool) -> Points:
        found = self.closing.T @ (self.area * slope * (self.closing @ moved))
        if stretching:
            found = found + self.pulls @ (self.stiff * (self.pulls.T @ moved))
        pressed: Points = found
        return pressed

    def _linear(self, forces: Points, slope: Points, stretching: bool, close: float) -> Points:
        """Conjugate gradients until the work left is a share `close`, squared, of that at the start.

        They begin where the directions that earlier systems went bring it, and add their own to these.
        """
        found = self._ways.solved(forces, self.area * slope, self.stiff if stretching else None)
        left = forces - self._product(found, slope, stretching) if found.any() else forces.copy()
        done = self._precondition(left, stretching)
        way, work = done.copy(), float(left @ done)
        goal = close**2 * (float(forces @ self._precondition(forces, stretching)) if found.any() else work)
        for _ in range(MOST_INNER):
            if work <= goal:
                break
            plain = self.stiffness @ way
            product = plain + self._pressed_and_pulled(way, slope, stretching)
            bent = float(way @ product)
            if bent <= 0:
                break
            self._ways.add(way, plain, self.closing @ way, self.pulls.T @ way)
            found += work / bent * way
            left -= work / bent * product
            done = self._precondition(left, stretching)
            work, before = float(left @ done), work
            way = done + work / before * way
        return found

    def _brought(self, moved: Points, load: CaseLoad) -> Points:
        """Nearer to balance by the directions that earlier systems went, alone: no system of the whole is solved."""
        for _ in range(REDUCED if self._ways.count else 0):
            _, _, slope, _, left = self._left(moved, load)
            change = self._ways.solved(left, self.area * slope, self.stiff if load.stretching else None)
            far = self._far(moved, change, load)
            moved = moved + far * change
            if far <= 0 or float(left @ change) <= BALANCED**2 * abs(
                float((load.forces + self.pulls @ load.bolts) @ moved)
            ):
                break
        return moved

    def settled(
        self,
        forces: Points,
        bolts: Points,
        *,
        start: Balance | None = None,
        most: Points | None = None,
        tightened: Balance | None = None,
    ) -> Balance:
        """The state in which outside `forces` balance.

        Each bolt pulls with `bolts`, N; with `tightened`, by as much more as it stretches from that state on. The film
        was closed by `most` before. Raises NotSettledError where no balance is found.
        """  # fmt: skip
        load = CaseLoad(forces, bolts, most, tightened)
        moved = start.moved.copy() if start else np.zeros(self.stiffness.shape[0])
        pull = self.pulls @ np.maximum(bolts, 1e-9)
        scale = sum(float(one @ self._precondition(one, load.stretching)) for one in (pull, forces))
        moved = self._brought(moved, load)
        for step in range(STEPS):
            closure, pressure, slope, force, left = self._left(moved, load)
            work = float(left @ self._precondition(left, load.stretching))
            if not np.isfinite(work) or work < -(BALANCED**2) * scale:
                break
            if work <= BALANCED**2 * scale:
                stretch = self.pulls.T @ moved
                return Balance(moved, closure, pressure, slope, force, stretch, step, float(np.sqrt(abs(work) / scale)))
            change = self._linear(left, slope, load.stretching, INNER)
            far = self._far(moved, change, load)
            if far <= 0:
                break
            moved = moved + far * change
        message = "the contact does not converge"
        raise NotSettledError(message)

    def _left(self, moved: Points, load: CaseLoad) -> tuple[Points, Points, Points, Points, Points]:
        closure = self.closing @ moved
        pressure, slope = self.sheet.pressure(closure, load.most)
        force = load.pull(self.stiff, self.pulls.T @ moved)
        left = load.forces - self.stiffness @ moved - self.closing.T @ (self.area * pressure) - self.pulls @ force
        return closure, pressure, slope, force, left

    def _far(self, moved: Points, change: Points, load: CaseLoad) -> float:
        """How many times a change to go: to where the forces left over do no more work along it, since they only fall.

        0 where they do none to begin with. Raises NotSettledError where they never end to: nothing holds.
        """
        closure, closing = self.closing @ moved, self.closing @ change
        stretch, longer = self.pulls.T @ moved, self.pulls.T @ change
        held = self.stiffness @ change
        outside, inside = float(load.forces @ change - held @ moved), float(held @ change)

        def left(far: float) -> float:
            pressure, _ = self.sheet.pressure(closure + far * closing, load.most)
            force = load.pull(self.stiff, stretch + far * longer)
            return outside - far * inside - float((self.area * pressure) @ closing) - float(force @ longer)

        begun = left(0.0)
        if begun <= 0 or not np.isfinite(begun):
            return 0.0
        if abs(left(1.0)) <= CLOSE * begun:
            return 1.0
        far = 1.0
        while left(far) > 0:
            far *= 2
            if far > FARTHEST:
                message = "the joint opens: its forces are more than what holds it"
                raise NotSettledError(message)
        return float(brentq(left, 0.0, far, xtol=1e-12, rtol=1e-3))

    def answers(self, forces: Points, state: Balance) -> Points:
        """How the film's pressure changes with small forces more, MPa: linear, about a state, bolts stretching."""
        moved = self._linear(forces, state.slope, True, 1e-3)
        change: Points = state.slope * (self.closing @ moved)
        return change


def factors(matrix: Sparse) -> Solve:
    """The library's factors of a symmetric matrix."""
    from ngsolve import la  # noqa: PLC0415

    coo = matrix.tocoo()
    held = la.SparseMatrixd.CreateFromCOO(coo.row.tolist(), coo.col.tolist(), coo.data.tolist(), *coo.shape)
    inverse = held.Inverse(inverse="sparsecholesky")
    given, found = held.CreateColVector(), held.CreateColVector()

    def solve(forces: Points) -> Points:
        given.FV().NumPy()[:] = forces
        found.data = inverse * given
        answer: Points = found.FV().NumPy().copy()
        return answer

    _keep: Any = held
    return solve
