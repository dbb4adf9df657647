"""What the fitter lays ready: bolts, washers, nuts, seals, shims, fittings, inserts, dowels and compounds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from platemaker.catalog import ORing
from platemaker.checks import BoltOrder, bolt_orders
from platemaker.parts import Joint, Kind, Part, RailRow, Stack, corners_of
from platemaker.records import Record
from platemaker.resolved import resolved_stack
from platemaker.units import LengthUnit
from platemaker.views import shown


class MaterialLine(Record):
    """A line of the bill of materials; `where` names joints, or part and hole."""

    quantity: int
    item: str
    where: str


def bill_of_materials(stack: Stack) -> tuple[MaterialLine, ...]:
    """All that is bolted, laid between, screwed in or smeared on; machined parts are on the cover."""
    return (
        *_bolts(stack),
        *_sheets(stack),
        *_rings(stack),
        *_in_holes(stack),
        *_dowels(stack),
        *_compounds(stack),
    )


def size(value: float, unit: str) -> str:
    """A length in the project's unit, without zeros at its end."""
    text = shown(value, named=False).of(unit).rstrip("0").rstrip(".")
    return f"{text} in" if unit == LengthUnit.INCH else f"{text} mm"


def bolt_words(row: BoltOrder, unit: str) -> str:
    """A bolt as it is asked for."""
    long = "length not settled" if row.length is None else size(row.length, unit)
    return f"{row.thread} × {long}, {row.head}, {row.property_class}"


def _bolts(stack: Stack) -> Iterator[MaterialLine]:
    rings: Counter[str] = Counter()
    nuts: Counter[str] = Counter()
    where: dict[str, list[str]] = {}
    for row in bolt_orders(stack):
        screw, nut, ring = row.standards
        what = "stud" if row.head == "stud" else "bolt"
        words = ", ".join(filter(None, [f"{what} {bolt_words(row, stack.unit)}", screw]))
        yield MaterialLine(row.quantity, words, ", ".join(row.joints))
        for word, count, found, standard in (("washer", row.washers, rings, ring), ("nut", row.nuts, nuts, nut)):
            if count:
                name = ", ".join(filter(None, [f"{word} {row.thread}", standard]))
                found[name] += count
                where.setdefault(name, []).extend(row.joints)
    for name, count in (*rings.items(), *nuts.items()):
        yield MaterialLine(count, name, ", ".join(dict.fromkeys(where[name])))


def _sheets(stack: Stack) -> Iterator[MaterialLine]:
    for part in stack.parts:
        if part.is_gasket_or_shim:
            word = "gasket" if part.kind is Kind.GASKET else "shim"
            thick = size(part.stock.height, stack.unit)
            yield MaterialLine(part.quantity, f"{word} {part.name}, {part.material.name}, {thick}", _joints_of(part))
    for joint in stack.joints:
        if joint.shared is not None and joint.shared.shim > 0:
            words = f"shim {size(joint.shared.shim, stack.unit)}, for the other side of {joint.shared.title}"
            yield MaterialLine(_sets(stack, joint), words, joint.name)


def _sets(stack: Stack, joint: Joint) -> int:
    return resolved_stack(stack).joint(joint.name).sets


def _joints_of(part: Part) -> str:
    return ", ".join(mounting.joint for mounting in part.mountings)


def ring_words(ring: ORing, compound: str | None) -> str:
    """An O-ring by its number or size, with its rubber where the spec states it."""
    return f"O-ring {ring.designation}, {compound or 'compound not specified'}"


def _rings(stack: Stack) -> Iterator[MaterialLine]:
    for joint in stack.joints:
        if joint.seal is not None:
            words = ring_words(joint.seal.ring, joint.seal.compound)
            yield MaterialLine(_sets(stack, joint) * max(1, len(joint.ports)), words, joint.name)
    for row in stack.rows:
        yield from _injectors(stack, row)


def _injectors(stack: Stack, row: RailRow) -> Iterator[MaterialLine]:
    sets = max(stack.part(name).sets for name in (row.rail, row.bosses))
    count = sets * len(stack.joint(row.joint).spots)
    if row.injector is None:
        return
    yield MaterialLine(count, "injector", f"{row.rail}, {row.bosses}")
    for end, where in ((row.injector.boss_end, row.bosses), (row.injector.rail_end, row.rail)):
        words = ring_words(end.ring, end.compound) if end.ring else "O-ring, size not specified"
        yield MaterialLine(count, words, f"injectors, {where}")


def _in_holes(stack: Stack) -> Iterator[MaterialLine]:
    for part in stack.parts:
        for hole in part.holes:
            if hole.tapping is None:
                continue
            place, thread = f"{part.name}, {hole.name}", hole.tapping.designation
            if hole.takes_fitting:
                port = f"straight port {hole.port}, {thread}, with its O-ring" if hole.port else thread
                yield MaterialLine(part.quantity, f"fitting or plug, {port}", place)
            if hole.tapping.insert > 0:
                long = size(hole.tapping.insert, stack.unit)
                yield MaterialLine(part.quantity, f"wire insert {thread}, {long} long", place)


def _dowels(stack: Stack) -> Iterator[MaterialLine]:
    for joint in stack.joints:
        if joint.dowels is not None:
            yield MaterialLine(
                _sets(stack, joint) * len(joint.dowels.spots), f"dowel {dowel_words(stack, joint)}", joint.name
            )


def dowel_words(stack: Stack, joint: Joint) -> str:
    """The diameter of a joint's dowels, and the longest that both bores and the sheets between them have room for."""
    if joint.dowels is None:
        return ""
    sheets = [part for part in stack.parts if part.is_gasket_or_shim and part.mounting(joint.name)]
    thin = [min((spot.thickness for spot in corners_of(one)), default=one.stock.height) for one in sheets]
    room = 2 * joint.dowels.depth + sum(thin)
    # Inch dowels have a standard of their own, with zones of its own: the zone alone is asked for.
    zone = "m6" if stack.unit == LengthUnit.INCH else "m6 (ISO 8734)"
    return f"⌀{size(joint.dowels.diameter, stack.unit)} {zone}, at most {size(room, stack.unit)} long"


NOT_SPECIFIED = "product not specified"


def pipe_sealant(stack: Stack) -> str:
    """What seals taper pipe threads."""
    product = stack.design.compounds.pipe_threads if stack.design else None
    return product or f"sealant that stands what flows there, {NOT_SPECIFIED}"


def _compounds(stack: Stack) -> Iterator[MaterialLine]:
    """Compounds as needed; what the spec leaves out is the builder's choice."""
    for joint in stack.joints:
        if joint.sealant:
            yield MaterialLine(1, f"sealant for faces: {joint.sealant}", joint.name)
    taper = [
        f"{part.name}, {hole.name}"
        for part in stack.parts
        for hole in part.holes
        if hole.tapping and hole.tapping.is_taper
    ]
    if taper:
        yield MaterialLine(1, f"for taper pipe threads: {pipe_sealant(stack)}", "; ".join(taper))
    said = stack.design.compounds if stack.design else None
    pressed = [part.name for part in stack.parts if part.fit is not None and part.fit.retaining_compound]
    if pressed:
        product = (said and said.bosses) or NOT_SPECIFIED
        yield MaterialLine(1, f"retaining compound for pressed bosses: {product}", ", ".join(pressed))
    if stack.design is not None:
        words = f"for threads and under heads, friction as {stack.design.friction.condition}"
        product = (said and said.threads) or NOT_SPECIFIED
        yield MaterialLine(1, f"{words}: {product}", "every bolt with a torque")
