"""Height of the stack: how far below the ceiling each body and part stays, with gaskets as thick as they may be."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._stack._between import box_of
from platemaker.checks._stack._stack_items import Contents, ItemKind, StackItem
from platemaker.parts import Stack, Vec3
from platemaker.units import joined, said

HEIGHT = "PM681"


def check_height(stack: Stack, contents: Contents) -> Iterator[Finding]:
    """Each body, and the highest of everything else, under the ceiling that the spec gives."""
    title, room = "room below the ceiling", stack.room
    if room.ceiling is None:
        yield not_checked(HEIGHT, title, stack.name, ("ceiling",), "stack.ceiling is not specified")
        return
    limit = Limit(room.below_ceiling, "mm", "the spec, stack.below_ceiling")
    for name in contents.unplaced:
        yield not_checked(HEIGHT, title, name, (name, "ceiling"), "it has no place in the stack, or no envelope")
    zero = next((f"Z = 0 is the face of {one.name} at {one.datum}" for one in stack.bodies if one.datum), "")
    for name, owner, top in _tops(contents):
        low, high = gasket_range(stack, owner)
        note = said("top_by_gaskets", by=((low, high), "mm"), top=(top[2], "mm")) if high > low else ""
        inputs = [("top", top[2], "mm"), ("ceiling", room.ceiling, "mm"), ("gaskets, most", high, "mm")]
        left = room.ceiling - top[2] - high
        yield measured(HEIGHT, title, owner, (name, "ceiling"), left, limit, points=[top],
                       note=joined(note, zero), inputs=inputs)  # fmt: skip


def _tops(contents: Contents) -> Iterator[tuple[str, str, Vec3]]:
    """Name, owner and highest point of each body, then of what is highest of everything else."""
    solid = [item for item in contents.items if item.figures]
    bodies = [item for item in solid if item.kind is ItemKind.BODY]
    others = [item for item in solid if item.kind not in (ItemKind.BODY, ItemKind.SHANK)]
    for item in [*bodies, *([max(others, key=lambda one: one.box[5])] if others else [])]:
        yield item.name, item.owner, top_of(item)


def top_of(item: StackItem) -> Vec3:
    """The highest point's height over the middle of the item's box, in the stack's frame."""
    highest = max((box_of(figure) for figure in item.figures), key=lambda box: box[5])
    return (highest[0] + highest[3]) / 2, (highest[1] + highest[4]) / 2, highest[5]


def gasket_range(stack: Stack, owner: str) -> tuple[float, float]:
    """How much lower, and higher, a part or body may come by the gaskets between it and the first body, mm.

    Thicknesses as fitted; a gasket whose range the spec does not state counts as it is. 0 for what no joint reaches.
    """
    links: dict[str, list[tuple[str, float, float]]] = {}
    for joint in stack.joints:
        if joint.lower is None or joint.upper is None:
            continue
        sheet, (low, high) = joint.gasket, (0.0, 0.0)
        if sheet is not None and sheet.fitted is not None:
            low, high = sheet.fitted[0] - sheet.thickness, sheet.fitted[1] - sheet.thickness
        links.setdefault(joint.lower.owner, []).append((joint.upper.owner, low, high))
        links.setdefault(joint.upper.owner, []).append((joint.lower.owner, -high, -low))
    if not stack.bodies:
        return 0.0, 0.0
    reached = {stack.bodies[0].name: (0.0, 0.0)}
    waiting = list(reached)
    while waiting:
        here = waiting.pop()
        for there, low, high in links.get(here, []):
            if there not in reached:
                reached[there] = (reached[here][0] + low, reached[here][1] + high)
                waiting.append(there)
    return reached.get(owner, (0.0, 0.0))
