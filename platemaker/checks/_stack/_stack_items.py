"""Everything that takes room in the stack, as figures in its frame, and what may touch or enter what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from functools import cached_property
from itertools import combinations
from pathlib import Path
from typing import TypeAlias

from platemaker.checks._stack._between import Solid, box_about, box_around
from platemaker.checks._stack._boss_rail import injectors_owner, seat_height
from platemaker.checks._stack._own_bores import OwnBore, own_bores
from platemaker.checks._stack._squared import squared
from platemaker.parts import Envelope, EnvelopeKind, Injector, Part, Stack, Vec3
from platemaker.records import Record, field, replace
from platemaker.remembered import known
from platemaker.resolved import Bolt, exact_figure, matter_of, resolved_stack
from platemaker.space import Box3, Cylinder, Frame, box_gap

Pair: TypeAlias = frozenset[str]


class ItemKind(StrEnum):
    """What an item is."""

    PART = "part"
    BODY = "body"
    BOLT = "bolt"
    SHANK = "shank"
    INJECTOR = "injector"
    FITTING = "fitting"


class StackItem(Record):
    """Something that takes room: its figures in the stack's frame. `unit` names the one piece that it is part of.

    `owner` is the part or body; for bolts, their group; `on` the part that an injector or fitting is fitted to.
    `outside` is what of it counts against some other owners: what stands outside a bore in them.
    """

    name: str
    owner: str
    unit: str
    kind: ItemKind
    figures: tuple[Solid, ...]
    outside: Mapping[str, tuple[Solid, ...]] = field(default_factory=dict)
    on: str = ""

    @cached_property
    def boxes(self) -> tuple[Box3, ...]:
        """A box about each figure, for prisms that of the corners of their regions' boxes."""
        return tuple(box_around(figure) for figure in self.figures)

    @cached_property
    def box(self) -> Box3:
        """The box about them all."""
        return box_about(self.boxes)

    def moved(self, by: Vec3) -> StackItem:
        """The item shifted."""
        outside = {owner: tuple(figure.moved(by) for figure in figures) for owner, figures in self.outside.items()}
        return replace(self, figures=tuple(figure.moved(by) for figure in self.figures), outside=outside)

    def against(self, owner: str) -> StackItem:
        """The item as it counts against what another owner has."""
        figures = self.outside.get(owner)
        return self if figures is None else replace(self, figures=figures)


def items_near(box: Box3, items: Iterable[StackItem], window: float) -> Iterator[StackItem]:
    """The items whose boxes come within the window of a box; quick where most are far off along one axis."""
    x0, y0, z0, x1, y1, z1 = box
    for item in items:
        a0, b0, c0, a1, b1, c1 = item.box
        off = a0 - x1 > window or x0 - a1 > window or b0 - y1 > window or y0 - b1 > window
        if not (off or c0 - z1 > window or z0 - c1 > window) and box_gap(box, item.box) <= window:
            yield item


class Contents(Record):
    """The items of a stack, its bolts, and which pairs of owners are no strangers.

    `touching` may touch; of `entering` one stands in the other; `looped` touch as well as a bracket's loop closes;
    `sunk` are bolts and what lies on the face that their heads are sunk in; `bored` touch where one stands in its bore
    in the other.
    """

    items: tuple[StackItem, ...]
    fasteners: tuple[Bolt, ...]
    touching: frozenset[Pair]
    entering: frozenset[Pair]
    looped: frozenset[Pair]
    sunk: frozenset[Pair]
    bored: frozenset[Pair]
    unplaced: tuple[str, ...] = ()


def contents_of(stack: Stack) -> Contents:
    """Parts, bodies, bolts, injectors and fittings, each where it stands.

    Raises SpecError for a body whose STEP file gives none. Only such a body loads the solid kernel.
    """
    fasteners, bores = _placed_bolts(stack), own_bores(stack)
    bodies, injectors = tuple(_bodies(stack)), tuple(injectors_of(stack, bores))
    items = [*_parts(stack, bores), *bodies, *_bolts(fasteners), *injectors, *fittings_of(stack.parts)]
    lost = [part.name for part in stack.parts if not part.places]
    lost += sorted({body.name for body in stack.bodies} - {item.name for item in bodies})
    touching, entering = _contacts(stack, fasteners)
    bored = frozenset(_bored(stack, bores))
    looped = frozenset(one.joins for one in fasteners if one.group not in {joint.name for joint in stack.joints})
    sunk = frozenset(_sunk(stack, fasteners))
    return Contents(tuple(map(known, items)), fasteners, touching | bored, entering, looped, sunk, bored, tuple(lost))


def _sunk(stack: Stack, fasteners: Iterable[Bolt]) -> Iterator[Pair]:
    """Bolts with sunk heads, and what joints lay on their heads' owner without being held by them."""
    groups = [set(owners) for owners in _joined(stack)]
    for one in fasteners:
        beside = set().union(*(owners for owners in groups if one.owner in owners)) if one.seat.sunk else set()
        yield from (frozenset((bolts_owner(one.group), other)) for other in beside - one.joins)


def _placed_bolts(stack: Stack) -> tuple[Bolt, ...]:
    """The bolts whose head, and nut where there is one, have a place in the stack."""
    return tuple(one for one in resolved_stack(stack).bolts if one.seat.placed and (one.nut is None or one.nut.placed))


def _joined(stack: Stack) -> Iterator[list[str]]:
    """What meets at each joint: its two owners, its gasket and its shim."""
    for one in resolved_stack(stack).joints:
        yield [*(side.owner for side in one.sides), *one.sheets]


Bores: TypeAlias = Mapping[str, tuple[OwnBore, ...]]


def _outside(figures: Iterable[Cylinder], place: Frame, bore: OwnBore) -> dict[str, tuple[Solid, ...]]:
    return dict.fromkeys(bore.owners, tuple(figure.placed(place) for figure in figures))


def _parts(stack: Stack, bores: Bores) -> Iterator[StackItem]:
    for part in stack.parts:
        matter, own = matter_of(squared(part, stack)) if part.places else (), bores.get(part.name)
        for number, place in enumerate(part.places, 1):
            name = part.name if len(part.places) == 1 else f"{part.name} {number}"
            outside = _outside(own[number - 1].boss_outside(), place, own[number - 1]) if own else {}
            yield StackItem(name, part.name, name, ItemKind.PART, tuple(one.placed(place) for one in matter), outside)


def _bodies(stack: Stack) -> Iterator[StackItem]:
    for body in stack.bodies:
        if body.envelope is None:
            continue
        figure = _envelope_figure(body.envelope, stack.folder, body.place)
        if figure is not None:
            yield StackItem(body.name, body.name, body.name, ItemKind.BODY, (figure,))


def _envelope_figure(given: Envelope, folder: Path | None, place: Frame | None) -> Solid | None:
    """The figure of a body's envelope where it stands; None without a place. A STEP file is read without one too."""
    if given.kind is not EnvelopeKind.STEP:
        return exact_figure(given).placed(place) if place else None
    if folder is None:
        return None
    from platemaker.solids import ImportedBody, envelope_solid, placed  # noqa: PLC0415 - loads the solid kernel

    solid = envelope_solid(given, folder)
    return ImportedBody.of(placed(solid, place)) if place else None


def bolts_owner(group: str) -> str:
    """The owner that a group's bolts have as items."""
    return f"{group} bolts"


def _bolts(fasteners: Iterable[Bolt]) -> Iterator[StackItem]:
    for one in fasteners:
        for what, figure in one.figures().items():
            kind = ItemKind.SHANK if what == "shank" else ItemKind.BOLT
            yield StackItem(f"{one.name} {what}", bolts_owner(one.group), one.name, kind, (figure,))


def injectors_of(stack: Stack, bores: Bores) -> Iterator[StackItem]:
    """Injectors from their shoulders up: the ends below stand in their bosses, whose room they have."""
    for row in stack.rows:
        bosses, own = stack.find_part(row.bosses), bores.get(row.bosses)
        if row.injector is None or bosses is None:  # of some parts the bosses need not be one
            continue
        figures = injector_figures(row.injector, seat_height(bosses))[1:]
        for number, place in enumerate(bosses.places, 1):
            placed = tuple(figure.placed(place) for figure in figures)
            outside = {}
            if own:
                bore = own[number - 1]
                outside = _outside((piece for one in figures for piece in bore.outside(one)), place, bore)
            name = f"injector {number}"
            yield StackItem(name, injectors_owner(row.rail), name, ItemKind.INJECTOR, placed, outside, row.bosses)


def _bored(stack: Stack, bores: Bores) -> Iterator[Pair]:
    """Bosses and what they are bored into, and injectors that stand in a bore beyond their boss."""
    for name, own in bores.items():
        yield from (frozenset((name, owner)) for bore in own for owner in bore.owners)
    for row in stack.rows:
        if row.injector is None:
            continue
        figures = injector_figures(row.injector, seat_height(stack.part(row.bosses)))[1:]
        for bore in bores.get(row.bosses, ()):
            if any(bore.takes(figure) for figure in figures):
                yield from (frozenset((injectors_owner(row.rail), owner)) for owner in bore.owners)


def injector_figures(injector: Injector, shoulder: float) -> tuple[Cylinder, ...]:
    """Boss end, body and rail end, along Z of a boss whose seat for the shoulder is at a height, mm."""
    foot, neck = shoulder - injector.boss_end.length, shoulder + injector.length - injector.rail_end.length
    top = shoulder + injector.length
    return (
        Cylinder((0.0, 0.0, foot), (0.0, 0.0, shoulder), injector.boss_end.diameter / 2),
        Cylinder((0.0, 0.0, shoulder), (0.0, 0.0, neck), injector.diameter / 2),
        Cylinder((0.0, 0.0, neck), (0.0, 0.0, top), injector.rail_end.diameter / 2),
    )


def fittings_of(parts: Iterable[Part]) -> Iterator[StackItem]:
    """The room of each hole's fitting, where its part stands."""
    for part in parts:
        for hole in part.holes:
            if hole.fitting is None:
                continue
            wide, long = hole.fitting
            figure = Cylinder(hole.at, hole.point(-long), wide / 2)
            for number, place in enumerate(part.places, 1):
                one = part.name if len(part.places) == 1 else f"{part.name} {number}"
                name = f"{one} {hole.name} fitting"
                yield StackItem(
                    name, f"{part.name} fittings", name, ItemKind.FITTING, (figure.placed(place),), on=part.name
                )


def _contacts(stack: Stack, fasteners: Iterable[Bolt]) -> tuple[frozenset[Pair], frozenset[Pair]]:
    """Pairs that a joint, a shared bolt, a thread or a bore lets touch; pairs of which one stands in the other."""
    touching: set[Pair] = set()
    entering: set[Pair] = set()
    for owners in _joined(stack):
        touching |= {frozenset(pair) for pair in combinations(owners, 2)}
    for one in fasteners:
        touching |= {frozenset(pair) for pair in combinations(sorted(one.joins), 2)}
        touching |= {frozenset((bolts_owner(one.group), owner)) for owner in one.joins}
        # What a body's envelope holds over its own flange is not known.
        flanges = (seat.owner for seat in (one.seat, one.nut) if seat is not None and seat.part is None)
        entering |= {frozenset((bolts_owner(one.group), owner)) for owner in flanges}
    for row in stack.rows:  # their fit in boss and rail is checked by itself
        entering |= {frozenset((injectors_owner(row.rail), other)) for other in (row.bosses, row.rail)}
    for part in stack.parts:
        touching |= {frozenset((part.name, f"{part.name} fittings"))}
        if part.body:
            entering |= {frozenset((part.name, part.body))}
    return frozenset(touching), frozenset(entering)
