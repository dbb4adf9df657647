"""Room for tools: can each bolt be turned and drawn out straight, and in which order do all of them go in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._stack._assembly_order import Held, Order, assembly_order
from platemaker.checks._stack._boss_rail import injectors_owner
from platemaker.checks._stack._reach import WINDOW, Reach, ends_of, other_ways, reach_of
from platemaker.checks._stack._stack_items import Contents, ItemKind, bolts_owner, contents_of
from platemaker.checks._stack._standing_studs import Lifted, check_in_line, lift_finding, lifted
from platemaker.parts import Joint, Stack
from platemaker.records import replace
from platemaker.resolved import HEADED, resolved_stack
from platemaker.units import joined, said

TOOL_ROOM, ORDER = "PM661", "PM662"

FREE = Limit(0.0, "mm", "the room of tool and bolt stays free; sizes of tools from the catalog or common practice")

TITLE, NUT_TITLE = "room for tool and bolt", "room for tool and nut"

Groups = Mapping[str, Sequence[Reach]]


def check_tool_room(stack: Stack, contents: Contents) -> Iterator[Finding]:
    """Each group of bolts at its tightest head and nut, and the order in which the groups can be tightened."""
    groups, order, lifts = _ordered(stack, contents)
    yield from check_in_line(stack, contents)
    yield from (lift_finding(stack, one) for one in lifts)
    for name, reached in groups.items():
        yield _group_finding(stack, name, [one for one in reached if not one.end.is_nut], order)
        nuts = [one for one in reached if one.end.is_nut]
        if nuts:
            yield _group_finding(stack, name, nuts, order)
    for joint, what, body in _unseated(stack):
        reason = f"where the {what} sit on {body} is not specified"
        yield not_checked(TOOL_ROOM, TITLE, body, (joint.name,), reason)
    if groups:
        yield _order_finding(stack, order, groups)


def assembly_sequence(stack: Stack) -> tuple[str, ...]:
    """Groups of bolts, and fittings, in an order in which each can be reached; none where some stand in the way."""
    _, order, _ = _ordered(stack, contents_of(stack))
    return () if order.stuck else order.groups


def _ordered(stack: Stack, contents: Contents) -> tuple[Groups, Order, tuple[Lifted, ...]]:
    """How each group of bolts is reached, the order found, and the lifts over standing studs in that order.

    What is stuck is tried in other ways too.
    """
    items = [item for item in contents.items if item.figures]
    groups: dict[str, list[Reach]] = {}
    for one in contents.fasteners:
        groups.setdefault(one.group, []).extend(reach_of(end, items) for end in ends_of(one))
    fixed = _fixed(stack, contents)
    held = _held(stack, contents, groups)
    order = assembly_order(held, fixed)
    if order.stuck:
        groups = {name: [other_ways(r, items) if name in order.stuck else r for r in groups[name]] for name in groups}
        held = _held(stack, contents, groups)
        order = assembly_order(held, fixed)
    return groups, *_with_lifts(stack, contents, held, order, fixed)


def _with_lifts(
    stack: Stack, contents: Contents, held: Sequence[Held], order: Order, fixed: frozenset[str]
) -> tuple[Order, tuple[Lifted, ...]]:
    """The order in which what stops a lift over studs is taken off before, where there is one; and its lifts."""
    fast = _one_piece(stack)
    lifts = tuple(lifted(stack, contents, held, order, fast))
    for _ in held:
        stops = {(one.bolt.group, item.owner) for one in lifts if one.stopped_by for item in [one.stopped_by[1]]}
        if not stops:
            break
        held = [replace(one, behind=one.behind | _in_the_way(one.name, stops, fast)) for one in held]
        other = assembly_order(held, fixed)
        if other.stuck:
            break
        order, before = other, lifts
        lifts = tuple(lifted(stack, contents, held, order, fast))
        if lifts == before:
            break
    return order, lifts


def _in_the_way(group: str, stops: set[tuple[str, str]], fast: Mapping[str, str]) -> frozenset[str]:
    return frozenset(fast.get(owner, owner) for name, owner in stops if name == group)


def _unseated(stack: Stack) -> Iterator[tuple[Joint, str, str]]:
    """Joints whose heads or nuts sit on a body of unspecified thickness there: which of the two, and on which body."""
    known = resolved_stack(stack)
    for one in known.joints:
        for side in one.sides:
            unknown = side.part is None and side.face.flange_thickness is None
            if one.joint.bolts is not None and side.face.role in HEADED and unknown:
                yield one.joint, "nuts" if known.bolts_of(one.joint.name) else "heads", side.owner


def _held(stack: Stack, contents: Contents, groups: Groups) -> list[Held]:
    """Each group of bolts, the highest first: what it joins, what goes on and off with it, who stands in its way.

    Bolts that hold the same pieces are all started before any is tightened (common practice), so each group has the
    others beside it. A pipe fitting is a group of its own that nothing is in the way of: it can always go in last.
    """
    fast = _one_piece(stack)
    loose = {part.name for part in stack.parts if part.is_gasket_or_shim}
    held = []
    top_down = sorted(groups.items(), key=lambda pair: -max(reach.end.bolt.seat.at[2] for reach in pair[1]))
    for name, reached in top_down:
        joins = frozenset[str]().union(*(reach.end.bolt.joins for reach in reached))
        behind = frozenset[str]().union(*(reach.blockers for reach in reached)) - {bolts_owner(name)}
        own = frozenset({bolts_owner(name)} | (joins & loose))
        pieces = frozenset(fast.get(owner, owner) for owner in joins - loose)
        held.append(Held(name, pieces, own, frozenset(fast.get(owner, owner) for owner in behind)))
    held = [replace(one, beside=_beside(one, held)) for one in held]
    fittings = [item for item in contents.items if item.kind is ItemKind.FITTING]
    known = {one.name for one in held}
    # Bolts whose heads nobody placed are not in the way, and hold what they join on to the rest.
    held += [
        Held(joint.name, frozenset(fast.get(face.owner, face.owner) for face in joint.faces), frozenset(), frozenset())
        for joint, _, _ in _unseated(stack)
        if joint.name not in known
    ]
    return [
        *(Held(item.name, frozenset({item.owner.removesuffix(" fittings")}), frozenset({item.owner}), frozenset())
          for item in fittings),
        *held,
    ]  # fmt: skip


def _beside(group: Held, held: Sequence[Held]) -> frozenset[str]:
    """The bolts of the other groups that hold the same pieces."""
    return frozenset(bolts_owner(one.name) for one in held if one.joins == group.joins and one.name != group.name)


def _fixed(stack: Stack, contents: Contents) -> frozenset[str]:
    """What no bolt of the stack holds: it stands where it is from the beginning."""
    fast = _one_piece(stack)
    bolted = {fast.get(owner, owner) for one in contents.fasteners for owner in one.joins}
    bolted |= {fast.get(face.owner, face.owner) for joint, _, _ in _unseated(stack) for face in joint.faces}
    whole = {fast.get(item.owner, item.owner) for item in contents.items if item.kind in (ItemKind.PART, ItemKind.BODY)}
    return frozenset(whole - bolted)


def _one_piece(stack: Stack) -> dict[str, str]:
    """What is fast without bolts: bosses in their casting, a casting in its body, injectors under their rail."""
    found = {part.name: part.body for part in stack.parts if part.body}
    for row in stack.rows:
        found[row.bosses] = found.get(row.casting, row.casting)
        found[injectors_owner(row.rail)] = row.rail
    return found


def _group_finding(stack: Stack, name: str, reached: Sequence[Reach], order: Order) -> Finding:
    """The tightest head, or nut, of a group, against what is there when its turn comes."""
    end = reached[0].end
    title, owner = NUT_TITLE if end.is_nut else TITLE, end.owner
    present = order.present[name] | {piece for piece, of in _one_piece(stack).items() if of in order.present[name]}
    near = [(hit, reach) for reach in reached if (hit := reach.nearest(present)) is not None]
    ways = ", ".join(dict.fromkeys(reach.way for reach in reached))
    later = sorted(frozenset[str]().union(*(reach.blockers for reach in reached)) - present)
    note = f"with {ways}" + (f"; before {', '.join(later)} goes on" if later else "")
    if end.seat.part is None:
        note += f"; the shape of {owner} over its flange is not known"
    if not near:
        stated = joined(note, said("nothing_nearer", window=(WINDOW, "mm")))
        group = f"{name} nuts" if end.is_nut else name
        return measured(TOOL_ROOM, title, owner, (group,), WINDOW, FREE, note=stated)
    least = min(hit.distance for hit, _ in near)
    hit, reach = min((one for one in near if one[0].distance <= least), key=lambda pair: pair[0].separation.distance)
    found = hit.separation
    place = next((part.places[0] for part in stack.parts if part.name == owner and len(part.places) == 1), None)
    points = [place.to_local(point) if place else point for point in (found.point_a, found.point_b)]
    features = (reach.end.name, hit.item.name)
    return measured(TOOL_ROOM, title, owner, features, found.distance + 0.0, FREE, points=points, note=note)


def _order_finding(stack: Stack, order: Order, groups: Groups) -> Finding:
    """The order found, or the groups that stand in each other's way."""
    title, source = "order of assembly", "every bolt is reached before something covers it; how parts move is not asked"
    limit, names = Limit(len(groups), "groups", source), tuple(name for name in order.groups if name in groups)
    if not order.stuck:
        note = "tighten in this order: " + ", ".join(order.groups)
        return measured(ORDER, title, stack.name, names, len(groups), limit, note=note)
    stated = "; ".join(f"{name} behind {', '.join(sorted(behind))}" for name, behind in order.stuck.items())
    reached = len(groups) - len(order.stuck)
    return measured(ORDER, title, stack.name, tuple(order.stuck), reached, limit, note=f"no order reaches: {stated}")
