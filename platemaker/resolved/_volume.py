"""Volumes by plane geometry: area times height, layer by layer, and what points, mouths and slanted bores take besides.

No kernel has a part in it: it is what a solid is proved by. Closed formulas hold where nothing but straight cuts
overlaps. A point or mouth that runs into another cut is the integral of exact areas over the height; a bore on another
axis, that of exact slices along it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platemaker.formulas import chamfer_volume, mouth_volume
from platemaker.parts import Part, Plane, Planed, ends_of
from platemaker.plane import Region, intersect, measures, subtract, wall, wall_between
from platemaker.records import Record
from platemaker.resolved._part import ResolvedPart, resolved
from platemaker.resolved._sections import section
from platemaker.resolved._voids import Bored, Milled, Void
from platemaker.space import Flare, integral, volume_left


class Predicted(Record):
    """A volume by plane geometry and how far off it may be, mm3."""

    volume: float
    error: float


def expected_volume(part: Part) -> float | None:
    """The part's volume by plane geometry, mm3, exact; None where no closed formula gives it.

    Drill points and countersinks are cones wholly in the material, mouths are rounded or broken edges by Pappus's
    theorem. Under a planed face it is area times the face's height at the centroid.
    """
    one = resolved(part)
    shaped = [void for void in one.voids if void.upright and void.what in ("point", "mouth", "countersink")]
    if any(void.upright is None for void in one.voids) or any(_meets(void, one) for void in shaped):
        return None
    found = predicted_volume(part)
    return found.volume if found else None


def predicted_volume(part: Part) -> Predicted | None:
    """The part's volume by plane geometry; None where a bore meets a mouth, or a cut the slope of a planed face."""
    stock, one = part.stock, resolved(part)
    if part.strip is not None:
        # Legs stay as they are when a strip is bent: what is cut out of it is cut out of its flat blank.
        left = predicted_volume(one.flat)
        return None if left is None else Predicted(stock.volume - (one.flat.stock.volume - left.volume), left.error)
    if part.planed is not None:
        return _planed_volume(one, part.planed)
    volume, error, before = sum(layer.volume for layer in one.layers), 0.0, list[Void]()
    rest = [void for void in one.voids if not void.is_straight and void.what != "thread"]
    for void in sorted(rest, key=lambda void: void.upright is None):
        if void.upright is not None:
            taken, doubt = _shaped_volume(void, one, before)
        else:
            found = _bored_volume(void, one, before)
            if found is None:
                return None
            taken, doubt = found
        before.append(void)
        volume, error = volume - taken, error + doubt
    return Predicted(volume, error)


def _meets(void: Void, one: ResolvedPart) -> bool:
    """Whether a point or a mouth runs into another cut or out of the blank: then no closed formula gives its volume."""
    if void.low < 0.0 or void.high > one.blank.height or one.to_outline(void) < 0.0:
        return True
    return next(_neighbours(void, one), None) is not None


def _neighbours(void: Void, one: ResolvedPart) -> Iterator[Void]:
    """The voids that an upright one shares heights and plan with, but those of its own hole or piece."""
    for other in one.met_by(void):
        own = other.cut is void.cut and _piece(other) == _piece(void)
        if (
            other.upright is not None
            and not own
            and other.what != "thread"
            and min(other.high, void.high) > max(other.low, void.low)
        ):
            yield other


def _piece(void: Void) -> int:
    return void.piece if isinstance(void, Milled) else 0


def _shaped_volume(void: Void, one: ResolvedPart, before: Sequence[Void]) -> tuple[float, float]:
    """What a drill point or a mouth takes out beside the straight cuts and those `before` it, mm3, and its error."""
    lone = _lone_volume(void)
    if not _meets(void, one):
        return lone, 0.0
    earlier, height = {id(other) for other in before}, one.blank.height
    around = [other for other in _neighbours(void, one) if other.is_straight or id(other) in earlier]
    within = one.to_outline(void) >= 0.0
    ends = [z for other in around for z in (other.low, other.high)]
    shape = void.region if isinstance(void, Milled) else void.plan
    gaps = [wall_between(shape, one.blank.region), *(wall(shape, other.plan) for other in around)]
    ends += [z for way in gaps for z in _reaching(void, way.distance)]
    heights = sorted({void.low, void.high, *(z for z in (0.0, height, *ends) if void.low < z < void.high)})

    def taken_before(z: float) -> float:
        own = section(void, z)
        if own is None:
            return 0.0
        if not 0.0 <= z <= height:
            return own.area
        taken = [part for other in around if other.low <= z <= other.high if (part := section(other, z))]
        kept = own if within else intersect(own, one.blank.region)
        return own.area - sum(region.area for region in subtract(kept, *taken))

    shared, error = integral(taken_before, heights, 1e-6, halvings=2)
    return lone - shared, error


def _reaching(void: Void, gap: float) -> Iterator[float]:
    """The height at which a point or a mouth has grown by `gap`, mm: there it begins to meet what is so far off."""
    one = void.upright
    if one is None or one.profile is None:
        return
    low, high = (one.profile.start[1], one.profile.end[1])
    if not min(one.growth(low), one.growth(high)) < gap < max(one.growth(low), one.growth(high)):
        return
    for _ in range(60):
        middle = (low + high) / 2
        below = (one.growth(middle) < gap) == (one.growth(low) < gap)
        low, high = (middle, high) if below else (low, middle)
    yield low


def _lone_volume(void: Void) -> float:
    if isinstance(void, Milled):
        around, cut = void.region.perimeter, void.profile
        if cut.mouth_chamfer > 0:
            return chamfer_volume(around, cut.mouth_chamfer, cut.mouth_depth)
        return mouth_volume(around, cut.mouth_radius)
    if isinstance(void, Bored) and void.step.narrow > 0.0:
        ratio = void.step.narrow / void.step.wide
        return void.plan.area * (void.high - void.low) * (1 + ratio + ratio**2) / 3
    return void.plan.area * (void.high - void.low) / 3


def _bored_volume(void: Void, one: ResolvedPart, before: Sequence[Void]) -> tuple[float, float] | None:
    """What a bore on another axis takes out beside the straight cuts and those `before` it; None at a mouth."""
    if not isinstance(void, Bored):
        raise TypeError(void)
    earlier = {id(other) for other in before}
    met = [other for other in one.met_by(void) if other.is_straight or id(other) in earlier]
    tools = [other.tool for other in met if not isinstance(other.tool, Flare)]
    return volume_left(void.tool, one.blank.prism, tools) if len(tools) == len(met) else None


def _planed_volume(one: ResolvedPart, planed: Planed) -> Predicted | None:
    """The volume of a planed plate, mm3; None where a cut does not go straight through or the plane leaves it."""
    if not all(void.is_straight and len(void.opens) == 2 for void in one.voids):
        return None
    thin, thick = ends_of(one.blank.region, planed.face)
    if thin.thickness <= 0 or thick.thickness > one.blank.height + 1e-9:
        return None
    return Predicted(_volume_under(subtract(one.blank.region, *(void.plan for void in one.voids)), planed.face), 0.0)


def _volume_under(regions: Iterable[Region], face: Plane) -> float:
    """Volume between Z = 0 and a plane over regions, mm3: area times the plane's height at the centroid."""
    found = [measures(region) for region in regions]
    return sum(one.area * face.at(*one.centroid) for one in found)
