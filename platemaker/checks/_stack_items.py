"""Everything that takes room in the stack, as figures in its frame, and what may touch or enter what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from itertools import combinations
from typing import TypeAlias

from platemaker.checks._boss_rail import seat_height
from platemaker.checks._fasteners import Fastener, fasteners_of, sheet_names
from platemaker.checks._squared import squared
from platemaker.parts import Body, EnvelopeKind, Injector, Part, Row, Stack, Vec3
from platemaker.resolved import matter_of
from platemaker.space import Box3, Cylinder, Frame, Prism, bounding_box, box

Solid: TypeAlias = Cylinder | Prism
Pair: TypeAlias = frozenset[str]


class ItemKind(StrEnum):
    """What an item is."""

    PART = "part"
    BODY = "body"
    BOLT = "bolt"
    SHANK = "shank"
    INJECTOR = "injector"
    FITTING = "fitting"


@dataclass(frozen=True)
class Item:
    """Something that takes room: its figures in the stack's frame. `unit` names the one piece that it is part of.

    `owner` is the part or body; for bolts, their group.
    """

    name: str
    owner: str
    unit: str
    kind: ItemKind
    figures: tuple[Solid, ...]

    @cached_property
    def boxes(self) -> tuple[Box3, ...]:
        """A box about each figure, for prisms that of the corners of their regions' boxes."""
        return tuple(_around(figure) for figure in self.figures)

    @cached_property
    def box(self) -> Box3:
        """The box about them all."""
        low = [min(one[i] for one in self.boxes) for i in range(3)]
        high = [max(one[i + 3] for one in self.boxes) for i in range(3)]
        return low[0], low[1], low[2], high[0], high[1], high[2]

    def moved(self, by: Vec3) -> Item:
        """The item shifted."""
        return Item(self.name, self.owner, self.unit, self.kind, tuple(figure.moved(by) for figure in self.figures))


def _around(figure: Solid) -> Box3:
    if isinstance(figure, Cylinder):
        return bounding_box(figure)
    x0, y0, x1, y1 = figure.region.bounds
    corners = [figure.frame.to_world((x, y, z)) for x in (x0, x1) for y in (y0, y1) for z in (0.0, figure.height)]
    low, high = [min(c[i] for c in corners) for i in range(3)], [max(c[i] for c in corners) for i in range(3)]
    return low[0], low[1], low[2], high[0], high[1], high[2]


@dataclass(frozen=True)
class Contents:
    """The items of a stack, its bolts, and which pairs of owners are no strangers.

    `touching` may touch; of `entering` one stands in the other; `looped` touch as well as a bracket's loop closes;
    `sunk` are bolts and what lies on the face that their heads are sunk in.
    """

    items: tuple[Item, ...]
    fasteners: tuple[Fastener, ...]
    touching: frozenset[Pair]
    entering: frozenset[Pair]
    looped: frozenset[Pair]
    sunk: frozenset[Pair]
    unplaced: tuple[str, ...] = ()
    imported: tuple[Body, ...] = field(default=())


def contents_of(stack: Stack) -> Contents:
    """Parts, bodies, bolts, injectors and fittings, each where it stands. Bodies from STEP files are kept apart."""
    fasteners = fasteners_of(stack)
    items = [
        *_parts(stack), *_bodies(stack.bodies), *_bolts(fasteners), *_injectors(stack), *_fittings(stack.parts),
    ]  # fmt: skip
    step = tuple(b for b in stack.bodies if b.place and b.envelope and b.envelope.kind is EnvelopeKind.STEP)
    lost = [part.name for part in stack.parts if not part.places]
    lost += [body.name for body in stack.bodies if body.envelope is None or body.place is None]
    touching, entering = _contacts(stack, fasteners)
    looped = frozenset(one.joins for one in fasteners if one.group not in {joint.name for joint in stack.joints})
    sunk = frozenset(_sunk(stack, fasteners))
    return Contents(tuple(items), fasteners, touching, entering, looped, sunk, tuple(lost), step)


def _sunk(stack: Stack, fasteners: Iterable[Fastener]) -> Iterator[Pair]:
    """Bolts with sunk heads, and what joints lay on their heads' owner without being held by them."""
    groups = [set(owners) for owners in _joined(stack)]
    for one in fasteners:
        beside = set().union(*(owners for owners in groups if one.head_owner in owners)) if one.sunk else set()
        yield from (frozenset((bolts_owner(one.group), other)) for other in beside - one.joins)


def _joined(stack: Stack) -> Iterator[list[str]]:
    """What meets at each joint: its two owners, its gasket and its shim."""
    sheets = sheet_names(stack)
    for joint in stack.joints:
        owners = [face.owner for face in joint.faces]
        yield owners + sheets.get(joint.name, [])


def _parts(stack: Stack) -> Iterator[Item]:
    for part in stack.parts:
        matter = matter_of(squared(part, stack)) if part.places else ()
        for number, place in enumerate(part.places, 1):
            name = part.name if len(part.places) == 1 else f"{part.name} {number}"
            yield Item(name, part.name, name, ItemKind.PART, tuple(figure.placed(place) for figure in matter))


def _bodies(bodies: Iterable[Body]) -> Iterator[Item]:
    for body in bodies:
        figure = envelope_figure(body)
        if figure is not None and body.place is not None:
            yield Item(body.name, body.name, body.name, ItemKind.BODY, (figure.placed(body.place),))


def envelope_figure(body: Body) -> Solid | None:
    """The figure of a body's envelope in its own frame; None without one, and for a STEP file."""
    given = body.envelope
    if given is None or given.kind is EnvelopeKind.STEP:
        return None
    width, depth, height = given.size
    if given.circle is not None:
        x, y = given.circle.centre
        return Cylinder((x, y, 0.0), (x, y, height), given.circle.radius)
    if given.region is not None:
        return Prism(given.region, Frame(), height)
    return box((-width / 2, -depth / 2, 0.0), (width / 2, depth / 2, height))


def bolts_owner(group: str) -> str:
    """The owner that a group's bolts have as items."""
    return f"{group} bolts"


def _bolts(fasteners: Iterable[Fastener]) -> Iterator[Item]:
    for one in fasteners:
        for what, figure in one.figures().items():
            kind = ItemKind.SHANK if what == "shank" else ItemKind.BOLT
            yield Item(f"{one.name} {what}", bolts_owner(one.group), one.name, kind, (figure,))


def injectors_owner(rail: str) -> str:
    """The owner that the injectors under a rail have as items."""
    return f"{rail} injectors"


def _injectors(stack: Stack) -> Iterator[Item]:
    """Injectors from their shoulders up: the ends below stand in their bosses, whose room they have."""
    for row in stack.rows:
        if row.injector is None:
            continue
        bosses = stack.part(row.bosses)
        figures = injector_figures(row.injector, seat_height(bosses))[1:]
        for number, place in enumerate(bosses.places, 1):
            placed = tuple(figure.placed(place) for figure in figures)
            name = f"injector {number}"
            yield Item(name, injectors_owner(row.rail), name, ItemKind.INJECTOR, placed)


def injector_figures(injector: Injector, shoulder: float) -> tuple[Cylinder, ...]:
    """Boss end, body and rail end, along Z of a boss whose seat for the shoulder is at a height, mm."""
    foot, neck = shoulder - injector.boss_end.length, shoulder + injector.length - injector.rail_end.length
    top = shoulder + injector.length
    return (
        Cylinder((0.0, 0.0, foot), (0.0, 0.0, shoulder), injector.boss_end.diameter / 2),
        Cylinder((0.0, 0.0, shoulder), (0.0, 0.0, neck), injector.diameter / 2),
        Cylinder((0.0, 0.0, neck), (0.0, 0.0, top), injector.rail_end.diameter / 2),
    )


def _fittings(parts: Iterable[Part]) -> Iterator[Item]:
    for part in parts:
        for hole in part.holes:
            if hole.fitting is None:
                continue
            (x, y, z), (u, v, w), (wide, long) = hole.at, hole.direction, hole.fitting
            figure = Cylinder(hole.at, (x - long * u, y - long * v, z - long * w), wide / 2)
            for number, place in enumerate(part.places, 1):
                one = part.name if len(part.places) == 1 else f"{part.name} {number}"
                name = f"{one} {hole.name} fitting"
                yield Item(name, f"{part.name} fittings", name, ItemKind.FITTING, (figure.placed(place),))


def _contacts(stack: Stack, fasteners: Iterable[Fastener]) -> tuple[frozenset[Pair], frozenset[Pair]]:
    """Pairs that a joint, a shared bolt, a thread or a bore lets touch; pairs of which one stands in the other."""
    touching: set[Pair] = set()
    entering: set[Pair] = set()
    for owners in _joined(stack):
        touching |= {frozenset(pair) for pair in combinations(owners, 2)}
    for one in fasteners:
        touching |= {frozenset(pair) for pair in combinations(sorted(one.joins), 2)}
        touching |= {frozenset((bolts_owner(one.group), owner)) for owner in one.joins}
    for row in stack.rows:
        entering |= {frozenset((injectors_owner(row.rail), other)) for other in _round_injectors(stack, row)}
    for part in stack.parts:
        touching |= {frozenset((part.name, f"{part.name} fittings"))}
        if part.body:
            entering |= {frozenset((part.name, part.body))}
    for boss, casting in bosses_in_castings(stack):
        entering |= {frozenset((boss.name, other)) for other in (casting.name, casting.body)}
    return frozenset(touching), frozenset(entering)


def _round_injectors(stack: Stack, row: Row) -> Iterator[str]:
    """What injectors stand in: bosses and rail, whose fit is checked by itself; where they are narrow, the casting.

    An injector no wider than the bores that its bosses stand in keeps to the way that the drill came.
    """
    yield from (row.bosses, row.rail)
    casting = stack.part(row.casting)
    bore = min((hole.diameter for hole in casting.holes), default=0.0)
    if row.injector is None or max(row.injector.diameter, row.injector.rail_end.diameter) <= bore:
        yield from (row.casting, casting.body)


def bosses_in_castings(stack: Stack) -> Iterator[tuple[Part, Part]]:
    """Each boss with the casting that its row is bored in."""
    castings = {part.name: part for part in stack.parts if not part.made}
    for part in stack.parts:
        casting = castings.get(f"{part.name}_drilling")
        if casting is not None:
            yield part, casting
