"""What to measure on the first piece: nominal, tolerance and a blank for the reading, as records and as YAML."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, partial
from itertools import pairwise
from pathlib import Path
from typing import Any

from platemaker.catalog import (
    Family,
    GeneralTolerance,
    ToleranceClass,
    angle_tolerance,
    coordinate_tolerance,
    edge_tolerance,
    general_tolerance,
    iso286,
)
from platemaker.errors import CatalogError
from platemaker.export._sheet._drawing_datums import datums_of
from platemaker.export._sheet._drawing_faces import SealFace
from platemaker.export._sheet._drawing_ordinates import DatumHole, datum_of
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import Numbers, given_whole, outside_zone, turned_box
from platemaker.parts import (
    DIAMETER,
    DOWEL_ZONE,
    FLATNESS,
    LEFT,
    LENGTH_X,
    LENGTH_Y,
    OUTLINE,
    THICKNESS,
    Hole,
    Joint,
    Kind,
    Part,
    Profile,
    RailRow,
    Seal,
    Side,
    StripStock,
    bend_id,
    corner_id,
    corners_of,
    cut_id,
    face_id,
    figures_of,
    hole_id,
    is_angle,
    lean_of,
    leg_id,
    measure_id,
    middle_of,
    outline_place,
    place_of,
    size_word,
    sizes_of,
    step_words,
)
from platemaker.plane import Arc, Loop
from platemaker.records import Record, replace
from platemaker.remembered import remembered
from platemaker.resolved import resolved
from platemaker.views import hole_tags

NUMBER = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$")
"""What YAML 1.2 reads as a number (10.3.2, the core schema), 642e9086 too, which YAML 1.1 reads as text."""


class Measure(Record):
    """One thing to measure: a stable id, what it is, its nominal and lower and upper deviation, mm or degrees.

    What has no size, such as whether a gauge goes in, has neither. `zone` is the diameter of a round zone, mm, that
    both places of an axis share: neither has limits of its own. What is `computed` from other readings, or serves the
    paper alone, is not in the YAML.
    """

    id: str
    what: str
    nominal: float | None
    tolerance: tuple[float, float] | None
    source: str
    zone: float = 0.0
    computed: bool = False

    @property
    def is_angle(self) -> bool:
        """Whether its figures are degrees."""
        return is_angle(self.id)


class _Shop(Record):
    """What tolerances follow from: the general class, and by hole the zones of bores and of the places of axes."""

    tolerances: ToleranceClass
    zones: Mapping[str, str]
    positions: Mapping[str, float]
    grooves: Mapping[str, Seal]

    def groove(self, cut: str, size: str, id_: str, what: str, nominal: float) -> Measure:
        """A size of a groove, by the limits of its O-ring where it has one."""
        seal = self.grooves.get(cut)
        if seal is None:
            return self.length(id_, what, nominal)
        nominal = round(nominal, 6)
        wall = (nominal - seal.wall_deviation, nominal + seal.wall_deviation)
        least, most = {"depth": seal.depth_limits, "width": seal.width_limits}.get(size, wall)
        return Measure(
            id_, what, nominal, (round(least - nominal, 5), round(most - nominal, 5)), "groove of the O-ring"
        )

    def length(self, id_: str, what: str, nominal: float) -> Measure:
        """A length with the general tolerance of its size."""
        return self._general(id_, what, nominal, general_tolerance)

    def edge(self, id_: str, what: str, nominal: float) -> Measure:
        """A rounded or broken edge with the general tolerance of its size."""
        return self._general(id_, what, nominal, edge_tolerance)

    def angle(self, id_: str, what: str, nominal: float, side: float) -> Measure:
        """An angle with the general tolerance of its shorter side."""
        return self._general(id_, what, nominal, angle_tolerance, side)

    def _general(
        self,
        id_: str,
        what: str,
        nominal: float,
        rule: Callable[[float, ToleranceClass], GeneralTolerance],
        size: float | None = None,
    ) -> Measure:
        """By a rule for the nominal itself, or for another size."""
        nominal = round(nominal, 6)
        size = nominal if size is None else size
        try:
            deviation = round(rule(round(size, 6), self.tolerances).deviation, 6)
        except CatalogError:
            return Measure(id_, what, nominal, None, "no general tolerance for this size")
        return Measure(id_, what, nominal, (-deviation, deviation), f"ISO 2768-{self.tolerances.value}")

    def place(self, hole: Hole, id_: str, what: str, nominal: float) -> Measure:
        """One of the two places of a hole's axis, by its position zone where it has one."""
        zone = self.positions.get(hole.name)
        if zone is None:
            return self._general(id_, what, nominal, coordinate_tolerance)
        half, source = round(zone / 2, 6), f"position, zone {zone:g}: both places together"
        return Measure(id_, what, round(nominal, 6), (-half, half), source, zone)

    def spot(self, id_: str, what: str, nominal: float) -> Measure:
        """One of the two places of a figure or a side, with the general tolerance of its distance."""
        return self._general(id_, what, nominal, coordinate_tolerance)

    def bore(self, hole: Hole, id_: str, what: str, nominal: float) -> Measure:
        """A diameter, by its zone of ISO 286 where it has one."""
        return self.fitted(id_, what, nominal, self.zones.get(hole.name))

    def fitted(self, id_: str, what: str, nominal: float, zone: str | None) -> Measure:
        """A diameter with a zone of ISO 286; without one, with the general tolerance."""
        if not zone:
            return self.length(id_, what, nominal)
        limits = iso286(nominal, zone)
        return Measure(id_, f"{what}, {zone}", nominal, (limits.lower, limits.upper), f"ISO 286-2 {zone}")


def first_article(part: Part, about: About) -> list[Measure]:
    """What to measure on the first piece of a part, in the order of its drawing.

    The blank of a bent part and what is milled in it are measured flat, its legs, bends and holes when it is bent.
    """
    flat = resolved(part).flat
    shop, tags, datum = (
        _Shop(about.tolerances, about.fits, about.positions, about.grooves),
        hole_tags(part),
        datum_of(flat),
    )
    measures = list(_blank(flat, part, shop)) if part.made else []
    if part.made:
        measures += _outline(part, datum, tags, shop)
        measures += _bar_end(part, datum, tags, shop)
        measures += _corners(measure_id(OUTLINE, "radius"), "outline", flat.stock.plan.outer, shop)
    for profile in flat.profiles:
        measures += _figures(profile, shop)
        measures += _middles(profile, datum, tags, shop)
    if part.strip is not None:
        measures += _bends(part.strip, shop)
    for hole in part.holes:
        measures += _place(part, hole, datum, tags, shop)
        measures += _hole(part, hole, tags[hole.name], shop)
    for face in about.faces:
        measures += _face(face, about.numbers)
    if part.made and part.material.family is not Family.GASKET and not about.faces:
        what = "flatness of the joint faces: the shop's own method and limit"
        measures.append(Measure(FLATNESS, what, None, None, "left to the shop"))
    return measures


def _face(face: SealFace, numbers: Numbers) -> Iterator[Measure]:
    """A face that seals; both are for the paper alone."""
    side = "upper" if face.side is Side.ABOVE else "lower"
    flatness, roughness = (face_id(face.side.value, face.joint, word) for word in ("flatness", "roughness"))
    what = f"{side} face: flatness {face.where} of {face.joint}"
    yield Measure(flatness, what, 0.0, (0.0, face.flatness), "the joint's flatness", computed=True)
    if face.roughness:
        what = f"{side} face: {numbers.smooth(face.roughness)}"
        yield Measure(roughness, what, None, None, "comparison piece", computed=True)


def _blank(flat: Part, whole: Part, shop: _Shop) -> Iterator[Measure]:
    x, y, z = flat.stock.size
    words = "flat blank" if flat is not whole else "outline"
    if flat.bar is not None:
        yield shop.length(LENGTH_X, "length", x)
        yield shop.length(DIAMETER, "outside diameter", flat.bar.diameter)
        return
    if flat.planed is not None:
        for spot in corners_of(flat):
            what = f"thickness at corner T{spot.name}, from the lower left counter-clockwise"
            yield shop.length(corner_id(flat.planed, spot.name), what, spot.thickness)
    else:
        yield shop.length(THICKNESS, "length" if whole.kind is Kind.BOSS else "thickness", z)
    circle = flat.stock.plan.outer.as_circle()
    if circle is not None:
        yield shop.fitted(DIAMETER, "outside diameter", 2 * circle.radius, outside_zone(whole))
        return
    yield shop.length(LENGTH_X, f"{words} along X", x)
    yield shop.length(LENGTH_Y, f"{words} along Y", y)


def _figures(profile: Profile, shop: _Shop) -> Iterator[Measure]:
    words = {"x": "size along X", "y": "size along Y", "diameter": "diameter", "width": "width of the groove"}
    for number, (id_, region) in enumerate(figures_of(profile), start=1):
        name = profile.name + (f" ({number})" if len(profile.regions) > 1 else "")
        for size, nominal in sizes_of(profile, id_, region).items():
            word = size_word(size)
            yield shop.groove(profile.name, word, size, f"{name}: {words[word]}", nominal)
        yield from _corners(measure_id(id_, "radius"), name, region.outer, shop)
        yield from _turned(id_, name, region.outer, shop)
    depth, radius, chamfer = (cut_id(profile.name, word) for word in ("depth", "mouth_radius", "mouth_chamfer"))
    if not profile.through:
        yield shop.groove(profile.name, "depth", depth, f"{profile.name}: depth", profile.depth)
    if profile.mouth_radius > 0:
        yield shop.edge(radius, f"{profile.name}: radius of its mouth", profile.mouth_radius)
    if profile.mouth_chamfer > 0:
        what = f"{profile.name}: width of its chamfered mouth on the face"
        yield shop.edge(chamfer, what, profile.mouth_chamfer)


def _corners(id_: str, name: str, loop: Loop, shop: _Shop) -> Iterator[Measure]:
    """The radius that the four corners of a rectangle share; for the paper alone."""
    arcs = [edge for edge in loop.edges if isinstance(edge, Arc)]
    if len(arcs) == 4 and given_whole(loop):
        yield replace(shop.edge(id_, f"{name}: radius of its 4 corners", arcs[0].radius), computed=True)


def _turned(id_: str, name: str, loop: Loop, shop: _Shop) -> Iterator[Measure]:
    """What a slot or a rectangle that lies across X and Y is measured by; for the paper alone."""
    box = turned_box(loop)
    if box is not None:
        for word, size in (("length", box.length), ("width", box.width)):
            yield replace(shop.length(measure_id(id_, word), f"{name}: its {word}", size), computed=True)
        angle = measure_id(id_, "turned", "angle")
        what = f"{name}: its length from +X, seen from above, degrees"
        yield replace(shop.angle(angle, what, box.angle, box.length), computed=True)


def _start(datum: DatumHole, tags: Mapping[str, str]) -> str:
    return f"from {tags[datum.name]}" if datum.name else "from the lower left corner"


def _outline(part: Part, datum: DatumHole, tags: Mapping[str, str], shop: _Shop) -> Iterator[Measure]:
    what = "outline" if part.stock.plan.outer.as_circle() is None else "outside diameter"
    words = {"x": f"left side of the {what}: X", "y": f"lower side of the {what}: Y"}
    for id_, nominal in outline_place(part, datum.at).items():
        yield shop.spot(id_, f"{words[size_word(id_)]} {_start(datum, tags)}", nominal)


def _bar_end(part: Part, datum: DatumHole, tags: Mapping[str, str], shop: _Shop) -> Iterator[Measure]:
    """How far the end of round bar lies from its datum hole; for the paper alone."""
    if part.bar is not None and datum.name:
        what = f"left end of the bar: X {_start(datum, tags)}"
        yield replace(shop.spot(measure_id(LEFT, "x"), what, part.stock.plan.bounds[0] - datum.at[0]), computed=True)


def _middles(profile: Profile, datum: DatumHole, tags: Mapping[str, str], shop: _Shop) -> Iterator[Measure]:
    """Where milled figures lie: the middle between their two sides."""
    for number, (id_, region) in enumerate(figures_of(profile), start=1):
        name = profile.name + (f" ({number})" if len(profile.regions) > 1 else "")
        for place, nominal in middle_of(id_, region, datum.at).items():
            yield shop.spot(place, f"{name}: middle {size_word(place).upper()} {_start(datum, tags)}", nominal)


def _bends(stock: StripStock, shop: _Shop) -> Iterator[Measure]:
    for number, leg in enumerate(stock.legs, start=1):
        what = f"leg {number}: outside length, sharp corners, when bent"
        yield shop.length(leg_id(number), what, leg)
    for number, (bend, sides) in enumerate(zip(stock.bends, pairwise(stock.legs), strict=True), start=1):
        yield shop.angle(
            bend_id(number, "angle"), f"bend {number}: turned from flat, degrees", abs(bend.angle), min(sides)
        )
        yield shop.length(bend_id(number, "radius"), f"bend {number}: inside radius", bend.radius)


def _place(part: Part, hole: Hole, datum: DatumHole, tags: Mapping[str, str], shop: _Shop) -> Iterator[Measure]:
    """Where a hole lies: none for the datum itself, nor for one along round bar, which has no side to measure from."""
    bent, tag = part.strip is not None, tags[hole.name]
    if not bent and hole.name == datum.name:
        yield from _datum_axis(part, hole, tag, shop)
        return
    if part.bar is not None and hole.level:
        return
    start = _start(datum, tags)
    words = {
        "x": f"X {start}",
        "y": f"Y {start}",
        "z": "Z of its axis, over the underside",
        "along": "along its leg, from where it begins",
        "from_end": "along its leg, from the free end",
        "across": "from the edge of the bar where Y is least",
    }
    for id_, nominal in place_of(part, hole, datum.at).items():
        yield shop.place(hole, id_, f"{tag}: {words[size_word(id_)]}", nominal)
    if (zone := shop.positions.get(hole.name)) is not None:
        what = f"{tag}: true position ⌀, 2√(ΔX² + ΔY²)"
        id_ = hole_id(hole.name, "position")
        yield Measure(id_, what, 0.0, (0.0, zone), "computed from both places", computed=True)


def _datum_axis(part: Part, hole: Hole, tag: str, shop: _Shop) -> Iterator[Measure]:
    """The datum hole itself: measuring starts at it, so its zone holds its axis perpendicular to the face."""
    zone, letters = shop.positions.get(hole.name), datums_of(part).letters
    if zone is not None and letters and hole.square:
        what = f"{tag}: axis perpendicular to datum {letters[0]}, ⌀ over the thickness"
        id_ = hole_id(hole.name, "perpendicularity")
        yield Measure(id_, what, 0.0, (0.0, zone), "zone of the datum", computed=True)


def _hole(part: Part, hole: Hole, tag: str, shop: _Shop) -> Iterator[Measure]:
    id_ = hole_id(hole.name)
    if hole.tapping:
        what = f"{tag}: thread {hole.tapping.designation}, gauge"
        yield Measure(measure_id(id_, "thread"), what, None, None, "go and no-go")
        if not hole.is_threaded_through:
            limits = (0.0, round(hole.depth - hole.tapping.depth, 6))
            what = f"{tag}: depth of full thread, no less"
            yield Measure(measure_id(id_, "thread_depth"), what, hole.tapping.depth, limits, "least; the drill's depth")
    else:
        yield shop.bore(hole, measure_id(id_, "diameter"), f"{tag}: diameter", hole.diameter)
    for angle, nominal in lean_of(part, hole).items():
        words = (
            "axis to the face, degrees" if angle.endswith(".axis.angle") else "axis from +X, seen from above, degrees"
        )
        yield shop.angle(angle, f"{tag}: {words}", nominal, hole.depth)
    for word, step in zip(step_words(hole), hole.bored, strict=False):
        what, zone = f"{tag}: {word.replace('_', ' ')}", shop.zones.get(f"{hole.name}.{word}")
        yield shop.fitted(measure_id(id_, word, "diameter"), f"{what} diameter", step.wide, zone)
        yield shop.length(measure_id(id_, word, "depth"), f"{what} depth", step.end)
    if not hole.through:
        yield shop.length(measure_id(id_, "depth"), f"{tag}: depth of the full diameter", hole.depth)


def fits_of(
    parts: Iterable[Part], part: Part, joints: Iterable[Joint] = (), rows: Iterable[RailRow] = ()
) -> dict[str, str]:
    """Zones of ISO 286 of a part's holes: bores of bosses, injectors and dowels, recesses of pilots.

    By the hole's name for its deepest step; that of a counterbore by `NAME.counterbore`.
    """
    for row in rows:
        if row.injector is not None and part.name == row.bosses and row.injector.boss_end.bore_fit:
            return dict.fromkeys((hole.name for hole in part.holes), row.injector.boss_end.bore_fit)
        if row.injector is not None and part.name == row.rail and row.injector.rail_end.bore_fit:
            bores = [hole for hole in part.holes if hole.joint == row.joint]
            words = [f"{hole.name}.counterbore" if hole.seat.what == "counterbore" else hole.name for hole in bores]
            return dict.fromkeys(words, row.injector.rail_end.bore_fit)
    for boss in parts:
        if boss.fit and boss.fit.casting == part.name and boss.fit.bore_zone:
            return dict.fromkeys((hole.name for hole in part.holes), boss.fit.bore_zone)
    if part.is_gasket_or_shim:
        return {}
    zones = {joint.pilot_hole: joint.pilot.zone for joint in joints if joint.pilot is not None}
    zones |= {bore: DOWEL_ZONE for joint in joints for bore in joint.dowel_bores}
    return {hole.name: zones[hole.name] for hole in part.holes if hole.name in zones}


def write_first_article(part: Part, about: About, measures: list[Measure], path: Path) -> None:
    """Write the sheet's twin: YAML with `reads: null` for each reading, lengths in mm, angles in degrees."""
    datum = datum_of(resolved(part).flat)
    record = {
        "part": part.name,
        "title": part.title,
        "project": about.project,
        "revision": about.code,
        "unit": "mm",
        "datum": {"hole": datum.name or None, "tag": hole_tags(part).get(datum.name), "at": [*datum.at]},
    }
    head = (
        "# First piece: fill in what each measure reads: mm, degrees of an angle, true or false for a gauge. "
        "Deviations are lower, upper.\n"
    )
    # A line each, so that a reading is typed where it is read.
    lines = [[f"{key}: {_in_row(held)}" for key, held in _row(one).items()] for one in measures if not one.computed]
    rows = [f"- {{{', '.join(line)}}}\n" for line in lines]
    text = "".join([head, _dump(record, flow=None), "measures:\n", *rows])
    path.write_text(text, encoding="utf-8", newline="\n")


@cache
def _dumper() -> Any:
    import yaml  # noqa: PLC0415 - only when files are written

    class Dumper(yaml.SafeDumper):
        """Puts text in quotes that YAML 1.2 would read as a number."""

    Dumper.add_implicit_resolver("tag:yaml.org,2002:float", NUMBER, list("+-.0123456789"))
    return partial(yaml.dump, Dumper=Dumper, sort_keys=False, allow_unicode=True, width=1000)


def _dump(data: object, *, flow: bool | None) -> str:
    return str(_dumper()(data, default_flow_style=flow))


@remembered(1024)
def _in_row(held: object) -> str:
    """A value as a row has it; most stand in many."""
    return _dump([held], flow=True).removeprefix("[").removesuffix("]\n")


def _row(one: Measure) -> dict[str, object]:
    """A measure as the sheet's twin has it, with a blank for its reading."""
    return {
        "id": one.id,
        "what": one.what,
        "nominal": None if one.nominal is None else round(one.nominal, 6),
        "tolerance": list(one.tolerance) if one.tolerance else None,
        "source": one.source,
        "reads": None,
    }
