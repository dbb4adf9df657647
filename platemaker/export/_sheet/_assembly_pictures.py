"""The order of assembly in pictures: the stack after each step, what the step adds in grey."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.checks import ItemKind, hardware
from platemaker.export._sheet._list_sheet import LINE, BoxedInk
from platemaker.parts import EnvelopeKind, Part, Stack
from platemaker.plane import Region
from platemaker.resolved import ResolvedStack, exact_figure, matter_of, resolved
from platemaker.space import Cylinder, Frame, Prism
from platemaker.views import LEAST, Clip, Ink, Shaded, Text, known, oblique_ink, seen_box, wrapped

IN_A_ROW, ROOM, INSET = 4, 52.0, 2.0
"""Pictures beside each other; height of one and room round it, mm."""
ADDED, HELD, THERE = 0.72, 0.88, 1.0
"""Shades of what a step adds, of what it holds, of what is there already."""
WORDS = 3
"""Lines of words below a picture."""


def held_by(known_stack: ResolvedStack, group: str) -> tuple[str, ...]:
    """What a group of bolts holds: of a joint its sides from below and what lies between; nothing for a fitting."""
    joint = next((one for one in known_stack.joints if one.joint.name == group), None)
    if joint is not None:
        return (*(side.owner for side in joint.sides), *joint.sheets)
    return tuple(sorted(frozenset[str]().union(*(bolt.joins for bolt in known_stack.bolts_of(group)))))


def assembly_pictures(
    stack: Stack, known_stack: ResolvedStack, order: Sequence[str], titles: Mapping[str, str], width: float
) -> Iterator[BoxedInk]:
    """Rows of pictures over `width`, mm: a picture for each group of bolts whose pieces have a place in the stack.

    Pressed bosses come with the body of their casting, a fitting as the room that it takes. A body that only a STEP
    file describes is left out; the heading says so.
    """
    fittings = {one.name: one for one in hardware(stack) if one.kind is ItemKind.FITTING}
    figures = {**dict(_figures(stack)), **{name: one.figures for name, one in fittings.items()}}
    held_in = {group: held_by(known_stack, group) for group in order}
    held_in |= {name: (one.on, name) for name, one in fittings.items()}
    steps = [(number, group, held_in[group]) for number, group in enumerate(order, 1) if held_in[group]]
    pressed = {part.name: stack.part(part.fit.casting).body for part in stack.parts if part.fit is not None}
    there: set[str] = set()
    drawn: list[tuple[int, str, list[Shaded]]] = []
    for number, group, held in steps:
        own = (*held, *(name for name, body in pressed.items() if body in held))
        # A fitting is small, and may stand behind the rest: it has its own part alone about it, as large as fits.
        about = {name for name, one in fittings.items() if group in fittings and one.on == held[0]}
        seen = sorted(there & about if about else there)
        shade = dict.fromkeys(seen, THERE) | {name: HELD if name in there else ADDED for name in own}
        there |= set(own)
        drawn.append((number, titles[group], [Shaded(figures[name], shade[name]) for name in shade if name in figures]))
    drawn = [one for one in drawn if one[2]]
    if not drawn:
        return
    lost = sorted(body.name for body in stack.bodies if body.name in there and body.name not in figures)
    heading = "IN PICTURES: dark is what a step adds, light what else it holds" + (
        f"; not drawn: {', '.join(lost)}" if lost else ""
    )
    whole = [Shaded(figures[name], THERE) for name in sorted(there) if name in figures]
    scenes = [(*one, one[2] if order[one[0] - 1] in fittings else whole) for one in drawn]
    for first in range(0, len(drawn), IN_A_ROW):
        ink = tuple(_row(scenes[first : first + IN_A_ROW], width / IN_A_ROW))
        yield BoxedInk(width, ROOM + WORDS * LINE, ink, "" if first else heading, ())


def _row(row: Sequence[tuple[int, str, list[Shaded], list[Shaded]]], wide: float) -> Iterator[Ink]:
    """Pictures beside each other, each by number, title, its pieces, and those that fill its frame."""
    for place, (number, title, pieces, whole) in enumerate(row):
        x0, y0, x1, y1 = seen_box(whole)
        scale = min((wide - 2 * INSET) / (x1 - x0), (ROOM - 2 * INSET) / (y1 - y0))
        left, low = place * wide, WORDS * LINE
        shift = left + (wide - scale * (x0 + x1)) / 2, low + (ROOM - scale * (y0 + y1)) / 2
        yield Clip((left, low, left + wide, low + ROOM), tuple(oblique_ink(pieces, scale, shift)))
        lines = wrapped(known(f"{number} {title}"), LEAST, wide - 2 * INSET)[:WORDS]
        for line, text in enumerate(lines, 1):
            yield Text(text, (left + INSET, low - LINE * line + 1.2), LEAST)


def _figures(stack: Stack) -> Iterator[tuple[str, tuple[Prism | Cylinder, ...]]]:
    """What stands in place, by name, in the stack's frame."""
    for part in stack.parts:
        if part.places and part.made:
            shape = _shape(part)
            yield part.name, tuple(one.placed(place) for place in part.places for one in shape)
    for body in stack.bodies:
        if body.envelope is not None and body.place is not None and body.envelope.kind is not EnvelopeKind.STEP:
            yield body.name, (exact_figure(body.envelope).placed(body.place),)


def _shape(part: Part) -> tuple[Prism | Cylinder, ...]:
    """A part without its holes and pockets, which a small picture cannot show."""
    if part.plate is None:
        return matter_of(part)
    plan = resolved(part).blank.region
    openings = [region.outer for cut in part.profiles if cut.through for region in cut.regions]
    return (Prism(Region.of(plan.outer, openings), Frame(), part.stock.height),)
