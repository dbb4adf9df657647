"""Clearance of bodies that are given as STEP files: the solid kernel measures them, and loads for them only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from pathlib import Path

from platemaker.checks._finding import EQUAL, Finding, Limit
from platemaker.checks._near import CLEARANCE, CONTACT, TOUCHING, WINDOW, Near, gap
from platemaker.checks._slides import slides_of
from platemaker.checks._stack_items import Contents, Item, ItemKind, Pair, Solid
from platemaker.errors import GeometryError
from platemaker.parts import Body, Envelope, EnvelopeKind, Stack, Vec3
from platemaker.plane import Circle
from platemaker.solids import Solid as KernelSolid
from platemaker.solids import bounds_of, distance, envelope_solid, placed
from platemaker.space import Box3, Cylinder, Frame


def check_imported(stack: Stack, contents: Contents, limit: Limit) -> Iterator[Finding]:
    """Each body from a STEP file against everything else near it, once for each two owners.

    An overlap is told by its volume; its depth is taken as the edge of a cube of that volume.
    """
    if stack.folder is None:
        return
    yield from _between_imported(stack, stack.folder, contents, limit)
    for body in contents.imported:
        solid = imported_solid(stack.folder, body)
        around = bounds_of(solid)
        best: dict[Pair, Near] = {}
        for item, by, note in _meetings(stack, contents, body):
            key = frozenset((body.name, item.owner))
            there = _moved(around, by)
            if item.kind is ItemKind.SHANK and key in contents.touching:
                continue  # a bolt stands in what it joins
            if key not in contents.entering and gap(item.box, there) <= WINDOW * limit.fail:
                found = _nearest(body, placed(solid, Frame(by)), there, item)
                _keep(best, key, replace(found, where=note), WINDOW * limit.fail)
        for key, found in best.items():
            yield _told(stack, found, key in contents.touching, limit)


def _between_imported(stack: Stack, folder: Path, contents: Contents, limit: Limit) -> Iterator[Finding]:
    """Every two bodies from STEP files that no joint lets touch, where they stand."""
    for one, other in combinations(contents.imported, 2):
        first, second = imported_solid(folder, one), imported_solid(folder, other)
        if gap(bounds_of(first), bounds_of(second)) > WINDOW * limit.fail:
            continue
        found = distance(first, second)
        near = Near(_bare(one), _bare(other), _signed(found.distance, found.overlap), found.points, found.overlap)
        joined = frozenset((one.name, other.name)) in contents.touching
        if near.distance <= WINDOW * limit.fail:
            yield _told(stack, near, joined, limit)


def _bare(body: Body) -> Item:
    """A body whose figure the kernel has."""
    return Item(body.name, body.name, body.name, ItemKind.BODY, ())


def _signed(apart: float, volume: float) -> float:
    return -(volume ** (1.0 / 3.0)) if volume > 0 else apart


def _told(stack: Stack, near: Near, joined: bool, limit: Limit) -> Finding:
    if joined:
        return near.finding(stack, CONTACT, "joined parts touch", TOUCHING)
    return near.finding(stack, CLEARANCE, "clearance in the stack", limit)


def imported_solid(folder: Path, body: Body) -> KernelSolid:
    """A body's STEP file where it stands in the stack. Raises GeometryError for a body without a place or envelope."""
    if body.place is None or body.envelope is None:
        message = f"{body.name} has no place in the stack, or no envelope"
        raise GeometryError(message)
    return placed(envelope_solid(body.envelope, folder), body.place)


def imported_top(folder: Path, body: Body) -> Vec3:
    """The height of a body's highest point, over the middle of its box, in the stack's frame."""
    x0, y0, _, x1, y1, top = bounds_of(imported_solid(folder, body))
    return (x0 + x1) / 2, (y0 + y1) / 2, top


def _meetings(stack: Stack, contents: Contents, body: Body) -> Iterator[tuple[Item, Vec3, str]]:
    """Everything that takes room where it stands, then what slides past the body, or the body past it, at both ends.

    The vector is how far the body itself has moved.
    """
    still = (0.0, 0.0, 0.0)
    solid = [item for item in contents.items if item.figures]
    yield from ((item, still, "") for item in solid)
    for slide in slides_of(stack, contents.fasteners):
        along = body.name in slide.moves
        for by, note in slide.ends():
            for item in solid:
                if (item.owner in slide.moves) is not along:
                    yield (item, by, note) if along else (item.moved(by), still, note)


def _moved(around: Box3, by: Vec3) -> Box3:
    (x, y, z), (u, v, w) = (around[:3], around[3:])
    return x + by[0], y + by[1], z + by[2], u + by[0], v + by[1], w + by[2]


def _keep(best: dict[Pair, Near], key: Pair, found: Near, window: float) -> None:
    if found.distance <= window and (key not in best or found.distance < best[key].distance - EQUAL):
        best[key] = found


def _nearest(body: Body, solid: KernelSolid, around: Box3, item: Item) -> Near:
    """The body and an item at their nearest: figure by figure, those whose boxes are near first."""
    own = _bare(body)
    best: Near | None = None
    volume = 0.0
    ranked = sorted(zip(item.figures, item.boxes, strict=True), key=lambda pair: gap(pair[1], around))
    for figure, box in ranked:
        if best is not None and gap(box, around) > max(0.0, best.distance):
            break
        found = distance(_kernel_solid(figure), solid)
        volume += found.overlap
        signed = _signed(found.distance, volume)
        if best is None or signed < best.distance:
            best = Near(item, own, signed, found.points, volume)
    return best or Near(item, own, float("inf"), ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)))


def _kernel_solid(figure: Solid) -> KernelSolid:
    here = Path()  # only envelopes from files have a folder
    if isinstance(figure, Cylinder):
        size = (2 * figure.radius, 2 * figure.radius, figure.length)
        upright = Envelope(EnvelopeKind.CYLINDER, size, circle=Circle((0.0, 0.0), figure.radius))
        return placed(envelope_solid(upright, here), Frame.from_normal(figure.start, figure.axis))
    raised = Envelope(EnvelopeKind.PRISM, (0.0, 0.0, figure.height), region=figure.region)
    return placed(envelope_solid(raised, here), figure.frame)
