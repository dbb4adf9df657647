"""The gasket between two bolts: a foundation under the plate as a beam.

Reckoned as evenly bolted and straight (Hetenyi); real corners and stiffening ribs are not in it. Good for telling a
sound joint from a poor one, no more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from platemaker.catalog import GasketValues, gasket_values
from platemaker.checks._finding import Limit, Sense
from platemaker.checks._pressure import Loaded
from platemaker.errors import CatalogError
from platemaker.formulas import (
    Worked,
    flange_characteristic,
    foundation_modulus,
    gasket_load_at_bolt,
    gasket_load_between_bolts,
    worked,
)
from platemaker.parts import Joint
from platemaker.plane import Circle, Point, nearest


@dataclass(frozen=True)
class Strip:
    """The gasket between two bolts: spacing, width and flange under it, and its load, each worked out."""

    spacing: float
    spots: tuple[str, str]
    modulus: Worked[float]
    characteristic: Worked[float]
    at_bolt: Worked[float]
    between: Worked[float]
    width: float

    @property
    def pressure(self) -> float:
        """Gasket pressure midway between the bolts, MPa."""
        return self.between.result / self.width


def neighbours(joint: Joint, about: Point) -> list[tuple[str, str, float]]:
    """Bolts next to each other round a point, and how far apart, mm."""
    ring = sorted(joint.spots.items(), key=lambda spot: math.atan2(spot[1][1] - about[1], spot[1][0] - about[0]))
    if len(ring) < 2:
        return []
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
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


def strip_of(one: Loaded) -> Strip | None:
    """The widest span between neighbouring bolts of a gasketed joint, at the least preload; None without values.

    The plate under the heads bends; a second plate is taken to bend as much, a body not at all.
    """
    joint, sheet, values = one.joint, one.joint.gasket, values_of(one.joint)
    seat = one.bolt.seat
    if sheet is None or values is None or one.line is None:
        return None
    pairs = neighbours(joint, one.line.measures.centroid)
    if not pairs:
        return None
    a, b, spacing = max(pairs, key=lambda pair: round(pair[2], 6))  # of equal spans the first, whatever their last bits
    width = strip_width(one, (a, b))
    both = one.bolt.tapped is None or one.bolt.tapped.hole is not None
    thick = sheet.thickness / 2 if both else sheet.thickness
    modulus = worked(foundation_modulus, E_g=values.modulus, b=width, t_g=thick)
    E = (seat.material and seat.material.elastic_modulus) or 0.0
    flange = worked(flange_characteristic, k=modulus.result, E=E, b_f=width, t=seat.thickness)
    F, lam = one.preload.low.result, flange.result
    return Strip(
        spacing, (a, b), modulus, flange,
        worked(gasket_load_at_bolt, F=F, s=spacing, lam=lam),
        worked(gasket_load_between_bolts, F=F, s=spacing, lam=lam), width,
    )  # fmt: skip


def strip_width(one: Loaded, pair: tuple[str, str]) -> float:
    """Width of gasket that two bolts press, mm: as far outside their line as the opening's edge lies inside it.

    Outside it ends at the outline where that is nearer. The lesser of the two bolts' counts; holes are not taken off.
    """
    if one.line is None:
        return 0.0
    space, widths = one.line.space, []
    for spot in pair:
        at = Circle(one.joint.spots[spot], 1e-6)
        inside = min(nearest(at, region).distance for region in space.opened)
        outside = min((nearest(at, edge.region).distance for edge in space.outlines), default=inside)
        widths.append(inside + min(inside, outside))
    return min(widths)


def recovery(values: GasketValues, thickness: float, source: str) -> Limit:
    """What a gasket springs back, mm: caution at half of it."""
    back = thickness * values.compressibility * values.recovery
    return Limit(back, "mm", f"{source}; recovery: {values.source}", back / 2, Sense.AT_MOST)
