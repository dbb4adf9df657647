"""The fitter's sheet: order of assembly, each joint with its bolts, torque and seals, and the bill of materials."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from platemaker.checks import BoltOrder, TorqueRow, assembly_sequence, bolt_orders, torque_rows
from platemaker.export._lists._bolt_list import PASSES
from platemaker.export._lists._materials import (
    bill_of_materials,
    bolt_words,
    dowel_words,
    pipe_sealant,
    ring_words,
    size,
)
from platemaker.export._reading._read_pdf import PdfReading, prove_pages
from platemaker.export._sheet._assembly_pictures import assembly_pictures, held_by
from platemaker.export._sheet._film_sheet import FilmShown, film_pictures
from platemaker.export._sheet._joint_picture import joint_picture
from platemaker.export._sheet._list_sheet import BoxedInk, Column, Head, Table, list_pages, width_of_lists
from platemaker.export._sheet._sheet_paper import list_paper
from platemaker.formulas import newton_metres_to_pound_feet
from platemaker.parts import Kind, Part, Stack, corners_of, tightening_sequence
from platemaker.resolved import Bolt, ResolvedJoint, ResolvedStack, resolved_stack
from platemaker.views import Align, Page, write_pdf

STEPS = (Column("STEP", 0.07), Column("TIGHTEN", 0.25), Column("WHAT IT HOLDS, WHAT GOES IN FIRST", 0.68))
SCREWS = (
    Column("SCREW", 0.3), Column("BOLT", 0.27), Column("TORQUE", 0.2), Column("PRELOAD", 0.23),
)  # fmt: skip
MATERIALS = (Column("QTY", 0.06, Align.END), Column("ITEM", 0.52), Column("WHERE", 0.42))
SAFETY = (
    "Belts maim; fuel, hot oil and boost burn. Guard the belt, test lines for leaks before the engine runs, keep "
    "flames away. Local codes come first; have a licensed or qualified person check what they ask for."
)
SHARES = (1 / 3, 2 / 3, 1.0)
"""Of the torque, pass by pass. Common practice, no source."""


def write_fitting_sheet(stack: Stack, path: Path, films: Sequence[FilmShown] = ()) -> PdfReading:
    """Write the fitter's sheet, the joints' films behind it, and read it back. ProofError where it differs."""
    pages = fitting_pages(stack, films)
    write_pdf(pages, path, f"{stack.title}: fitting")
    return prove_pages(path, len(pages), ("FITTING", "MATERIALS"))


def fitting_pages(stack: Stack, films: Sequence[FilmShown] = ()) -> tuple[Page, ...]:
    """The pages: order of assembly in words and pictures, joints, other screws, bill of materials, films."""
    order = assembly_sequence(stack)
    torques = {row.joint: row for row in torque_rows(stack)}
    paper = list_paper(stack.unit, stack.drafting.paper)
    known = resolved_stack(stack)
    titles = {group: _title(stack, group) for group in order}
    pieces: list[Table | BoxedInk] = [
        _steps(stack, known, order),
        *assembly_pictures(stack, known, order, titles, width_of_lists(paper)),
        *_joints(stack, order, torques),
        _screws(stack, torques),
        _materials(stack),
        *(piece for film in films for piece in _film(stack, film)),
    ]
    head = Head(stack.title, "FITTING", (f"{stack.name}: bolts are numbered in the order of tightening", ""))
    return list_pages(paper, head, pieces)


def _film(stack: Stack, film: FilmShown) -> Iterator[BoxedInk]:
    return film_pictures(film, f"PRESSURE BETWEEN THE FACES: {_title(stack, film.answer.joint)}")


def _title(stack: Stack, group: str) -> str:
    joint = next((one for one in stack.joints if one.name == group), None)
    return f"{joint.title} ({group})" if joint is not None and joint.title else group


def _steps(stack: Stack, known: ResolvedStack, order: tuple[str, ...]) -> Table:
    """The order in which groups are tightened, each with what it joins and what lies between."""
    heading = "ORDER OF ASSEMBLY"
    if not order:
        return Table(heading, STEPS, (), f"No order was found in which every bolt is reached: see the report. {SAFETY}")
    rows = [(str(number), _title(stack, group), _held(known, group)) for number, group in enumerate(order, start=1)]
    note = " ".join(["Start all bolts that hold the same pieces before any is tightened.", *_before(stack),
                     "How parts move in is not checked."])  # fmt: skip
    return Table(heading, STEPS, tuple(rows), f"{note} {SAFETY}")


def _before(stack: Stack) -> Iterator[str]:
    """What is pressed in first, and what stands between rail and bosses."""
    for part in stack.parts:
        if part.fit is not None:
            compound = ", with retaining compound, and let it cure" if part.fit.retaining_compound else ""
            yield f"Press in {part.name} first{compound}."
    for row in stack.rows:
        if row.injector is not None:
            yield f"Stand the injectors, O-rings oiled, in {row.bosses} before {row.rail} goes over them."


def _held(known: ResolvedStack, group: str) -> str:
    """What a group of bolts holds, of a joint the upper side on the lower one; a fitting holds nothing."""
    joint = next((one for one in known.joints if one.joint.name == group), None)
    if joint is None:
        return " and ".join(held_by(known, group)) or "screw in"
    words = " on ".join(side.owner for side in reversed(joint.sides))
    return f"{words}; between them {', '.join(joint.sheets)}" if joint.sheets else words


def _joints(stack: Stack, order: tuple[str, ...], torques: Mapping[str, TorqueRow]) -> Iterator[BoxedInk]:
    """The joints with bolts in the order of assembly."""
    known = [one for one in resolved_stack(stack).joints if one.joint.bolts is not None]
    place = {group: number for number, group in enumerate(order, start=1)}
    orders = bolt_orders(stack)
    for one in sorted(known, key=lambda it: place.get(it.joint.name, len(place) + 1)):
        name = one.joint.name
        wide, high, ink = joint_picture(stack, one, tightening_sequence(one.joint))
        step = f"STEP {place[name]}: " if name in place else ""
        words = tuple(_joint_words(stack, one, orders, torques.get(name)))
        yield BoxedInk(wide, high, ink, step + _title(stack, name), words)


def _joint_words(
    stack: Stack, one: ResolvedJoint, orders: tuple[BoltOrder, ...], torque: TorqueRow | None
) -> Iterator[str]:
    joint = one.joint
    yield "Seen from the upper side."
    yield f"Holds {' and '.join(side.owner for side in one.sides) or 'nothing in the spec'}."
    for row in orders:
        if joint.name in row.joints:
            more = " with washers" if row.washers else ""
            yield f"{len(joint.spots)} bolts: {bolt_words(row, stack.unit)}{more}."
    yield from _torque_words(torque, (stack.design and stack.design.compounds.threads) or "")
    yield f"In this order, by the names of the holes: {', '.join(tightening_sequence(joint))}."
    yield from _between(stack, one)


def _torque_words(torque: TorqueRow | None, product: str) -> Iterator[str]:
    if torque is None:
        yield "Torque, lubricant: not specified."
        return
    full = torque.torque / 1000
    passes = ", ".join(f"{share * full:.1f}" for share in SHARES)
    yield f"Torque {full:.1f} N.m ({newton_metres_to_pound_feet(full):.1f} lbf.ft), {PASSES}: {passes} N.m."
    low, _, high = (force / 1000 for force in torque.preload)
    factors = f"nut factor {torque.nut_factor[0]:g} to {torque.nut_factor[2]:g}"
    yield f"At that torque a bolt pulls {low:.1f} to {high:.1f} kN ({factors})."
    yield f"Threads and under heads: {torque.condition}{', ' if product else ''}{product}."


def _between(stack: Stack, one: ResolvedJoint) -> Iterator[str]:
    """What lies between the faces, by its number."""
    for name in one.sheets:
        part = stack.part(name)
        number = f", {stack.drafting.number}-{name}" if stack.drafting.number else ""
        word = "Gasket" if part.kind is Kind.GASKET else "Shim"
        yield f"{word} {name}{number}: {part.material.name}, {_thickness(part, stack.unit)}."
    if one.joint.shared is not None:
        shared = one.joint.shared
        yield f"Bolts shared with {shared.title}; it gets a shim of {size(shared.shim, stack.unit)} on its other side."
    if one.joint.seal is not None:
        yield f"{ring_words(one.joint.seal.ring, one.joint.seal.compound)}, in {one.joint.seal.owner}."
    if one.joint.dowels is not None:
        count = len(one.joint.dowels.spots)
        yield f"{count} dowels {dowel_words(stack, one.joint)}, before the bolts."
    if (sheet := one.joint.gasket or one.joint.seal) is not None and one.joint.ports:
        flat = size(sheet.flatness, stack.unit)
        yield f"Both faces clean and flat within {flat}: lay a straightedge on them first."
    yield f"Sealant on the faces: {one.joint.sealant or 'none specified'}."


def _thickness(part: Part, unit: str) -> str:
    """Of a tapered shim at its thin and its thick corner."""
    if part.planed is None:
        return size(part.stock.height, unit)
    thick = [corner.thickness for corner in corners_of(part)]
    return f"tapered, {size(min(thick), unit)} to {size(max(thick), unit)}"


def _screws(stack: Stack, torques: Mapping[str, TorqueRow]) -> Table:
    """Screws of no joint, and threads for fittings."""
    groups: dict[str, list[Bolt]] = {}
    for bolt in resolved_stack(stack).bolts:
        if bolt.joint is None and bolt.fits:
            groups.setdefault(bolt.group, []).append(bolt)
    rows = [_screw_cells(stack, group, bolts, torques.get(group)) for group, bolts in groups.items()]
    for part in stack.parts:
        for hole in part.holes:
            if hole.takes_fitting and hole.tapping:
                seal = pipe_sealant(stack) if hole.tapping.is_taper else "its O-ring seals, no sealant"
                row = (f"{part.name} {hole.name}", hole.tapping.designation, "as its maker states", seal)
                rows.append(row)
    return Table("OTHER SCREWS AND FITTINGS", SCREWS, tuple(rows))


def _screw_cells(stack: Stack, group: str, bolts: list[Bolt], torque: TorqueRow | None) -> tuple[str, str, str, str]:
    long = bolts[0].long
    words = f"{bolts[0].thread.designation} × {size(long, stack.unit) if long else 'length not settled'}"
    count = len(bolts)
    if torque is None:
        return f"{count}× {group}", words, "not specified", "–"
    full = torque.torque / 1000
    pull = f"{torque.preload[0] / 1000:.1f} to {torque.preload[2] / 1000:.1f} kN, {torque.condition}"
    return f"{count}× {group}", words, f"{full:.1f} N.m ({newton_metres_to_pound_feet(full):.1f} lbf.ft)", pull


def _materials(stack: Stack) -> Table:
    rows = tuple((str(one.quantity), one.item, one.where) for one in bill_of_materials(stack))
    more = " Counted for all parts that are made, not for one assembly." if any(p.sets > 1 for p in stack.parts) else ""
    return Table("BILL OF MATERIALS", MATERIALS, rows, f"Machined parts are on the cover. Compounds: as needed.{more}")
