"""A snapshot of a project's folder: what its report would say, and what only the spec has."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

from platemaker import __version__
from platemaker.checks import Finding, check_stack
from platemaker.parts import Body, Bolts, Hole, Joint, Mark, Part, Profile, ProfileKind, Screw, Stack, position_zones
from platemaker.plane import Region, measures
from platemaker.records import replace
from platemaker.report import Meta, render_json
from platemaker.resolved import assemble, expected_volume, resolved
from platemaker.space import Frame
from platemaker.spec import ProjectSpec, load_project
from platemaker.study._snapshot import Change, Fact, Snapshot, Subject, Thing, reported_things
from platemaker.study._spec_facts import spec_things

OUTLINE = "outline"


def snapshot_of_folder(folder: Path) -> Snapshot:
    """The project in `folder`, assembled and checked. Raises SpecError or SpecErrors."""
    spec = load_project(folder.resolve())
    stack = assemble(spec)
    return snapshot_of(stack, check_stack(stack), spec)


def snapshot_of(stack: Stack, findings: Sequence[Finding], spec: ProjectSpec | None = None) -> Snapshot:
    """A stack and its findings, with everything that makes one spec's parts differ from another's."""
    volumes = {part.name: volume for part in stack.parts if (volume := expected_volume(part)) is not None}
    report = json.loads(render_json(stack, findings, Meta(__version__, "", "", volumes)))
    things = {thing.key: thing for thing in reported_things(report)}
    for part in stack.parts:
        _add(things, Thing(Subject.PART, "", part.name, dict(_part_facts(part))))
        for thing in _tolerances(stack, part):
            _add(things, thing)
        for thing in _cuts(part):
            _add(things, thing)
    for body in stack.bodies:
        _add(things, Thing(Subject.BODY, "", body.name, dict(_body_facts(body)), reported=False))
    for joint in stack.joints:
        _add(things, Thing(Subject.JOINT, "", joint.name, dict(_joint_facts(joint)), reported=False))
        _add(things, Thing(Subject.JOINT, "", joint.name, dict(_port_facts(joint)), reported=False))
    for thing in spec_things(spec) if spec else ():
        _add(things, thing)
    return Snapshot(stack.name, stack.unit, things)


def _add(things: dict[tuple[Subject, str, str], Thing], thing: Thing) -> None:
    """Add a thing, or more facts of one that the report speaks of."""
    known = things.get(thing.key)
    things[thing.key] = replace(known, facts={**known.facts, **thing.facts}) if known else thing


def _part_facts(part: Part) -> Iterator[tuple[str, Fact]]:
    for number, frame in enumerate(part.places, 1):
        yield from _place(f"place {number}", frame)
    yield "edge break", Fact(part.edge_break, "mm", Change.RESIZED)
    if part.bar is not None:
        yield "diameter", Fact(part.bar.diameter, "mm", Change.RESIZED)
        yield "length", Fact(part.bar.length, "mm", Change.RESIZED)
    if part.strip is not None:
        bends = part.strip.bends
        yield "width", Fact(part.strip.width, "mm", Change.RESIZED)
        yield "thickness", Fact(part.strip.thickness, "mm", Change.RESIZED)
        yield "legs", Fact(tuple(part.strip.legs), "mm", Change.RESIZED)
        yield "bend angles", Fact(tuple(bend.angle for bend in bends), "deg", Change.RESIZED)
        yield "bend radii", Fact(tuple(bend.radius for bend in bends), "mm", Change.RESIZED)


def _tolerances(stack: Stack, part: Part) -> Iterator[Thing]:
    """What the drawing allows, and how the surface is to be: of the part, its holes and grooves."""
    general = stack.drafting.tolerances.value if part.made else None
    words = {"general tolerances": general, "finish": part.finish, "treatment": part.treatment}
    fit = part.fit.words if part.fit else None
    sheets = {joint.name: joint.gasket or joint.seal for joint in stack.joints if joint.ports}
    sealed = [(one.joint, sheet) for one in part.mountings if (sheet := sheets.get(one.joint))]
    flat = {f"flatness of the face at {joint}": Fact(sheet.flatness, "mm") for joint, sheet in sealed}
    facts = {name: Fact(word) for name, word in {**words, "fit": fit}.items()}
    yield Thing(Subject.PART, "", part.name, {**facts, **flat})
    for hole, zone in position_zones(stack.joints, part, stack.rows).items():
        yield Thing(Subject.CUT, part.name, hole, {"position tolerance": Fact(zone, "mm")})
    seals = {joint.name: joint.seal for joint in stack.joints}
    for groove in (cut for cut in part.profiles if cut.kind is ProfileKind.GROOVE):
        if (seal := seals.get(groove.joint or "")) is not None:
            limits = {
                "depth limits": Fact(seal.depth_limits, "mm"),
                "width limits": Fact(seal.width_limits, "mm"),
                "deviation of the outer wall": Fact(seal.wall_deviation, "mm"),
            }
            yield Thing(Subject.CUT, part.name, groove.name, limits)


def _place(name: str, frame: Frame) -> Iterator[tuple[str, Fact]]:
    yield name, Fact(frame.origin, "mm", Change.MOVED)
    yield f"axes of {name}", Fact((*frame.x_axis, *frame.y_axis), "", Change.MOVED)


def _cuts(part: Part) -> Iterator[Thing]:
    if part.plate is not None:
        facts = dict(_figure_facts((part.plate.region,)))
        yield Thing(Subject.CUT, part.name, OUTLINE, facts, reported=False)
    for hole in part.holes:
        yield Thing(Subject.CUT, part.name, hole.name, dict(_hole_facts(hole)))
    for profile in resolved(part).flat.profiles:
        facts = {**dict(_figure_facts(profile.regions)), **dict(_profile_facts(profile))}
        yield Thing(Subject.CUT, part.name, profile.name, facts, reported=False)
    for mark in part.marks:
        yield Thing(Subject.CUT, part.name, f"mark {mark.name}", dict(_mark_facts(mark)), reported=False)


def _hole_facts(hole: Hole) -> Iterator[tuple[str, Fact]]:
    for number, step in enumerate(hole.steps, 1):
        yield f"step {number}", Fact(step.operation.value)
        yield f"step {number} diameter", Fact(step.diameter, "mm", Change.RESIZED)
        yield f"step {number} depths", Fact((step.start, step.end), "mm", Change.RESIZED)
    yield "drill point", Fact(hole.tip_angle, "deg", Change.RESIZED)
    yield "thread depth", Fact(hole.tapping.depth if hole.tapping else None, "mm", Change.RESIZED)
    if hole.tapping and hole.tapping.insert > 0:
        yield "insert", Fact(hole.tapping.insert, "mm", Change.RESIZED)
    if hole.screw is not None:
        yield "screw class", Fact(hole.screw.property_class)
        yield from _screw_facts(hole.screw)


def _screw_facts(screw: Bolts | Screw) -> Iterator[tuple[str, Fact]]:
    """What is bought and how it is tightened."""
    yield "head", Fact(screw.head)
    yield "screw length", Fact(screw.length, "mm")
    yield "washers", Fact(screw.washers)
    yield "torque", Fact(None if screw.torque is None else screw.torque / 1000, "N.m")
    yield "metal end", Fact(screw.metal_end, "mm")


def _joint_facts(joint: Joint) -> Iterator[tuple[str, Fact]]:
    """What is bought for a joint and put between its faces, beside the sheets, which are parts."""
    yield "title", Fact(joint.title)
    yield "sealant", Fact(joint.sealant)
    if joint.bolts is not None:
        yield from _screw_facts(joint.bolts)
    if joint.seal is not None:
        yield "O-ring", Fact(joint.seal.ring.dash)
        yield "rubber of the O-ring", Fact(joint.seal.compound)
    if joint.dowels is not None:
        yield "diameter of the dowels", Fact(joint.dowels.diameter, "mm", Change.RESIZED)
    if joint.shared is not None:
        yield "shared with", Fact(joint.shared.title)
        yield "shim of the shared bracket", Fact(joint.shared.shim, "mm", Change.RESIZED)


def _port_facts(joint: Joint) -> Iterator[tuple[str, Fact]]:
    """The figures of a joint's openings and of bodies' own ports."""
    ports = [(" ".join(("opening", *joint.called(port))), port) for port in joint.ports]
    for face in joint.faces:
        ports += [(" ".join(("port", *joint.called(port), "of", face.owner)), port) for port in face.ports]
    for name, port in ports:
        yield from ((f"{name}, {what}", fact) for what, fact in _figure_facts((port.region,)))


def _figure_facts(regions: Sequence[Region]) -> Iterator[tuple[str, Fact]]:
    """Area and length of the boundary, exact; place and turn of the figure by its middle and its box."""
    yield "area", Fact(sum(region.area for region in regions), "mm2", Change.RESIZED)
    yield "boundary", Fact(sum(region.perimeter for region in regions), "mm", Change.RESIZED)
    middle, boxes = measures(*regions).centroid, [region.bounds for region in regions]
    yield "middle", Fact(middle, "mm", Change.MOVED, rides=True)
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    yield "box", Fact((min(x0), min(y0), max(x1), max(y1)), "mm", Change.MOVED, rides=True)


def _profile_facts(profile: Profile) -> Iterator[tuple[str, Fact]]:
    yield "kind", Fact(profile.kind.value)
    yield "side", Fact(profile.side.value)
    yield "through", Fact(profile.through)
    for name, value in (("depth", profile.depth), ("cutter", profile.cutter), ("mouth radius", profile.mouth_radius),
                        ("mouth chamfer", profile.mouth_chamfer)):  # fmt: skip
        yield name, Fact(value, "mm", Change.RESIZED)
    yield "mouth angle", Fact(profile.mouth_angle, "deg", Change.RESIZED)
    yield "mouth", Fact(profile.mouth.value)


def _mark_facts(mark: Mark) -> Iterator[tuple[str, Fact]]:
    yield "text", Fact(mark.text)
    yield "at", Fact(mark.at, "mm", Change.MOVED)
    yield "height", Fact(mark.height, "mm", Change.RESIZED)
    yield "letters", Fact(mark.letters)


def _body_facts(body: Body) -> Iterator[tuple[str, Fact]]:
    yield "title", Fact(body.title)
    yield "material", Fact(body.material.name if body.material else None)
    if body.place is not None:
        yield from _place("place", body.place)
    if body.envelope is not None:
        shape = body.envelope
        yield "envelope", Fact(shape.kind.value + (f" {shape.file}" if shape.file else ""))
        yield "size", Fact(shape.size, "mm", Change.RESIZED)
        if shape.circle is not None:
            yield "diameter", Fact(2 * shape.circle.radius, "mm", Change.RESIZED)
        if shape.region is not None:
            yield from _figure_facts((shape.region,))
