"""Plates and strips on sheets for the tests of films, as the calculation reads them; lengths in mm."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from platemaker.project import Project, load

Plain = list[list[list[float]]]
CASES = ("bolted up, low", "bolted up, high", "settled", "cold", "boost", "backfire", "vacuum")
BOX = """
project: small
units: mm
design: {boost: 1 bar, friction: lubricated, preload_share: 0.5, temperature: 80 degC}
joints:
  lid:
    title: Cover on its box
    bolts: {pattern: {rectangle: [120, 60]}, thread: M6, head: hex, length: 20, washers: true}
    opening: {rectangle: [80, 30], corner_radius: 6}
    gasket: {thickness: 0.8, land: 5}
parts:
  box:
    title: Box
    kind: plate
    material: 6061-T6
    thickness: 25
    outline: {around: [lid], margin: 9}
    above: {lid: {holes: tapped, thread_depth: 16}}
    opening: {match: lid, cutter: 10}
    marks: {front: {text: FRONT, at: [-50, 20]}}
  cover:
    title: Cover
    kind: plate
    material: 6061-T6
    thickness: 8
    outline: {around: [lid], margin: 9}
    below: {lid: {holes: clear}}
    pocket: {shape: {rectangle: [80, 30], corner_radius: 6}, side: below, depth: 3, cutter: 10}
    marks: {front: {text: FRONT, at: [-50, 20]}}
"""
"""A shallow box with a cover of 8 mm on four bolts, 120 mm apart along its longer sides."""


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


def film(
    names: tuple[str, ...], leak: float, *, coarse: float | None = None, bolts: int = 10,
    at: tuple[float, float] = (-0.5, -0.5),
) -> dict[str, object]:  # fmt: skip
    """An answer of two meshes with two cells, whose leaks meet `leak` MPa, and `coarse` on the coarser one."""

    def case(name: str, met: float, values: list[float]) -> dict[str, object]:
        sealed = {"boost": 0.06, "backfire": 0.3, "vacuum": 0.03}.get(name, 0.0)
        return {
            "name": name, "pressure": values, "closure": [0.01 * one for one in values], "bolts": [5000.0] * bolts,
            "balance": 1e-6, "contact": 1.0, "bow": 0.01, "leak": met, "path": [[0.0, 0.0], [1.0, 0.0]],
            "at": list(at), "sealed": sealed, **({"before": [5100.0] * bolts} if sealed else {}),
        }  # fmt: skip

    def mesh(met: float, values: list[float]) -> dict[str, object]:
        return {
            "size": 9.0, "cells": 10, "unknowns": 30, "land": 100.0, "start": [-1.0, -1.0], "pitch": 1.0,
            "shape": [1, 2], "cells_of_land": [0, 1], "cases": [case(name, met, values) for name in names],
        }  # fmt: skip

    return {"meshes": [mesh(leak if coarse is None else coarse, []), mesh(leak, [leak, 2 * leak])], "seconds": 1.0}


def box_project(folder: Path, *changed: tuple[str, str]) -> Project:
    """The box with its cover, with other words in its spec."""
    text = BOX
    for old, new in changed:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return load(folder)
