"""O-ring face seals: squeeze, fill and stretch over the ring's tolerance, and the bends of the groove.

The groove's walls are cuts of the part, so that walls and floors see them with every other cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised, inputs_of
from platemaker.checks._finding import Finding, Limit, Sense, measured
from platemaker.checks._loads._seal_lines import carriers, cuts_at
from platemaker.checks._sealing._faces import flatness_inputs, unmeasured
from platemaker.formulas import oring_fill, oring_squeeze, oring_stretch, worked
from platemaker.parts import Joint, Part, Profile, ProfileKind, Seal, Stack, Vec3
from platemaker.plane import Arc, Region, nearest, wall, wall_between

SQUEEZE, FILL, CORNER, STRETCH, LAND = "PM926", "PM927", "PM928", "PM929", "PM921"
LAND_INSIDE = 1.0
"""Land inside an O-ring's groove, mm; common practice, no source."""
PRACTICE = "published gland practice for static face seals; common practice"
APART = "faces apart by their flatness: common practice, no source"
LEAST_SQUEEZE, MOST_SQUEEZE = (0.15, 0.18), (0.35, 0.32)
"""Share of the section: fail, caution. Gland tables squeeze by 19 to 33 %."""
MOST_FILL = (0.95, 0.90)
MOST_STRETCH = 0.03
"""Share by which pressure may stretch the shortest ring. Common practice, from memory: 2 to 5 %."""
BEND = 3.0
"""Least radius of a groove's inside corner, in sections of the ring. Common practice, from memory."""


def check_o_rings(stack: Stack) -> Iterator[Finding]:
    """Every O-ring of the project's joints in its groove."""
    for joint in stack.joints:
        for part in stack.parts:
            for cut in part.profiles:
                if joint.seal is not None and cut.kind is ProfileKind.GROOVE and cut.joint == joint.name:
                    yield from _ring(stack, joint, joint.seal, part, cut)
                    yield from _bears(stack, joint, part, cut)


def _ring(stack: Stack, joint: Joint, seal: Seal, part: Part, groove: Profile) -> Iterator[Finding]:
    ring, points = seal.ring, [_at(part, groove)]
    own = (groove.name,) if len(joint.ports) > 1 else ()
    features = (joint.name, *own, ring.designation)
    small, large = ring.section - ring.section_tolerance, ring.section + ring.section_tolerance
    # A groove that was read is as deep as it reads; one on paper lies within the limits of its drawing.
    shallow, deep = seal.depth_limits if groove.depth == seal.depth else (groove.depth, groove.depth)
    # Where both faces are low they stand apart by both together; where they touch, the groove alone squeezes.
    gap = sum(joint.flatness)
    least, most = worked(oring_squeeze, W=small, h=deep + gap), worked(oring_squeeze, W=large, h=shallow)
    yield measured(
        SQUEEZE, "squeeze of the thinnest ring", part.name, (*features, "least"), least.result,
        Limit(LEAST_SQUEEZE[0], "of section", f"{PRACTICE}; {APART}", LEAST_SQUEEZE[1]),
        points=points, inputs=[*inputs_of(least), ("deepest groove", deep, "mm"), *flatness_inputs(joint)],
        note=unmeasured(stack, joint),
    )  # fmt: skip
    yield measured(
        SQUEEZE, "squeeze of the thickest ring", part.name, (*features, "most"), most.result,
        Limit(MOST_SQUEEZE[0], "of section", PRACTICE, MOST_SQUEEZE[1], Sense.AT_MOST), points=points,
        inputs=inputs_of(most),
    )  # fmt: skip
    fill = worked(oring_fill, W=large, h=shallow, b=_width_least(seal, groove))
    yield measured(
        FILL, "groove filled by the thickest ring", part.name, features, fill.result,
        Limit(MOST_FILL[0], "of the groove", PRACTICE, MOST_FILL[1], Sense.AT_MOST), points=points,
        inputs=inputs_of(fill),
    )  # fmt: skip
    # Pressure lays the ring against the outer wall; its middle line lies half a section inside (Steiner).
    # The wall may be cut wider than drawn, by half of the deviation on either side.
    line = groove.regions[0].outer.perimeter + math.pi * (seal.wall_deviation - ring.section)
    short = worked(oring_stretch, L=line, d_1=ring.inside_diameter - ring.inside_diameter_tolerance, W=ring.section)
    yield advised(
        measured(
            STRETCH, "stretch of the shortest ring at the outer wall", part.name, features, short.result,
            Limit(MOST_STRETCH, "of its length", "common practice, no source", sense=Sense.AT_MOST), points=points,
            inputs=inputs_of(short),
        )
    )  # fmt: skip
    tightest = min((edge.radius for edge in groove.regions[0].holes[0].edges if isinstance(edge, Arc)), default=0.0)
    limit = Limit(BEND * ring.section, "mm", "common practice, no source")
    yield advised(
        measured(
            CORNER, "inside corner of the groove", part.name, features, tightest, limit, points=points,
            inputs=[("W", ring.section, "mm")], note="a ring bent more sharply lifts off the corner",
        )
    )  # fmt: skip


def _bears(stack: Stack, joint: Joint, part: Part, groove: Profile) -> Iterator[Finding]:
    """What the ring lies on: land to each port of a body, and to what ends the face of a made part across."""
    mounting = part.mounting(joint.name)
    if mounting is None:
        return
    ring, bodies = mounting.in_joint(groove.regions[0]), {body.name for body in stack.bodies}
    own = next((joint.called(port) for port in joint.ports if joint.groove(port) == groove.name), ())
    ends = [
        (f"port of {face.owner}" if joint.groove(port) == groove.name else f"port {port.name} of {face.owner}",
         wall(port.region, ring))
        for face in joint.faces if face.owner in bodies for port in face.ports
    ]  # fmt: skip
    over = [(other, at) for other, at in carriers(stack, joint) if other is not part]
    for other, at in [pair for pair in over if pair[0].is_gasket_or_shim] or over:
        edge = wall_between(Region.of(ring.outer), at.in_joint(other.stock.plan))
        cuts = [(cut.name, wall(cut.region, ring)) for _, cut in cuts_at(other, at, joint)]
        ends.append(min([(f"{other.name} outline", edge), *cuts], key=lambda end: end[1].distance))
    limit = Limit(0.0, "mm", "an O-ring lies on metal on both sides", caution=LAND_INSIDE)
    for name, way in ends:
        yield measured(
            LAND, "land beside the O-ring on the face across", part.name, (joint.name, *own, name), way.distance, limit,
            points=[(*mounting.in_plan(point), part.face_height(groove.side)) for point in (way.a, way.b)],
        )  # fmt: skip


def _width_least(seal: Seal, groove: Profile) -> float:
    """The least width, mm: that of the drawing, or what is left between the walls where they were read."""
    [region] = groove.regions
    drawn = nearest(region.outer, region.holes[0]).distance
    return seal.width_limits[0] if abs(drawn - seal.width) < 1e-5 else drawn


def _at(part: Part, groove: Profile) -> Vec3:
    return (*groove.regions[0].outer.edges[0].start, part.face_height(groove.side))
