"""Clearance of bodies that are given as STEP files: the solid kernel measures them, and loads for them only."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from platemaker.checks._finding import Finding, Limit
from platemaker.checks._near import CLEARANCE, CONTACT, TOUCHING, WINDOW, Near, gap
from platemaker.checks._stack_items import Contents, Item, ItemKind, Pair, Solid
from platemaker.parts import Body, Envelope, EnvelopeKind, Stack, Vec3
from platemaker.plane import Circle
from platemaker.solids import Solid as KernelSolid
from platemaker.solids import distance, envelope_solid, load_step, placed
from platemaker.space import Box3, Cylinder, Frame


def check_imported(stack: Stack, contents: Contents, limit: Limit) -> Iterator[Finding]:
    """Each body from a STEP file against everything else near it, once for each two owners.

    An overlap is told by its volume; its depth is taken as the edge of a cube of that volume.
    """
    if stack.folder is None:
        return
    for body in contents.imported:
        if body.place is None or body.envelope is None:
            continue
        read = load_step(stack.folder / body.envelope.file)
        solid, around = placed(read.shape, body.place), _placed_box(read.bounds, body.place)
        best: dict[Pair, Near] = {}
        for item in contents.items:
            key = frozenset((body.name, item.owner))
            if key not in contents.entering and gap(item.box, around) <= WINDOW * limit.fail:
                _keep(best, key, _nearest(body, solid, around, item), WINDOW * limit.fail)
        for key, found in best.items():
            joined = key in contents.touching
            if joined and found.a.kind is ItemKind.SHANK:
                continue
            title = "joined parts touch" if joined else "clearance in the stack"
            yield found.finding(stack, CONTACT if joined else CLEARANCE, title, TOUCHING if joined else limit)


def _keep(best: dict[Pair, Near], key: Pair, found: Near, window: float) -> None:
    if found.distance <= window and (key not in best or found.distance < best[key].distance):
        best[key] = found


def _nearest(body: Body, solid: KernelSolid, around: Box3, item: Item) -> Near:
    """The body and an item at their nearest: figure by figure, those whose boxes are near first."""
    own = Item(body.name, body.name, body.name, ItemKind.BODY, ())
    best: Near | None = None
    volume = 0.0
    ranked = sorted(zip(item.figures, item.boxes, strict=True), key=lambda pair: gap(pair[1], around))
    for figure, box in ranked:
        if best is not None and gap(box, around) > max(0.0, best.distance):
            break
        found = distance(_kernel_solid(figure), solid)
        volume += found.overlap
        signed = -(volume ** (1.0 / 3.0)) if volume > 0 else found.distance
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


def _placed_box(box: Box3, place: Frame) -> Box3:
    corners: list[Vec3] = [
        place.to_world((x, y, z)) for x in (box[0], box[3]) for y in (box[1], box[4]) for z in (box[2], box[5])
    ]
    low, high = [min(c[i] for c in corners) for i in range(3)], [max(c[i] for c in corners) for i in range(3)]
    return low[0], low[1], low[2], high[0], high[1], high[2]
