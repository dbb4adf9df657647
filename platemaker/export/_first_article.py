"""What to measure on the first piece: nominal, tolerance and a blank for the reading, as records and as YAML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from platemaker.catalog import Family, ToleranceClass, general_tolerance, iso286
from platemaker.errors import CatalogError
from platemaker.export._drawing import plan_of
from platemaker.export._drawing_ordinates import Datum, datum_of
from platemaker.export._drawing_title import About
from platemaker.export._drawing_words import ZONES, outside_zone
from platemaker.parts import Hole, Operation, Part, Profile, RoundStock, flat_pattern
from platemaker.views import hole_tags

SMALLEST = 0.5
"""ISO 2768-1 tells no general tolerance for shorter lengths, mm; a place nearer to the datum takes that of this."""


@dataclass(frozen=True)
class Measure:
    """One thing to measure: a stable id, what it is, its nominal and lower and upper deviation, mm.

    What is not a length, such as whether a gauge goes in, has neither.
    """

    id: str
    what: str
    nominal: float | None
    tolerance: tuple[float, float] | None
    source: str


@dataclass(frozen=True)
class _Shop:
    """What tolerances follow from: the general class, and the zones of the holes that have one."""

    tolerances: ToleranceClass
    zones: Mapping[str, str]

    def length(self, id_: str, what: str, nominal: float) -> Measure:
        """A length with the general tolerance of its size."""
        nominal = round(nominal, 6)
        size = max(abs(nominal), SMALLEST)
        try:
            deviation = general_tolerance(size, self.tolerances).deviation
        except CatalogError:
            return Measure(id_, what, nominal, None, "no general tolerance for this length")
        return Measure(id_, what, nominal, (-deviation, deviation), f"ISO 2768-{self.tolerances.value}")

    def bore(self, hole: Hole, id_: str, what: str, nominal: float) -> Measure:
        """A diameter, by its zone of ISO 286 where it has one."""
        zone = self.zones.get(hole.name)
        if zone is None:
            return self.length(id_, what, nominal)
        limits = iso286(nominal, zone)
        return Measure(id_, f"{what}, {zone}", nominal, (limits.lower, limits.upper), f"ISO 286-2 {zone}")


def first_article(part: Part, about: About) -> list[Measure]:
    """What to measure on the first piece of a part, in the order of its drawing."""
    bent = flat_pattern(part)
    flat = bent.part if bent else part
    shop, tags, datum = _Shop(about.tolerances, about.fits), hole_tags(part), datum_of(flat)
    measures = list(_blank(flat, part, shop)) if part.made else []
    for profile in flat.profiles:
        measures += _figure(profile, shop)
    for hole in flat.holes:
        measures += _hole(hole, tags[hole.name], datum, tags, shop)
    if part.made and part.material.family is not Family.GASKET:
        what = "flatness of the joint faces: the shop's own method and limit"
        measures.append(Measure("flatness", what, None, None, "left to the shop"))
    return measures


def _blank(flat: Part, whole: Part, shop: _Shop) -> Iterator[Measure]:
    x0, y0, x1, y1 = plan_of(flat).bounds
    stock = flat.stock
    words = "flat blank" if flat is not whole else "outline"
    if isinstance(stock, RoundStock):
        yield shop.length("size.x", "length", stock.length)
        yield shop.length("size.diameter", "outside diameter", stock.diameter)
        return
    thick = getattr(stock, "thickness", 0.0)
    yield shop.length("thickness", "thickness", thick)
    circle = plan_of(flat).outer.as_circle()
    if circle is not None:
        yield _outside(whole, 2 * circle.radius, shop)
        return
    yield shop.length("size.x", f"{words} along X", x1 - x0)
    yield shop.length("size.y", f"{words} along Y", y1 - y0)


def _outside(part: Part, diameter: float, shop: _Shop) -> Measure:
    zone = outside_zone(part)
    if not zone:
        return shop.length("size.diameter", "outside diameter", diameter)
    limits = iso286(diameter, zone)
    what, source = f"outside diameter, {zone}", f"ISO 286-2 {zone}"
    return Measure("size.diameter", what, diameter, (limits.lower, limits.upper), source)


def _figure(profile: Profile, shop: _Shop) -> Iterator[Measure]:
    many = len(profile.regions) > 1
    for number, region in enumerate(profile.regions, start=1):
        id_ = f"cut.{profile.name}" + (f".{number}" if many else "")
        name = profile.name + (f" ({number})" if many else "")
        circle = region.outer.as_circle()
        if circle is not None:
            yield shop.length(f"{id_}.diameter", f"{name}: diameter", 2 * circle.radius)
        else:
            x0, y0, x1, y1 = region.bounds
            yield shop.length(f"{id_}.x", f"{name}: size along X", x1 - x0)
            yield shop.length(f"{id_}.y", f"{name}: size along Y", y1 - y0)
    if not profile.through:
        yield shop.length(f"cut.{profile.name}.depth", f"{profile.name}: depth", profile.depth)


def _hole(hole: Hole, tag: str, datum: Datum, tags: Mapping[str, str], shop: _Shop) -> Iterator[Measure]:
    id_ = f"hole.{hole.name}"
    if hole.name != datum.name and abs(hole.direction[2]) > 1e-9:
        start = f"from {tags[datum.name]}" if datum.name else "from the lower left corner"
        for axis, letter in enumerate("XY"):
            nominal = round(hole.at[axis] - datum.at[axis], 6)
            yield shop.length(f"{id_}.{letter.lower()}", f"{tag}: {letter} {start}", nominal)
    if hole.tapping:
        yield Measure(f"{id_}.thread", f"{tag}: thread {hole.tapping.designation}, gauge", None, None, "go and no-go")
        if not (hole.through and hole.tapping.depth >= hole.depth):
            room = round(hole.depth - hole.tapping.depth, 6)
            what = f"{tag}: depth of full thread, no less"
            yield Measure(f"{id_}.thread_depth", what, hole.tapping.depth, (0.0, room), "least; the drill's depth")
    else:
        yield shop.bore(hole, f"{id_}.diameter", f"{tag}: diameter", hole.diameter)
    for number, step in enumerate(hole.steps[:-1], start=1):
        word = "counterbore" if step.operation is Operation.COUNTERBORE else f"step_{number}"
        yield shop.length(f"{id_}.{word}.diameter", f"{tag}: {word.replace('_', ' ')} diameter", step.diameter)
        yield shop.length(f"{id_}.{word}.depth", f"{tag}: {word.replace('_', ' ')} depth", step.end)
    if not hole.through:
        yield shop.length(f"{id_}.depth", f"{tag}: depth of the full diameter", hole.depth)


def fits_of(parts: Iterable[Part], casting: Part) -> dict[str, str]:
    """Zones of ISO 286 of the bores of a casting that bosses are pressed into, by hole."""
    for boss in parts:
        zones = ZONES.match(boss.fit.words) if boss.fit and boss.fit.casting == casting.name else None
        if zones is not None:
            return {hole.name: zones[1] for hole in casting.holes}
    return {}


def write_first_article(part: Part, about: About, measures: list[Measure], path: Path) -> None:
    """Write the sheet's twin: YAML with `reads: null` for each reading, all lengths mm."""
    import yaml  # noqa: PLC0415 - only when files are written

    flat = flat_pattern(part)
    datum = datum_of(flat.part if flat else part)
    record = {
        "part": part.name,
        "title": part.title,
        "project": about.project,
        "revision": about.revision,
        "unit": "mm",
        "datum": {"hole": datum.name or None, "tag": hole_tags(part).get(datum.name), "at": [*datum.at]},
    }
    head = (
        "# First piece: fill in what each measure reads, mm; true or false for a gauge. Deviations are lower, upper.\n"
    )
    lines = [yaml.safe_dump(record, sort_keys=False, allow_unicode=True, width=1000, default_flow_style=None)]
    lines.append("measures:\n")
    for one in measures:
        row = {
            "id": one.id,
            "what": one.what,
            "nominal": None if one.nominal is None else round(one.nominal, 6),
            "tolerance": list(one.tolerance) if one.tolerance else None,
            "source": one.source,
            "reads": None,
        }
        # A line each, so that a reading is typed where it is read.
        flow = yaml.safe_dump(row, sort_keys=False, allow_unicode=True, width=1000, default_flow_style=True)
        lines.append(f"- {flow}")
    path.write_text(head + "".join(lines), encoding="utf-8", newline="\n")
