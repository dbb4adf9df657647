"""Figures folded over a hinge: two round features whose removal parts the network may be a mirror for what hangs on.

And a row of holes for one hole that is held by them alone.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from platemaker.survey._adjustment._adjust import Adjusted
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._arrays import Array

MOST = 16
"""Folded figures tried at most."""
NEARLY = 5.0
"""Change of a hole's distances, mm, up to which its image in a row of others is tried: adjusting bends the rest."""


def folded(equations: Equations, solved: Adjusted) -> list[Array]:
    """Unknowns of a fit with one part reflected in a hinge; readings that are excluded do not hold parts together.

    Distances alone do not distinguish such figures; a reading across the hinge does.
    """
    layout = equations.layout
    near = _touching(equations, solved)
    names = (*layout.rounds, *layout.edges)
    found = _over_rows(layout, solved.unknowns, near)
    for i, j in itertools.combinations(range(len(layout.rounds)), 2):
        parts = sorted(_parts(near, (1 << len(names)) - 1 & ~(1 << i) & ~(1 << j)), key=int.bit_count)
        for part in parts[:-1]:
            members = [k for k in range(len(names)) if part >> k & 1]
            found.append(_reflected(layout, solved.unknowns, (i, j), members))
            if len(found) >= MOST:
                return found
    return found


def _over_rows(layout: Layout, unknowns: Array, near: list[int]) -> list[Array]:
    """Unknowns with one hole mirrored in the line nearest to all that it is held by, where that changes little."""
    count, found = len(layout.rounds), list[Array]()
    points = unknowns[: 2 * count].reshape(-1, 2)
    for hole in range(count):
        others = [k for k in range(len(near)) if near[hole] >> k & 1 and k != hole]
        if len(others) < 3 or max(others) >= count:
            continue  # two are a hinge, and an edge has its side
        held = points[others]
        middle = held.mean(axis=0)
        normal = np.linalg.svd(held - middle)[2][1]
        image = points[hole] - 2.0 * float((points[hole] - middle) @ normal) * normal
        change = np.linalg.norm(held - image, axis=1) - np.linalg.norm(held - points[hole], axis=1)
        if float(np.abs(change).max()) < NEARLY:
            found.append(unknowns.copy())
            found[-1][2 * hole : 2 * hole + 2] = image
    return found


def _touching(equations: Equations, solved: Adjusted) -> list[int]:
    """For each feature the others that some active equation joins it to, as bits."""
    layout = equations.layout
    place = {name: k for k, name in enumerate((*layout.rounds, *layout.edges))}
    near = [0] * len(place)
    for observation, weight in zip(equations.observations, solved.weights, strict=True):
        if weight > 0:
            group = [place[name] for name in observation.joins]
            bits = sum(1 << k for k in set(group))
            for k in group:
                near[k] |= bits
    return near


def _parts(near: list[int], left: int) -> Iterator[int]:
    """What hangs together among the features `left`."""
    while left:
        part, front = 0, left & -left
        while front:
            part |= front
            reached = 0
            while front:
                lowest = front & -front
                reached |= near[lowest.bit_length() - 1]
                front ^= lowest
            front = reached & left & ~part
        yield part
        left &= ~part


def _reflected(layout: Layout, unknowns: Array, hinge: tuple[int, int], members: list[int]) -> Array:
    """Some features mirrored in the line through two others."""
    image, count = unknowns.copy(), len(layout.rounds)
    points = image[: 2 * count].reshape(-1, 2)
    at, arm = points[hinge[0]].copy(), points[hinge[1]] - points[hinge[0]]
    turn = math.atan2(arm[1], arm[0])
    mirror = np.array([[math.cos(2 * turn), math.sin(2 * turn)], [math.sin(2 * turn), -math.cos(2 * turn)]])
    shift = at - mirror @ at
    for k in members:
        if k < count:
            points[k] = mirror @ points[k] + shift
        else:
            column = layout.angle(layout.edges[k - count])
            normal = mirror @ np.array([math.cos(image[column]), math.sin(image[column])])
            image[column] = math.atan2(normal[1], normal[0])
            image[column + 1] += float(normal @ shift)
    return image
