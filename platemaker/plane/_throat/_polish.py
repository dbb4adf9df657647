"""A closed walk made exact: its contacts moved along walls, edges and steps until no small move makes it cheaper.

Each contact gets a window of places on its chart; the cheapest choice of one place for each is found at once, contact
after contact; then the windows close in on it. What a walk costs depends on the square of how far its contacts are off,
so contacts placed to within `FINEST` give its area to 1e-9 mm2 and less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._table import TOUCH, EdgeTable
from platemaker.plane._throat._cells import lengths
from platemaker.plane._throat._charts import Charts, Leg, Places, Rails, places
from platemaker.plane._throat._contacts import Chain, Chainer, Link, Links, WalkPart, curves_of, strands
from platemaker.plane._throat._plan import Plan
from platemaker.plane._throat._rails import Ground, Spots
from platemaker.plane._throat._ways import NEAR, Ways, bent, is_clear, stacked
from platemaker.plane._winding import turned
from platemaker.records import Record

REACHES = (3.0, 1.0, 0.3)
"""How far contacts may move, in distances between samples: less where they moved over an opening's part on the way."""

WINDOW = (1.0, 0.45, 0.18, 0.06, 0.02)
"""Places in a window to either side of its middle, as shares of its half width: contacts that hang together move by
very different amounts.
"""

CLOSE_IN = 6.0
"""How many times a window becomes narrower when its contacts stand still."""

FINEST = 1e-4
"""Half width of the last windows, mm."""

MOST_TURNS = 60
"""Windows that are tried at most."""

COARSE = 100.0
"""The windows before Newton's rule close in to this part of the distance between samples."""

STENCIL = 1e-3
"""Distance, mm, over which costs are taken to be parabolas."""

MOST_STEPS = 8
"""Steps by Newton's rule at most."""

FLAT = 1e-6
"""Curvature of the cost, as a share of the greatest, below which a direction counts as level: half done in rounding."""

LAZY = 1e-9
"""What it costs a contact to move by one place, mm2."""

AWRY = 1e-9
"""Sine of the angle by which a straight way may leave on the wrong side of a stretch: the rounding of one along it."""

ARC_AWRY = 3e-4
"""The same for an arc. What one that touches a stretch costs changes with the third power of this angle, 1e-11 times
the depth squared; were none allowed, contacts could reach the touching place along one way only.
"""


class Piece(Record):
    """A piece of a polished walk: its curves, the row of its state (-1 for a run), and the stretches that it begins and
    ends on (for a run, those that it runs along).
    """

    curves: EdgeTable
    state: int
    stretches: tuple[int, ...]


class Polished(Record):
    """A closed walk with its contacts where they cost least: what it costs, mm2, and its pieces from wall to wall."""

    cost: float
    strands: tuple[tuple[Piece, ...], ...]


def polished(ground: Ground, spots: Spots, ways: Ways, rows: Sequence[int], rails: Rails, fine: float) -> Polished:
    """A closed walk of ways (rows) made exact."""
    walk = ways.take(np.array(rows, dtype=np.intp))
    total = 0.0
    made: list[tuple[Piece, ...]] = []
    for parts in strands(ground, spots, walk):
        before = float(sum(walk.cost[list(part.ways)].sum() for part in parts))
        own = tuple(_as_it_is(ground, spots, walk, part) for part in parts)
        if len(parts) > 1 or not _is_exact(ground, spots, parts[0]):
            for reach in REACHES:
                saved, moved = _moved(Chainer(ground, spots, rails, reach * fine), parts, fine)
                if moved and _are_clear(ground.plan, moved) and _go_the_same_way(ground, own, moved):
                    before, own = before - saved, moved
                    break
        total += before
        made.append(own)
    return Polished(total, tuple(made))


def _moved(chainer: Chainer, parts: Sequence[WalkPart], fine: float) -> tuple[float, tuple[Piece, ...]]:
    """What a strand costs less once its contacts have moved, mm2, and its pieces; none where that cannot be found."""
    chain = chainer.chain(parts)
    charts = Charts.of(chainer.ground.plan, chain.charts, complex(chainer.spots.at[parts[0].tail]))
    links = Links.of(chain, charts)
    start = _costs(links, charts, np.zeros((len(links.link), 1)))[:, 0, 0]
    if not np.isfinite(start).all():
        return 0.0, ()
    u = _settled(links, charts, fine)
    end = _costs(links, charts, u[:, None])[:, 0, 0]
    return float((start - end).sum()), tuple(_pieces(chain, links, charts, u, end))


def _go_the_same_way(ground: Ground, before: Sequence[Piece], after: Sequence[Piece]) -> bool:
    """Whether a strand that has moved has passed over no base point: it goes round each as often as before."""
    old, new = (stacked([piece.curves for piece in pieces]) for pieces in (before, after))
    ends = EdgeTable.straight(
        np.array([old.start[0], new.end[-1]]), np.array([new.start[0], old.end[-1]])
    )  # the ends move along walls
    about = ground.frame.bases[:, None]
    turn = turned(new, about).sum(axis=1) + turned(ends, about).sum(axis=1) - turned(old, about).sum(axis=1)
    return bool((np.abs(turn) < 1.0).all())


def _is_exact(ground: Ground, spots: Spots, part: WalkPart) -> bool:
    """Whether a strand is one gap between two walls, which is nearest already, or one closed run."""
    if part.legs:
        return part.tail == part.head
    walled = all(ground.plan.walls[spots.stretch[spot]] for spot in (part.tail, part.head))
    return walled and ground.plan.states[part.state].sign == 0


def _as_it_is(ground: Ground, spots: Spots, walk: Ways, part: WalkPart) -> Piece:
    if part.legs:
        return Piece(curves_of(ground.plan, part.legs), -1, tuple(leg.stretch for leg in part.legs))
    ends = int(spots.stretch[part.tail]), int(spots.stretch[part.head])
    return Piece(walk.curves.take(list(part.ways)), part.state, ends)


def _are_clear(plan: Plan, pieces: Sequence[Piece]) -> bool:
    """Whether the pieces that go through a state meet no stretch on their way and keep to their state."""
    through_one = [piece for piece in pieces if piece.state >= 0 and lengths(piece.curves)[0] > NEAR]
    if not through_one:
        return True
    curves = stacked([piece.curves for piece in through_one])
    rows = np.nonzero(~_along(plan, curves))[0]
    state = np.array([piece.state for piece in through_one])[rows]
    curves = curves.take(rows)
    touching = max(NEAR, 3 * ARC_AWRY * float(plan.depths.max()))  # where an arc that leaves awry comes back
    return bool(is_clear(curves, plan.table, touching).all() and (plan.states_at(curves.point(0.5)) == state).all())


def _along(plan: Plan, curves: EdgeTable) -> Booleans:
    """Which curves run along a stretch, as those side by side on it do."""
    middle = curves.point(0.5)[:, None]
    found: Booleans = np.abs(plan.table.nearest(middle) - middle).min(axis=1) <= TOUCH
    return found


def _settled(links: Links, charts: Charts, fine: float) -> Floats:
    """The coordinate of each contact where the strand costs least."""
    u, wide = _windowed(links, charts, np.zeros(len(links.chart)), fine, max(fine / COARSE, FINEST))
    u, done = _by_newton(links, charts, u)
    return u if done else _windowed(links, charts, u, wide, FINEST)[0]


def _windowed(links: Links, charts: Charts, u: Floats, wide: float, finest: float) -> tuple[Floats, float]:
    """Better coordinates by windows of a half width that falls from `wide` to `finest`, mm, and the width left."""
    low, high = (side[links.chart] for side in charts.ends)
    count = len(links.chart)
    closed = bool((links.link != Link.FREE).all())
    steps = np.array([*(-part for part in WINDOW), *reversed(WINDOW)])
    # Where places cost the same, as they do along a straight run, a contact stays where it is.
    move = LAZY * np.concatenate([[0.0], np.abs(steps), [1.0]])
    calm = 0
    for turn in range(MOST_TURNS):
        window = np.clip(u[:, None] + wide * steps, low[:, None], high[:, None])
        window = np.concatenate([u[:, None], window, _vertices(charts, links.chart, u, wide)], axis=1)
        first = turn % count if closed else 0
        if closed:
            window[first] = u[first]
        chosen = _choice(_costs(links, charts, window) + move[:, None], first, closed=closed)
        moved = window[np.arange(count), chosen]
        calm = calm + 1 if np.abs(moved - u).max() <= wide / 4 else 0
        u = moved
        if calm > int(closed):
            wide, calm = wide / CLOSE_IN, 0
            if wide < finest:
                break
    return u, wide


def _by_newton(links: Links, charts: Charts, u: Floats) -> tuple[Floats, bool]:
    """Better coordinates by Newton's rule, and whether they are the best: where the costs are smooth, away from
    vertices and from ways that leave along a stretch. Contacts that coincide side by side move together.
    """
    count = len(u)
    after, before = (np.arange(count) + 1) % count, (np.arange(count) - 1) % count
    together = (links.link == Link.NEAR) & (np.abs(u - u[after]) <= AWRY)
    group = _groups(together, after)
    leg = charts.leg_at(links.chart, u[:, None])[:, 0]
    low, high = charts.begin[leg] + 2 * STENCIL, charts.begin[leg] + charts.size[leg] - 2 * STENCIL
    best, kept = np.inf, u
    for _ in range(MOST_STEPS):
        costs = _costs(links, charts, u[:, None] + STENCIL * np.array([-1.0, 0.0, 1.0]))
        costs[together] = 0.0
        total = float(costs[:, 1, 1].sum())
        smooth: Booleans = np.abs(costs).max(axis=(1, 2)) < np.inf
        free = (u > low) & (u < high) & smooth & smooth[before]
        if total > best + LAZY:
            return kept, False
        if total > best - LAZY:
            return u, bool(free.all())
        best, kept = total, u
        slope, bend = _derivatives(np.where(smooth[:, None, None], costs, 0.0), group, after)
        held = np.zeros(int(group.max()) + 1, dtype=bool)
        held[group[~free]] = True
        rows = np.nonzero(~held)[0]
        if not len(rows):
            return u, False
        values, vectors = np.linalg.eigh(bend[np.ix_(rows, rows)])
        strong = values > FLAT * max(1.0, float(values.max()))
        step = np.zeros(len(held))
        step[rows] = -(vectors[:, strong] / values[strong]) @ (vectors[:, strong].T @ slope[rows])
        u = np.clip(u + np.clip(step, -1.0, 1.0)[group], np.minimum(u, low), np.maximum(u, high))
    return kept, False


def _groups(together: Booleans, after: Integers) -> Integers:
    """A number for each contact, the same for those that move together with the next."""
    label = np.arange(len(together))
    for k in np.nonzero(together)[0].tolist():
        one, other = label[k], label[after[k]]
        label[label == other] = one
    found: Integers = np.unique(label, return_inverse=True)[1]
    return found


def _derivatives(costs: Floats, group: Integers, after: Integers) -> tuple[Floats, Floats]:
    """Gradient and second derivatives of the sum of costs (link, its place, the next place) over a stencil of three."""
    size = int(group.max()) + 1
    slope, bend = np.zeros(size), np.zeros((size, size))
    here, there = group, group[after]
    middle = costs[:, 1, 1]
    np.add.at(slope, here, (costs[:, 2, 1] - costs[:, 0, 1]) / (2 * STENCIL))
    np.add.at(slope, there, (costs[:, 1, 2] - costs[:, 1, 0]) / (2 * STENCIL))
    np.add.at(bend, (here, here), (costs[:, 2, 1] - 2 * middle + costs[:, 0, 1]) / STENCIL**2)
    np.add.at(bend, (there, there), (costs[:, 1, 2] - 2 * middle + costs[:, 1, 0]) / STENCIL**2)
    cross = (costs[:, 2, 2] - costs[:, 2, 0] - costs[:, 0, 2] + costs[:, 0, 0]) / (4 * STENCIL**2)
    np.add.at(bend, (here, there), cross)
    np.add.at(bend, (there, here), cross)
    return slope, bend


def _vertices(charts: Charts, chart: Integers, u: Floats, reach: float) -> Floats:
    """The nearest vertex on each chart within reach of a coordinate, or else the coordinate."""
    leg = charts.leg_at(chart, u[:, None])[:, 0]
    begin, end = charts.begin[leg], charts.begin[leg] + charts.size[leg]
    nearest = np.where(np.abs(begin - u) <= np.abs(end - u), begin, end)
    return np.where(np.abs(nearest - u) <= reach, nearest, u)[:, None]


def _choice(costs: Floats, first: int, *, closed: bool) -> Integers:
    """The cheapest place in each window: costs (contact, its place, the next one's place), from contact `first` on.

    A closed strand begins and ends with the first place of that contact; an open one has a free link at its end.
    """
    count, wide = costs.shape[:2]
    total = np.zeros(wide)
    if closed:
        total[1:] = np.inf
    order = [(first + k) % count for k in range(count)]
    came = []
    for k in order[:-1]:
        tried = total[:, None] + costs[k]
        came.append(tried.argmin(axis=0))
        total = tried.min(axis=0)
    chosen = np.zeros(count, dtype=np.intp)
    at = int((total + costs[order[-1]][:, 0]).argmin() if closed else total.argmin())
    for k, back in zip(reversed(order), (*reversed(came), None), strict=True):
        chosen[k] = at
        at = int(back[at]) if back is not None else at
    return chosen


def _costs(links: Links, charts: Charts, window: Floats) -> Floats:
    """What each link costs between each place of its contact's window and each of the next one's, mm2."""
    count, wide = window.shape
    here = places(charts, links.chart, window)
    after = (np.arange(count) + 1) % count
    found = np.zeros((count, wide, wide))
    ahead = here.u[after][:, None, :] - here.u[:, :, None]
    along = here.cost[after][:, None, :] - here.cost[:, :, None]
    for kind in (Link.THROUGH, Link.RUN, Link.NEAR, Link.ASHORE):
        rows = np.nonzero(links.link == kind)[0]
        if not len(rows):
            continue
        if kind is Link.THROUGH:
            found[rows] = np.inf
        elif kind is Link.RUN:
            length, cost = links.length[rows, None, None], links.cost[rows, None, None]
            found[rows] = np.where(ahead[rows] + length >= -AWRY, along[rows] + cost, np.inf)
        elif kind is Link.NEAR:
            found[rows] = np.where(ahead[rows] >= 0, along[rows], np.abs(along[rows]))
        else:  # along the stretch to where it meets the wall, and free along the wall
            walled = links.walled[rows, None, None]
            found[rows] = np.where(walled, np.abs(here.cost[after[rows]])[:, None, :], np.abs(here.cost[rows, :, None]))
    across = _across(charts, here, links.row, after[links.row], links.state)
    for row, cost in zip(links.row.tolist(), across, strict=True):
        np.minimum(found[row], cost, out=found[row])
    return found


def _across(charts: Charts, here: Places, rows: Integers, after: Integers, state: Integers) -> Floats:
    """What ways through one state cost from each place of some windows to each of the windows after them, mm2."""
    plan = charts.plan
    sign, depth = plan.signs[state][:, None, None], plan.depths[state][:, None, None]
    p, q = here.at[rows][:, :, None], here.at[after][:, None, :]
    way = q - p
    size = np.abs(way)
    unit = way / np.where(size > 0, size, 1.0)
    cost = size * depth
    leaving = arriving = unit
    awry = np.full(size.shape, AWRY)
    if sign.any():
        bends = sign != 0
        fits = bends & (size <= 2 * depth)
        bend = np.where(fits, -sign * np.arcsin(np.minimum(size / (2 * depth), 1.0)), 0.0)
        swept = ((p - charts.origin).conj() * (q - charts.origin)).imag / 2
        swept += depth**2 * (2 * bend - np.sin(2 * bend)) / 2
        swept += _rim(charts, here, rows)[:, :, None] - _rim(charts, here, after)[:, None, :]
        each = plan.signs[state]
        ends = here.rim[rows, :, each][:, :, None] & here.rim[after, :, each][:, None, :]
        fits &= ends
        cost = np.where(fits, 2 * depth * depth * np.abs(bend) + sign * swept, np.where(bends, np.inf, cost))
        awry = np.where(fits, np.minimum(ARC_AWRY, np.abs(bend) / 10), AWRY)
        turn = np.exp(1j * bend)
        leaving, arriving = unit * turn.conj(), unit * turn
    good = _on_its_side(here, rows, state, awry, leaving, after=False)
    good &= _on_its_side(here, after, state, awry, -arriving, after=True)
    return np.where(good | (size == 0), cost, np.inf)


def _rim(charts: Charts, here: Places, rows: Integers) -> Floats:
    """The potential of a cell on its rim; 0 on steps inside it."""
    signs = charts.plan.signs
    return np.where(signs[here.left[rows]] != signs[here.right[rows]], here.swept[rows], 0.0)


def _on_its_side(
    here: Places, rows: Integers, state: Integers, awry: Floats, heading: Complexes, *, after: bool
) -> Booleans:
    """Whether the headings leave the places of some windows to the side where the state lies."""
    of = state[:, None]
    columns = (
        here.out[rows], here.into[rows], (here.left[rows] == of) | (here.left_before[rows] == of),
        (here.right[rows] == of) | (here.right_before[rows] == of),
    )  # fmt: skip
    out, into, left, right = (column[:, None, :] if after else column[:, :, None] for column in columns)
    of_out, of_into = _cross(out, heading), _cross(into, heading)
    # The left side is the sector from `out` counter-clockwise to the way back: less than half a turn at a left turn.
    narrow = _cross(into, out) >= 0
    left_out, left_in = of_out >= -awry, of_into >= -awry
    right_out, right_in = of_out <= awry, of_into <= awry
    on_left = np.where(narrow, left_out & left_in, left_out | left_in)
    on_right = np.where(narrow, right_out | right_in, right_out & right_in)
    found: Booleans = (on_left & left) | (on_right & right)
    return found


def _cross(a: Complexes, b: Complexes) -> Floats:
    found: Floats = a.real * b.imag - a.imag * b.real
    return found


def _pieces(chain: Chain, links: Links, charts: Charts, u: Floats, costs: Floats) -> Iterator[Piece]:
    """The pieces of a strand whose contacts are at such coordinates."""
    plan = charts.plan
    here = places(charts, links.chart, u[:, None])
    leg = charts.leg_at(links.chart, u[:, None])[:, 0]
    for k, link in enumerate(chain.link):
        after = (k + 1) % len(u)
        start, end, part = here.at[k], here.at[after], chain.part[k]
        if link is Link.FREE or (link is not Link.RUN and abs(end - start)[0] <= 0.0):
            continue
        if part is not None and part.legs:
            legs = _trimmed(chain, links, charts, u, k)
            if legs:
                yield Piece(curves_of(plan, legs), -1, tuple(x.stretch for x in legs))
            continue
        state = part.state if part is not None else _state_between(links, charts, here, k, after, float(costs[k]))
        if state < 0:
            if link is Link.NEAR:
                legs = _legs_between(charts, int(links.chart[k]), *sorted((float(u[k]), float(u[after]))))
            else:
                rail = after if links.walled[k] else k
                legs = _legs_between(charts, int(links.chart[rail]), *sorted((0.0, float(u[rail]))))
            if legs:
                yield Piece(curves_of(plan, legs), -1, tuple(x.stretch for x in legs))
            continue
        sign = float(plan.signs[state])
        curve = bent(start, end, plan.depths[[state]], np.array([-sign])) if sign else EdgeTable.straight(start, end)
        yield Piece(curve, state, (int(charts.stretch[leg[k]]), int(charts.stretch[leg[after]])))


def _state_between(links: Links, charts: Charts, here: Places, k: int, after: int, cost: float) -> int:
    """The state through which a link goes that may run along its chart, or -1 where it does that."""
    states = links.state[links.row == k]
    rows, then = np.full(len(states), k), np.full(len(states), after)
    across = _across(charts, here, rows, then, states)[:, 0, 0]
    return int(states[across.argmin()]) if len(states) and across.min() <= cost else -1


def _legs_between(charts: Charts, chart: int, low: float, high: float) -> list[Leg]:
    """The legs of a chart between two coordinates."""
    found = []
    for row in range(int(charts.first[chart]), int(charts.last[chart])):
        begin, size = float(charts.begin[row]), float(charts.size[row])
        a, b = max(begin, low), min(begin + size, high)
        if b > a:
            share, span = float(charts.share[row]), float(charts.span[row])
            found.append(
                Leg(int(charts.stretch[row]), share + span * (a - begin) / size, share + span * (b - begin) / size)
            )
    return found


def _trimmed(chain: Chain, links: Links, charts: Charts, u: Floats, k: int) -> list[Leg]:
    """The legs of a run between its contacts where they are now."""
    after = (k + 1) % len(u)
    length = float(links.length[k])
    begin, end = float(u[k]), length + float(u[after])
    return [
        *_legs_between(charts, int(links.chart[k]), begin, min(0.0, end)),
        *_legs_between(charts, chain.runs[k], max(begin, 0.0), min(end, length)),
        *_legs_between(charts, int(links.chart[after]), max(0.0, begin - length), end - length),
    ]
