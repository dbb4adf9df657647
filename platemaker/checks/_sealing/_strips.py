"""The gasket between two bolts: a foundation under the plate as a beam.

Calculated as evenly bolted and straight (Hetenyi); real corners and stiffening ribs are not in it. Good for
distinguishing a sound joint from a poor one, no more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from platemaker.catalog import GasketValues, gasket_values
from platemaker.checks._bolts._pressure import Loaded
from platemaker.checks._finding import Limit, Sense
from platemaker.errors import CatalogError
from platemaker.formulas import (
    Worked,
    flange_characteristic,
    foundation_modulus,
    gasket_load_at_bolt,
    gasket_load_between_bolts,
    gasket_seating_width,
    worked,
)
from platemaker.parts import Joint
from platemaker.plane import Circle, Point, nearest, within_hull
from platemaker.records import Record, replace


class Strip(Record):
    """The gasket between two bolts: spacing, width and flange under it, and its load, each worked out."""

    spacing: float
    spots: tuple[str, str]
    modulus: Worked[float]
    characteristic: Worked[float]
    at_bolt: Worked[float]
    between: Worked[float]
    width: float
    seating: Worked[float]

    @property
    def bow(self) -> float:
        """How much less the gasket is squeezed midway between the bolts than at them, mm."""
        return (self.at_bolt.result - self.between.result) / self.modulus.result

    @property
    def seated(self) -> float:
        """Pressure midway between the bolts on the effective seating width, MPa: what y is held against."""
        return self.between.result / self.seating.result

    def left(self, pull: float) -> float:
        """Pressure left there on twice that width with a line load, N/mm, taken off, MPa: what m p is held against."""
        return (self.between.result - pull) / (2 * self.seating.result)


def neighbours(spots: Mapping[str, Point], about: Point) -> list[tuple[str, str, float]]:
    """Bolts next to each other round a point, and how far apart, mm."""
    ring = sorted(spots.items(), key=lambda spot: math.atan2(spot[1][1] - about[1], spot[1][0] - about[0]))
    if len(ring) < 2:
        return []
    pairs = pairwise((*ring, ring[0]))
    found = [(a[0], b[0], math.dist(a[1], b[1])) for a, b in pairs]
    return found[:1] if len(ring) == 2 else found


def values_of(joint: Joint) -> GasketValues | None:
    """The catalog's values of a joint's gasket; None for a material or thickness without a row."""
    if joint.gasket is None:
        return None
    try:
        return gasket_values(joint.gasket.material, joint.gasket.thickness)
    except CatalogError:
        return None


def strips_of(one: Loaded, F: float) -> tuple[Strip, ...]:
    """Every span between neighbouring bolts of a gasketed joint at a force of each bolt, N; none without values.

    The plate under the heads bends; a second plate is taken to bend as much, a body not at all.
    """
    joint, values = one.joint, values_of(one.joint)
    if joint.gasket is None or values is None or one.line is None:
        return ()
    spots = joint.spots
    if len(one.line.regions) > 1:  # bolts in the webs between openings only help: the ring goes round them all
        spots = {name: at for name, at in spots.items() if not within_hull(at, one.line.regions)} or spots
    pairs = neighbours(spots, one.line.measures.centroid)
    widths = {spot: width_at(one, spot) for spot in dict.fromkeys(spot for pair in pairs for spot in pair[:2])}
    return tuple(_strip(one, values, (a, b), spacing, min(widths[a], widths[b]), F) for a, b, spacing in pairs)


def _strip(one: Loaded, values: GasketValues, spots: tuple[str, str], spacing: float, width: float, F: float) -> Strip:
    seat, thick = one.bolt.seat, one.joint.gasket.thickness if one.joint.gasket else 0.0
    both = one.bolt.tapped is None or one.bolt.tapped.hole is not None
    modulus = worked(foundation_modulus, E_g=values.modulus, b=width, t_g=thick / 2 if both else thick)
    E = (seat.material and seat.material.elastic_modulus) or 0.0
    flange = worked(flange_characteristic, k=modulus.result, E=E, b_f=width, t=seat.thickness)
    lam = flange.result
    return Strip(
        spacing, spots, modulus, flange,
        worked(gasket_load_at_bolt, F=F, s=spacing, lam=lam),
        worked(gasket_load_between_bolts, F=F, s=spacing, lam=lam), width,
        worked(gasket_seating_width, N=width),
    )  # fmt: skip


def pulled_with(strip: Strip, F: float) -> Strip:
    """The same span at another force of each bolt, N."""
    s, lam = strip.spacing, strip.characteristic.result
    at, between = (worked(law, F=F, s=s, lam=lam) for law in (gasket_load_at_bolt, gasket_load_between_bolts))
    return replace(strip, at_bolt=at, between=between)


def widest(strips: Sequence[Strip]) -> Strip:
    """The span with the widest spacing; of equal ones the first, whatever their last bits."""
    return max(strips, key=lambda strip: round(strip.spacing, 6))


def width_at(one: Loaded, spot: str) -> float:
    """Width of gasket that a bolt presses, mm: as far outside its middle as the opening's edge lies inside it.

    Outside it ends at the outline where that is nearer. Holes are not taken off.
    """
    if one.line is None:
        return 0.0
    line, at = one.line, Circle(one.joint.spots[spot], 1e-6)
    inside = min(nearest(at, region).distance for region in line.opened)
    outside = min((nearest(at, edge.region).distance for edge in line.spaces[0].outlines), default=inside)
    return inside + min(inside, outside)


def recovery(values: GasketValues, thickness: float, source: str) -> Limit:
    """What a gasket springs back, mm: caution at half of it."""
    back = thickness * values.compressibility * values.recovery
    return Limit(back, "mm", f"{source}; recovery: {values.source}", back / 2, Sense.AT_MOST)
