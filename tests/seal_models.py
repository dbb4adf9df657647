"""Plates and strips on sheets for the tests of films, as the calculation reads them; lengths in mm."""

from __future__ import annotations

from typing import Any

Plain = list[list[list[float]]]


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[list[float]]:
    return [[x0, y0, x1, y0], [x1, y0, x1, y1], [x1, y1, x0, y1], [x0, y1, x0, y0]]


def circle(x: float, y: float, r: float) -> list[list[float]]:
    return [[x + r, y, x - r, y, x, y + r], [x - r, y, x + r, y, x, y - r]]


def plate(
    blank: Plain, height: float, *, E: float = 200_000.0, nu: float = 0.3, up: bool = True, voids: Any = ()
) -> dict[str, Any]:
    """A plate whose far face is all of its blank."""
    through = [void["region"] for void in voids if void["high"] >= height]
    return {
        "name": "plate", "up": up, "E": E, "nu": nu, "height": height, "blank": blank, "voids": list(voids),
        "far": {"in": [blank], "out": through},
    }  # fmt: skip


def ring(name: str, at: tuple[float, float], away: float, inner: float, outer: float) -> dict[str, Any]:
    """A bolt from a ring on the upper plate down to what does not move."""
    head = {"body": 0, "away": away, "inner": inner, "outer": outer}
    return {"name": name, "at": at, "k": 1e5, "head": head, "foot": None, "up": True}


def case_of(
    bodies: list[dict[str, Any]],
    land: Any,
    k: float,
    bolts: list[dict[str, Any]],
    *,
    opened: Any = (),
    back: float = 0.0,
) -> dict[str, Any]:
    """A case without pressures and loads; `land` are the figures that the sheet fills."""
    return {
        "bodies": bodies, "faces": [{"in": land, "out": []}], "opened": list(opened), "exits": [],
        "outline": land, "pressed": list(opened), "k": k, "back": back or k, "thick": None, "bolts": bolts,
        "ends": {"tightened": 1.0, "settled": 1.0, "hot": None, "cold": 1.0, "most": 1.0},
        "pressures": [], "pushes": [], "meshes": [],
    }  # fmt: skip
