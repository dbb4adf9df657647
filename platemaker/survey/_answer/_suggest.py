"""Which further reading would help most: the covariance is updated for each without adjusting again."""

from __future__ import annotations

import numpy as np

from platemaker.survey._adjustment._adjust import Adjusted
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._adjustment._rank import Candidate, candidates, taken_pairs
from platemaker.survey._adjustment._statistics import median
from platemaker.survey._answer._results import Suggestion
from platemaker.survey._arrays import Array
from platemaker.survey._records import Network

COUNT = 3
"""Suggestions given."""
HELPS = 0.98
"""A reading that leaves more of the longest half axis than this share is not worth taking."""


def suggestions(
    network: Network, equations: Equations, solved: Adjusted, covariance: Array, factor: float
) -> tuple[Suggestion, ...]:
    """The best further readings, by the longest half axis (mm, at `factor`) that is left anywhere.

    With a reading g (standard deviation s) the covariance Q becomes Q - Q g g' Q / (s^2 + g' Q g); s is the middle one
    of those taken, or its own for a reading taken again, which is proposed where no other one helps.
    """
    layout = equations.layout
    before = _major(_blocks(layout, covariance), factor)
    if not before.size or before.max() < 1e-9:
        return ()
    names, rows = candidates(layout, solved.unknowns, taken_pairs(network))
    lengths = [one.sigma for one in equations.observations if one.is_length]
    ways = [(one.features, f"a reading {_way(layout, one)}") for one in names]
    spread = np.full(len(rows), median(lengths) if lengths else 0.05)
    return _ranked(layout, covariance, factor, (ways, rows, spread)) or _ranked(
        layout, covariance, factor, _again(equations, solved)
    )


Further = tuple[list[tuple[tuple[str, ...], str]], Array, Array]
"""Further readings: their features and words, derivatives and deviations."""


def _again(equations: Equations, solved: Adjusted) -> Further:
    taken = [row for row, one in enumerate(equations.observations) if one.is_length and solved.weights[row] > 0]
    words = [equations.observations[row] for row in taken]
    return (
        [(one.features, f"{one.title} taken again") for one in words],
        solved.slopes[taken],
        equations.sigmas[taken],
    )


def _ranked(layout: Layout, covariance: Array, factor: float, further: Further) -> tuple[Suggestion, ...]:
    ways, rows, spread = further
    if not ways:
        return ()
    blocks = _blocks(layout, covariance)
    before = _major(blocks, factor)
    reach = rows @ covariance
    gain = spread**2 + (reach * rows).sum(axis=1)
    felt = reach[:, : 2 * len(layout.rounds)].reshape(len(ways), -1, 2) / np.sqrt(gain)[:, None, None]
    after = _major(blocks[None] - felt[..., :, None] * felt[..., None, :], factor).max(axis=1)
    worst = int(np.argmax(before))
    found = []
    for i in np.argsort(np.round(after, 9), kind="stable")[:COUNT]:
        if after[i] < before[worst] * HELPS:
            features, words = ways[i]
            message = (
                f"{words} would shorten the longest 95 % half axis ({layout.rounds[worst]}) from {before[worst]:.3f} "
                f"to {after[i]:.3f} mm"
            )
            found.append(Suggestion(features, message, layout.rounds[worst], float(before[worst]), float(after[i])))
    return tuple(found)


def _way(layout: Layout, candidate: Candidate) -> str:
    if candidate.features[0] in layout.edges:
        return f"from edge {candidate.features[0]} to {candidate.features[1]}"
    return f"between {candidate.features[0]} and {candidate.features[1]}"


def _blocks(layout: Layout, covariance: Array) -> Array:
    n = len(layout.rounds)
    own = covariance[: 2 * n, : 2 * n].reshape(n, 2, n, 2)
    return np.asarray(own[np.arange(n), :, np.arange(n), :])


def _major(blocks: Array, factor: float) -> Array:
    """Longer half axis of each 2 x 2 covariance."""
    mean = (blocks[..., 0, 0] + blocks[..., 1, 1]) / 2
    spread = np.hypot((blocks[..., 0, 0] - blocks[..., 1, 1]) / 2, blocks[..., 0, 1])
    return np.asarray(np.sqrt(factor * np.maximum(mean + spread, 0.0)))
