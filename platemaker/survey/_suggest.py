"""Which further reading would help most: the covariance is updated for each without adjusting anew."""

from __future__ import annotations

import numpy as np

from platemaker.survey._equations import Array, Equations, Layout
from platemaker.survey._rank import Candidate, candidates, taken_pairs
from platemaker.survey._records import Network
from platemaker.survey._results import Suggestion
from platemaker.survey._statistics import median

COUNT = 3
"""Suggestions given."""


def suggestions(
    network: Network, equations: Equations, unknowns: Array, covariance: Array, factor: float
) -> tuple[Suggestion, ...]:
    """The best further readings, by the longest half axis (mm, at `factor`) that is left anywhere.

    With a reading g (standard deviation s, the middle one of those taken) the covariance Q becomes
    Q - Q g g' Q / (s^2 + g' Q g).
    """
    layout = equations.layout
    names, rows = candidates(layout, unknowns, taken_pairs(network))
    blocks = _blocks(layout, covariance)
    before = _major(blocks, factor)
    if not names or not before.size or before.max() < 1e-9:
        return ()
    lengths = [o.sigma for o in equations.observations if o.reading is None or o.reading.kind.unit == "mm"]
    spread = median(lengths) if lengths else 0.05
    reach = rows @ covariance
    gain = spread**2 + (reach * rows).sum(axis=1)
    last = 2 * len(layout.rounds)
    felt = reach[:, :last].reshape(len(names), -1, 2) / np.sqrt(gain)[:, None, None]
    after = _major(blocks[None] - felt[..., :, None] * felt[..., None, :], factor).max(axis=1)
    worst = int(np.argmax(before))
    found = []
    for i in np.argsort(np.round(after, 9), kind="stable")[:COUNT]:
        if after[i] < before[worst] * 0.98:
            message = (
                f"a reading {_way(layout, names[i])} would shorten the longest 95 % half axis "
                f"({layout.rounds[worst]}) from {before[worst]:.3f} to {after[i]:.3f} mm"
            )
            found.append(
                Suggestion(names[i].features, message, layout.rounds[worst], float(before[worst]), float(after[i]))
            )
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
