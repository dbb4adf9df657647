"""A joint as equations: its solids, its film, its bolts, and the forces that pressure and loads make on it."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
from scipy.sparse import csr_matrix

from platemaker.fields._seal._contact import ContactSystem, SheetSpring, factors
from platemaker.fields._seal._film import Film, Points, film_of, shares, within
from platemaker.fields._seal._solids import ON, BearingRing, NotSettledError, Solids, solids_of

RING = (12, 48)
"""Circles and places on each at which the pressure under a head is put, and its displacement read."""
THIN = 0.5
"""The least width that a head bears on, mm."""
ROUND = 0.02
"""Share of a hole's radius by which its wall may lie off it."""
LEAST = 1e-3
"""Share of the outline's area below which two faces have nothing in common."""


class MeshedJoint:
    """A joint on a mesh with cells of `size`, mm, and a film of `pitch`, mm.

    `head` is the cell size where a head bears, over the width of the ring that it bears on.
    """

    def __init__(self, case: dict[str, Any], size: float, pitch: float, bend: float = 0.8, head: float = 0.4) -> None:
        """Raises NotSettledError where the faces have nothing in common or a bolt has no hold."""
        self.case, self.size = case, size
        self.film: Film = film_of(case, pitch)
        whole = float(self.film.land.sum())
        if whole <= LEAST * self.film.land.size:
            message = "the faces of the joint do not overlap: no land is left between them"
            raise NotSettledError(message)
        self.solids: Solids = solids_of(case["bodies"], size, bend, heads_of(case["bolts"], head))
        closing = sum(
            (-sign * self.solids.rows_at(body, 0.0, self.film.points) for body, sign in enumerate(self.solids.signs)),
            start=csr_matrix((len(self.film.points), 3 * self.solids.count)),
        )
        pulls = np.column_stack([self._pull(bolt) for bolt in case["bolts"]])
        stiff = np.array([bolt["k"] for bolt in case["bolts"]])
        sheet = SheetSpring(case["k"], case["back"])
        self.contact = ContactSystem(
            self.solids.stiffness,
            csr_matrix(closing),
            self.film.area,
            sheet,
            pulls,
            stiff,
            factors,
        )

    def _pull(self, bolt: dict[str, Any]) -> Points:
        """How much longer a bolt gets, from the unknowns; turned round it is where its force acts."""
        found = np.zeros(3 * self.solids.count)
        for end, sign in ((bolt["head"], 1.0), (bolt["foot"], -1.0)):
            if end is not None:
                found += sign * (1.0 if bolt["up"] else -1.0) * self._end(bolt, end)
        return found

    def _end(self, bolt: dict[str, Any], end: dict[str, Any]) -> Points:
        """The mean displacement along Z of where a bolt bears."""
        solids, body = self.solids, end["body"]
        if "away" in end:
            rows = solids.rows_at(body, end["away"], _ring(bolt["at"], end["inner"], end["outer"]))
            mean: Points = np.asarray(rows.mean(axis=0)).ravel()
            return mean
        corners = solids.points[solids.triangles] - np.array([*bolt["at"], 0.0])
        off = np.abs(np.hypot(corners[:, :, 0], corners[:, :, 1]) - end["radius"]).max(axis=1)
        away = np.abs(solids.middles[:, 2] - solids.height(body, 0.0))
        wall = (solids.owner == body) & (off < ROUND * end["radius"] + ON)
        deep = wall & (away > end["low"]) & (away < end["high"])
        chosen = np.flatnonzero(deep if deep.any() else wall)
        if not len(chosen):
            message = f"the mesh has no thread for bolt {bolt['name']}"
            raise NotSettledError(message)
        forces, _, area = solids.spread(chosen)
        spread: Points = forces / area.sum()
        return spread

    @cached_property
    def pressing(self) -> Points:
        """Forces of a pressure of 1 MPa: on the land that it reaches, on what is recessed, and on what lies beyond."""
        film, forces, totals = self.film, np.zeros(3 * self.solids.count), self.pressed_totals
        on_land = film.area * film.pressed[film.cells] * (film.land[film.cells] > 0)
        x, y = film.points.T
        land = np.array([on_land.sum(), on_land @ y, on_land @ x])
        forces -= self.contact.closing.T @ on_land
        for body, sign in enumerate(self.solids.signs):
            recessed, acted = self._recessed(body)
            forces += sign * recessed
            forces += sign * self.far(body) @ (totals - land - acted)
        return forces

    @cached_property
    def pressed_totals(self) -> Points:
        """What a pressure of 1 MPa pulls with, N, and its moments by Y and X, N mm."""
        film = self.film
        rows, columns = np.nonzero(film.pressed)
        x, y = film.middles(rows, columns).T
        area = film.pressed[rows, columns] * film.pitch**2
        return np.array([area.sum(), area @ y, area @ x])

    def _recessed(self, body: int) -> tuple[Points, Points]:
        """A traction of 1 MPa on what of a body faces the joint further away, where the pressure reaches it."""
        solids = self.solids
        z = solids.points[solids.triangles][:, :, 2]
        level = np.ptp(z, axis=1) < ON
        away = np.abs(z.mean(axis=1) - solids.height(body, 0.0))
        height = self.case["bodies"][body]["height"]
        seen = (solids.owner == body) & level & (away > ON) & (away < height - ON)
        facing = np.array(
            [void["high"] for void in self.case["bodies"][body]["voids"] if void["low"] <= ON and void["high"] < height]
        )
        if len(facing):
            seen &= (np.abs(away[:, None] - facing) < ON).any(axis=1)
        else:
            seen[:] = False
        chosen = np.flatnonzero(seen)
        chosen = chosen[within(self.case["pressed"], solids.middles[chosen][:, :2])]
        forces, middles, area = solids.spread(chosen)
        return forces, np.array([area.sum(), area @ middles[:, 1], area @ middles[:, 0]])

    def far(self, body: int) -> Points:
        """Tractions on a body's far face, linear in X and Y: columns that pull 1 N, and 1 N mm along Y and along X."""
        if body not in self._far:
            self._far[body] = self._far_face(body)
        return self._far[body]

    @cached_property
    def _far(self) -> dict[int, Points]:
        return {}

    def _far_face(self, body: int) -> Points:
        given, film = self.case["bodies"][body], self.film
        grid = film.start, film.pitch, film.land.shape
        share = shares(given["far"]["in"], *grid) * (1 - shares(given["far"]["out"], *grid))
        rows, columns = np.nonzero(share > 0.5)
        at = film.middles(rows, columns)
        basis = np.column_stack([np.ones(len(at)), at[:, 1], at[:, 0]])
        lifted = self.solids.rows_at(body, given["height"], at)
        found: Points = lifted.T @ basis @ np.linalg.inv(basis.T @ basis)
        return found

    @staticmethod
    def push_totals(push: dict[str, Any]) -> Points:
        """What a combination of loads pulls with, N, and its moments by Y and X, N mm."""
        return np.array([push["pull"], push["along_y"], push["along_x"]])

    def pushed(self, push: dict[str, Any]) -> Points:
        """The forces of a combination of loads."""
        forces: Points = self.pushing @ self.push_totals(push)
        return forces

    @cached_property
    def pushing(self) -> Points:
        """The forces of a pull of 1 N and of the two moments of 1 N mm, in columns.

        They pull both bodies apart by the face that lies away from the joint.
        """
        whole = np.zeros((3 * self.solids.count, 3))
        for body, sign in enumerate(self.solids.signs):
            whole += sign * self.far(body)
        return whole


def heads_of(bolts: list[dict[str, Any]], share: float) -> list[BearingRing]:
    """Where heads and nuts bear, with cells of a `share` of the width that they bear on."""
    found = []
    for bolt in bolts:
        for end in (bolt["head"], bolt["foot"]):
            if end is not None and "away" in end:
                inner, outer = end["inner"], _bearing(end["inner"], end["outer"])
                cell = share * (outer - inner)
                found.append(BearingRing(end["body"], end["away"], bolt["at"], inner, outer, cell))
    return found


def _bearing(inner: float, outer: float) -> float:
    """Outer radius of the ring that a head bears on, of its least width at least, mm."""
    return max(outer, inner + THIN)


def _ring(at: tuple[float, float], inner: float, outer: float) -> Points:
    """Places over a ring, each for the same force, denser outwards: a head that stays plane presses so.

    Boussinesq's rigid punch, p ~ 1 / sqrt(1 - (r / outer)^2): Johnson, Contact Mechanics, 1985, eq. 3.34, from memory.
    """
    circles, count = RING
    outer = _bearing(inner, outer)
    beyond = 1 - (np.arange(circles) + 0.5) / circles  # share of the force that is further out than the place
    radii = np.sqrt(outer**2 - beyond**2 * (outer**2 - inner**2))
    angles = np.arange(count) * 2 * np.pi / count
    places: Points = np.concatenate(
        [np.column_stack([at[0] + r * np.cos(angles), at[1] + r * np.sin(angles)]) for r in radii]
    )
    return places
