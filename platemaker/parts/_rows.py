"""Rails over rows of bosses: where the rail stands, what stands between, and whether it could go on back to front."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from platemaker.catalog import ORing, iso286, o_ring, o_rings
from platemaker.errors import SpecError, unknown_name
from platemaker.parts._draft import Draft
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._stack_records import Injector, RailRow, Stem
from platemaker.plane import Point
from platemaker.records import replace
from platemaker.space import Frame
from platemaker.spec import BossRow, InjectorEndModel, Rail

END_PLAY = 0.5
"""What an injector may slide between boss and rail where the spec gives no standoff, mm (common practice)."""


def rows_of(draft: Draft) -> tuple[RailRow, ...]:
    """The rails that stand over rows of bosses. Raises SpecError for a row that is none, or is of another joint."""
    return tuple(
        _row(name, model, draft)
        for name, model in draft.spec.model.parts.items()
        if isinstance(model, Rail) and model.bosses is not None
    )


def _row(name: str, model: Rail, draft: Draft) -> RailRow:
    bosses = _bosses_under(name, model, draft)
    given, stems = model.injector, None
    if given is not None:
        stems = Injector(given.length, given.diameter, _end_of(given.boss_end), _end_of(given.rail_end))
        rail_bore = (model.cross_bore.seat or model.cross_bore).diameter
        ends = (("boss_end", stems.boss_end, bosses.boss.bore), ("rail_end", stems.rail_end, rail_bore))
        for end, stem, bore in ends:
            if stem.bore_fit:
                with draft.spec.blame("parts", name, "injector", end, "bore_fit"):
                    iso286(bore, stem.bore_fit)
    return RailRow(
        name, model.bosses or "", f"{model.bosses}_drilling", model.joint, _standoff(name, model, bosses, draft), stems,
        model.alignment.position, model.alignment.angle, f"parts.{name}",
    )  # fmt: skip


def _end_of(given: InjectorEndModel) -> Stem:
    return Stem(
        given.diameter, given.length, _ring_of(given), given.groove, given.groove_width, given.compound,
        given.bore_fit,
    )  # fmt: skip


def _ring_of(given: InjectorEndModel) -> ORing | None:
    """The end's O-ring; one of a size of its own has the tolerances of the AS568 ring nearest to it."""
    if given.ring_size is None:
        return o_ring(given.o_ring) if given.o_ring else None
    inside, section = given.ring_size
    near = min(o_rings(), key=lambda row: (abs(row.section - section), abs(row.inside_diameter - inside)))
    source = f"the spec; tolerances of the nearest ring, {near.designation}"
    return replace(near, dash="", inside_diameter=inside, section=section, source=source)


def _bosses_under(name: str, model: Rail, draft: Draft) -> BossRow:
    parts = draft.spec.model.parts
    where = draft.spec.where("parts", name, "bosses")
    rows = [key for key, one in parts.items() if isinstance(one, BossRow)]
    bosses = parts.get(model.bosses or "")
    if not isinstance(bosses, BossRow):
        raise unknown_name(str(model.bosses), rows, "boss row", where)
    if bosses.joint != model.joint:
        problem = f"'{name}' has its bores from joint '{model.joint}', the bosses from '{bosses.joint}'"
        raise SpecError(problem, where=where, allowed="one joint for both")
    return bosses


def _standoff(name: str, model: Rail, bosses: BossRow, draft: Draft) -> float:
    """As the spec gives it, else what leaves the injector `END_PLAY` between the seats of boss and rail."""
    if model.standoff is not None or model.injector is None:
        return model.standoff or 0.0
    sunk = bosses.boss.seat.depth if bosses.boss.seat else 0.0
    taken = model.cross_bore.seat.depth if model.cross_bore.seat else 0.0
    left = on_grid(model.injector.length + END_PLAY - sunk - taken)
    if left <= 0:
        problem = f"an injector of {model.injector.length:g} mm does not reach out of its seats"
        where = draft.spec.where("parts", name, "injector", "length")
        raise SpecError(problem, where=where, allowed=f"more than {sunk + taken - END_PLAY:g} mm")
    return left


def boss_depth(model: BossRow) -> float:
    """How far a boss reaches into the casting along its axis, mm: to the bore's end, or flush with the inside."""
    through = model.casting.thickness / math.sin(math.radians(model.angle))
    return min(model.casting.depth or math.inf, through)


def rail_frames(draft: Draft, rows: Sequence[RailRow], frames: Mapping[str, Frame]) -> dict[str, Frame]:
    """The rails' places over castings that have one: X along the row, Z along the bosses' axes, away from the casting.

    The rail's origin stands over the joint's.
    """
    found = {}
    for row in rows:
        model, flat = draft.spec.model.parts[row.bosses], frames.get(row.casting)
        if flat is None or not isinstance(model, BossRow):
            continue
        lean = math.radians(model.angle)
        out = model.boss.length - boss_depth(model) + row.standoff
        foot = (0.0, out * math.cos(lean), model.casting.thickness + out * math.sin(lean))
        found[row.rail] = Frame(foot, (1.0, 0.0, 0.0), (0.0, math.sin(lean), -math.cos(lean))).placed(flat)
    return found


def turned_round_misfit(spots: Sequence[Point]) -> float:
    """How far a row's places lie off those of its mirror image, turned end for end and set as well as it goes, mm.

    0 for a row that is the same either way. The image of (x, y) is (-x, -y), moved as a whole; places are paired in
    their order along X. The best move makes the largest of the offsets along X, and along Y, least.
    """
    row = sorted(spots)
    pairs = list(zip(row, reversed(row), strict=True))
    across = [max(values) - min(values) for values in zip(*((a[0] + b[0], a[1] + b[1]) for a, b in pairs), strict=True)]
    return math.hypot(*across) / 2


def refuse_unmarked(name: str, model: Rail, spots: Sequence[Point], draft: Draft) -> None:
    """Raise SpecError for a rail that does not fit back to front, and does not say which end is its front."""
    misfit = turned_round_misfit(spots)
    if misfit <= model.alignment.position or any("FRONT" in (mark.text or "").upper() for mark in model.marks.values()):
        return
    problem = f"'{name}' does not fit back to front: its bores would stand up to {misfit:.3f} mm off the bosses"
    raise SpecError(
        problem,
        where=draft.spec.where("parts", name),
        allowed=f"a mark with the text FRONT, or a row that is its own mirror image to {model.alignment.position:g} mm",
    )
