"""The room's work: from a project's spec to its resolved stack."""

from __future__ import annotations

from platemaker.catalog import ToleranceClass
from platemaker.parts._belt import belt_of
from platemaker.parts._belt_slot import with_slot
from platemaker.parts._bosses import boss_row_of
from platemaker.parts._brackets import bracket_of
from platemaker.parts._cut_names import refuse_unclear_names
from platemaker.parts._draft import Draft
from platemaker.parts._file_names import refuse_shared_files
from platemaker.parts._gaskets import gasket_of, seated, shim_part_of
from platemaker.parts._joints import joints_of
from platemaker.parts._lead_in import with_lead_ins
from platemaker.parts._plates import plate_of
from platemaker.parts._rails import rail_of
from platemaker.parts._records._cuts import Profile
from platemaker.parts._records._design import design_of
from platemaker.parts._records._part import Mounting, Part, Stack
from platemaker.parts._records._stack_records import Acceptance, Drafting, Revision, Room
from platemaker.parts._records._stock import PlateStock
from platemaker.parts._rows import rows_of
from platemaker.parts._stack import bodies_of, place_all
from platemaker.plane import without_slivers
from platemaker.records import replace
from platemaker.remembered import known
from platemaker.spec import (
    AnyPart,
    BossRow,
    Bracket,
    DrainPlate,
    DrawingModel,
    Plate,
    ProjectSpec,
    Rail,
    SizeRange,
    given_numbers,
)


def stack_of(spec: ProjectSpec) -> Stack:
    """Every part of a project with its cuts, the joints, the bodies, and where each stands.

    Raises SpecError, with file, line and key, for what cannot be drawn up; not for what cannot be made.
    """
    draft = Draft(spec, joints_of(spec))
    parts: list[Part] = []
    for name, model in spec.model.parts.items():
        parts += map(_cuttable, _made(name, model, draft))
    parts += _sheets(draft, parts)
    draft = replace(draft, joints={name: seated(joint, parts) for name, joint in draft.joints.items()})
    refuse_shared_files(parts, spec)
    rows = rows_of(draft)
    placed, placed_bodies = place_all(draft, with_lead_ins(parts, rows), bodies_of(spec), rows)
    belt = belt_of(spec, placed, placed_bodies)
    placed = with_slot(placed, belt, spec)
    for part in placed:
        refuse_unclear_names(part, spec)
    whole = spec.model
    # What is as it was in an earlier stack is taken from it, with all that was worked out of it.
    return Stack(
        whole.project, whole.title or whole.project, whole.units, tuple(map(known, placed)), placed_bodies,
        tuple(map(known, draft.joints.values())), design_of(spec), rows,
        Room(whole.stack.clearance, whole.stack.ceiling, whole.stack.below_ceiling), spec.folder,
        _drafting(whole.drawing),
        tuple(given_numbers(whole)), _usual(spec),
        tuple(Acceptance(one.check, one.feature, one.because, one.limit) for one in whole.accept),
        belt,
    )  # fmt: skip


def _drafting(drawing: DrawingModel) -> Drafting:
    revisions = tuple(Revision(one.revision, one.date or "", one.change) for one in drawing.revisions)
    return Drafting(
        drawing.projection, ToleranceClass(drawing.tolerance), drawing.paper, drawing.number or "",
        drawing.owner or "", drawing.drawn or "", drawing.checked or "", revisions,
    )  # fmt: skip


def _usual(spec: ProjectSpec) -> dict[str, dict[str, SizeRange]]:
    """The usual sizes that the spec sets: for all under "", and by its parts, whose own go before."""
    whole = spec.model.limits.ranges()
    return {"": whole} | {name: whole | part.limits.ranges() for name, part in spec.model.parts.items()}


def _made(name: str, model: AnyPart, draft: Draft) -> tuple[Part, ...]:
    if isinstance(model, Plate | DrainPlate):
        return (plate_of(name, model, draft),)
    if isinstance(model, BossRow):
        return boss_row_of(name, model, draft)
    if isinstance(model, Rail):
        return (rail_of(name, model, draft),)
    if isinstance(model, Bracket):
        return (bracket_of(name, model, draft),)
    raise TypeError(model)


def _sheets(draft: Draft, parts: list[Part]) -> list[Part]:
    """One gasket and one shim a joint, cut to the outline of the plate on it: the upper one's where there are two."""
    found: dict[str, list[tuple[Part, Mounting]]] = {}
    for part in parts:
        for mounting in part.mountings:
            upper, carriers = draft.joints[mounting.joint].upper, found.setdefault(mounting.joint, [])
            carriers.insert(0 if upper and upper.owner == part.name else len(carriers), (part, mounting))
    made = [build(draft.joints[joint], draft, carriers)
            for joint, carriers in found.items() for build in (gasket_of, shim_part_of)]  # fmt: skip
    return [_cuttable(piece) for piece in made if piece is not None]


def _cuttable(part: Part) -> Part:
    """The part without pieces of outline that are too short to cut: checks and files see what is really made."""
    cuts = tuple(
        replace(cut, regions=tuple(map(without_slivers, cut.regions))) if isinstance(cut, Profile) else cut
        for cut in part.cuts
    )
    stock = part.stock
    if isinstance(stock, PlateStock):
        stock = replace(stock, region=without_slivers(stock.region))
    return part if (stock, cuts) == (part.stock, part.cuts) else replace(part, stock=stock, cuts=cuts)
