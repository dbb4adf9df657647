"""Reasons to refuse an answer: islands, a network that can move, a mirror image or another figure that fits as well."""

from __future__ import annotations

import numpy as np

from platemaker.errors import SurveyError
from platemaker.survey._adjustment._adjust import Adjusted
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._adjustment._rank import candidates, cures, islands, loose_modes, movers, taken_pairs
from platemaker.survey._arrays import Array
from platemaker.survey._figure._outliers import CRITICAL, Explanation
from platemaker.survey._figure._possible import all_lengths
from platemaker.survey._records import Datum, Network

ONE_POINT = 1e-6
"""Round features nearer to each other, mm, lie in one point: the grid of coordinates."""


def require_joined(network: Network) -> None:
    """Refuse when readings leave islands: name them and, unless readings are planned, some that would join two."""
    groups = islands(network)
    if len(groups) == 1:
        return
    kinds = network.by_name
    first, other = groups[0], groups[1]
    mainland = [name for name in first if kinds[name].kind.is_round] or list(first)
    away = [name for name in other if kinds[name].kind.is_round] or list(other)
    pairs = [(mainland[0], away[0]), (mainland[-1], away[0]), (mainland[0], away[-1])]
    wanted = ", ".join(dict.fromkeys(f"{a}-{b}" for a, b in pairs))
    listed = "; ".join(", ".join(group) for group in groups)
    cure = "" if network.waiting else f"; take readings such as {wanted}"
    message = f"the readings leave {len(groups)} islands that nothing joins: {listed}{cure}"
    raise SurveyError(message)


def require_held(network: Network, equations: Equations, best: Explanation) -> None:
    """Refuse when features are free to move: name them and the readings that would hold them, or that contradict."""
    if best.held:
        return
    solved = best.fit
    layout, clash = equations.layout, _clash(equations, solved)
    if clash and _falls_together(layout, solved.unknowns):
        raise SurveyError(clash)
    free = loose_modes(equations, solved)
    moving = movers(layout, solved, free)
    wanted = ", ".join(str(cure) for cure in cures(network, layout, solved, free))
    if clash and not wanted:
        raise SurveyError(clash)
    verb = "is" if len(moving) == 1 else "are"
    cure = f"take also {wanted}" if wanted else "state which features lie on one line, or measure from an edge"
    wrong = "; ".join(dict.fromkeys(equations.observations[row].title for row in best.excluded))
    without = f"{wrong} cannot be right, and without it " if wrong else ""
    message = f"{without}the readings do not hold the network: {', '.join(moving)} {verb} free to move; {cure}"
    raise SurveyError(f"{message}; and {clash}" if clash else message)


def _clash(equations: Equations, solved: Adjusted) -> str:
    """The readings that the best figure misses by far, if any: a triangle that does not close is pulled flat."""
    sizes = np.where(solved.weights > 0, np.abs(solved.residuals) / equations.sigmas, 0.0)
    missed = dict.fromkeys(equations.observations[row].title for row in np.flatnonzero(sizes > CRITICAL))
    if not missed:
        return ""
    return f"the readings contradict each other: no figure fits {'; '.join(missed)}: read them again"


def _falls_together(layout: Layout, unknowns: Array) -> bool:
    """Whether two round features came to lie in one point, where no reading between them has a direction any more."""
    points = unknowns[: 2 * len(layout.rounds)].reshape(-1, 2)
    near = np.linalg.norm(points[:, None] - points[None], axis=2) < ONE_POINT
    return bool(np.triu(near, 1).any())


def require_figure(equations: Equations, best: Explanation, most: int) -> None:
    """Refuse when even the best figure leaves too many readings that do not fit it."""
    if best.agrees:
        return
    sizes = np.abs(best.fit.residuals) / equations.sigmas
    off = [int(row) for row in np.argsort(-sizes) if sizes[row] > CRITICAL]
    named = dict.fromkeys(equations.observations[row].title for row in off)
    message = (
        f"no figure found: at most {most} of {len(equations.observations)} readings and diameters may be wrong, and "
        f"none was found that fits the others; the nearest misses {len(named)}, farthest {'; '.join([*named][:3])}: "
        "check names, kinds and units, then read these again"
    )
    raise SurveyError(message)


def require_mirror_known(network: Network, layout: Layout, moved: Array, scatter: float) -> None:
    """Refuse when the datum leaves open on which side of its line the pattern lies; `scatter` mm is no side."""
    datum = network.datum
    if datum.left or datum.right:
        return
    heights = moved[1 : 2 * len(layout.rounds) : 2]
    if np.abs(heights).max(initial=0.0) > 3 * scatter:
        name = layout.rounds[int(np.argmax(np.abs(heights)))]
        message = (
            f"the readings do not distinguish the pattern from its mirror image: state in the datum whether {name} "
            f"lies left or right of the line from {datum.origin} to {datum.x_towards}"
        )
        raise SurveyError(message)


def require_single(network: Network, layout: Layout, best: Array, rivals: list[Array], apart: float, hint: str) -> None:
    """Refuse when another figure, `rivals` in unknowns, fits as well as the best.

    Name what moves by more than `apart` mm, and the readings that would distinguish them all; `hint` ends the message.
    """
    if not rivals:
        return
    names = _moved_between(network, layout, all_lengths(layout, best), all_lengths(layout, rivals[0]), apart)
    verb = "fits" if len(names) == 1 else "fit"
    count = "two" if len(rivals) == 1 else "several"
    message = f"the readings allow {count} figures: {', '.join(names)} {verb} in two places"
    wanted = _deciding_apart(network, layout, best, rivals, apart)
    if wanted:
        message += f"; read also {', '.join(wanted)}"
        if set(names) <= set(layout.rounds):  # a datum has no sides for edges
            lie = "it lies" if len(names) == 1 else "they lie"
            message += f", or state in the datum on which side of the X line {lie}"
    raise SurveyError(message + hint)


def sides_of(datum: Datum) -> str:
    """The sides that a datum states, in words."""
    stated = [f"{', '.join(names)} {side}" for names, side in ((datum.left, "left"), (datum.right, "right")) if names]
    return " and ".join(stated)


def _moved_between(network: Network, layout: Layout, here: Array, there: Array, apart: float) -> list[str]:
    """The features that lie otherwise: all but the largest group whose distances from each other are the same.

    Edges, where all round features lie as before.
    """
    alike = np.abs(here - there)[:, : len(layout.rounds)] <= apart
    datum = network.datum
    named = {layout.rounds.index(name) for name in (datum.origin, datum.x_towards, *datum.left, *datum.right)}
    largest: list[int] = []
    for row in alike:
        group = [int(i) for i in np.flatnonzero(row)]
        while not alike[np.ix_(group, group)].all():
            group.pop(int(np.argmin(alike[np.ix_(group, group)].sum(axis=0))))
        largest = max(largest, group, key=lambda members: (len(members), len(named.intersection(members))))
    moved = [name for i, name in enumerate(layout.rounds) if i not in largest]
    away = (np.abs(here - there)[:, len(layout.rounds) :] > apart).any(axis=0)
    return moved or [layout.edges[i] for i in np.flatnonzero(away)]


def _deciding_apart(network: Network, layout: Layout, best: Array, rivals: list[Array], apart: float) -> list[str]:
    """Readings which together rule every rival out: each time the one that rules out most, by the widest margin."""
    pairs, _ = candidates(layout, best, taken_pairs(network))
    objects = {name: i for i, name in enumerate((*layout.rounds, *layout.edges))}
    rows = [layout.rounds.index(pair.features[1]) for pair in pairs]
    columns = [objects[pair.features[0]] for pair in pairs]
    spans = all_lengths(layout, best)
    changes = np.array([np.abs(all_lengths(layout, rival) - spans)[rows, columns] for rival in rivals])
    wanted: list[str] = []
    while changes.size and changes.shape[0]:
        deciding = changes > apart
        ranks = deciding.sum(axis=0) + 1e-6 * np.round(np.where(deciding, changes, np.inf).min(axis=0, initial=1e3), 3)
        chosen = int(np.argmax(np.where(deciding.any(axis=0), ranks, -1.0)))
        if not deciding[:, chosen].any():
            break
        wanted.append(str(pairs[chosen]))
        changes = changes[~deciding[:, chosen]]
    return wanted
