"""What a cut takes away, as kernel solids made from the resolved voids: one turned tool a hole, prisms, mouths."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from platemaker.parts import Cut, Hole, Part, Planed, Vec3, leg_frame
from platemaker.plane import Line
from platemaker.resolved import Bored, Milled, resolved
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._measure import location_of
from platemaker.solids._wires import prism_of
from platemaker.space import Cone, Flare, Frame, dot, sub

OVERSHOOT = 0.005
"""How far a tool stands out of the face that it opens into, mm: a cut that ends flush with a face is fragile in the
kernel. In a bent strip it must not reach the leg opposite, so it is less than any gap that can be cut."""


def tools_of(part: Part, cut: Cut, *, drawn: bool = False) -> list[Solid]:
    """The solids that a cut of the part's flat pattern takes out of it; only the mouth of one `drawn` in the blank."""
    if isinstance(cut, Planed):
        return [_planing_tool(part, cut)]
    if drawn and (isinstance(cut, Hole) or cut.mouth_width == 0.0):
        return []
    voids = [void for void in resolved(part).voids_by(cut) if void.what == "mouth" or not drawn]
    bored = [void for void in voids if isinstance(void, Bored) and void.what != "thread"]
    tools = [_turned_tool(cut, bored)] if isinstance(cut, Hole) and bored else []
    tools += [tool for void in voids if isinstance(void, Milled) for tool in _milled_tools(void)]
    if part.strip is None:
        return tools
    x = cut.at[0] if isinstance(cut, Hole) else sum(cut.regions[0].bounds[::2]) / 2
    leg = location_of(leg_frame(part, x))
    return [tool.moved(leg) for tool in tools]


def _planing_tool(part: Part, cut: Planed) -> Solid:
    """All that lies over a planed face: a box that stands on it and reaches past the blank on every side."""
    cq = kernel()
    x0, y0, _, x1, y1, high = part.stock.box
    x, y, long = (x0 + x1) / 2, (y0 + y1) / 2, math.hypot(x1 - x0, y1 - y0) + high + 1.0
    normal = (-cut.face.along_x, -cut.face.along_y, 1.0)
    size = math.hypot(*normal)
    frame = Frame.from_normal((x, y, cut.face.at(x, y)), (normal[0] / size, normal[1] / size, normal[2] / size))
    return cq.Solid.makeBox(2 * long, 2 * long, long, cq.Vector(-long, -long, 0.0)).moved(location_of(frame))


def _turned_tool(hole: Hole, bored: Sequence[Bored]) -> Solid:
    """A hole as one solid turned about its axis, its steps and its drill point one after the other."""
    frame = Frame.from_normal(hole.at, hole.direction)
    corners = list(_half_section(hole, bored))
    depths = [depth for _, depth in corners]
    section = [(0.0, depths[0]), *corners, (0.0, depths[-1])]
    points = [frame.to_world((radius, 0.0, depth)) for radius, depth in section]
    return _turned(points if corners[-1][0] > 0.0 else points[:-1], hole.at, frame.z_axis)


def _half_section(hole: Hole, bored: Sequence[Bored]) -> Iterator[tuple[float, float]]:
    """Radius and depth of the tool's corners, from its first end to its last."""
    for void in bored:
        tool = void.tool
        wide, narrow = (tool.radius_start, tool.radius_end) if isinstance(tool, Cone) else (tool.radius, tool.radius)
        first, last = (dot(sub(end, hole.at), hole.direction) for end in (tool.start, tool.end))
        if void is bored[0]:
            # A cone grows on past its face, so that what it takes below the face stays as it is.
            past = void.step.widened(OVERSHOOT) / 2 if isinstance(tool, Cone) else wide
            yield past, first - OVERSHOOT
        else:
            yield wide, first
        yield narrow, last + (OVERSHOOT if void is bored[-1] and hole.through else 0.0)


def _turned(points: Sequence[Vec3], at: Vec3, axis: Vec3) -> Solid:
    cq = kernel()
    wire = cq.Wire.makePolygon([cq.Vector(*point) for point in points], close=True)
    start = cq.Vector(*at)
    return cq.Solid.revolve(wire, [], 360.0, start, start + cq.Vector(*axis))


def _milled_tools(void: Milled) -> Iterator[Solid]:
    tool, height = void.tool, void.blank.height
    place = location_of(void.blank.frame)
    if isinstance(tool, Flare):
        yield from _flare_pieces(tool)
        return
    low, high = void.span
    low, high = -OVERSHOOT if 0 in void.opens else low, height + OVERSHOOT if 1 in void.opens else high
    yield prism_of(void.region, low, high).moved(place)


def _flare_pieces(flare: Flare) -> Iterator[Solid]:
    """What a mouth takes out round its opening: a piece drawn out along each line and turned about each arc."""
    place = location_of(flare.frame)
    circle = flare.region.outer.as_circle()
    if circle is not None:
        x, y = circle.centre
        yield _turned_section(flare, lambda out, z: (x + circle.radius + out, y, z), (x, y), 360.0).moved(place)
        return
    for edge in flare.region.outer.edges:
        (x, y), (u, v) = edge.start, edge.tangent(0.0)

        def at(out: float, z: float, x: float = x, y: float = y, u: float = u, v: float = v) -> Vec3:
            return x + out * v, y - out * u, z

        if isinstance(edge, Line):
            cq = kernel()
            way = cq.Vector(edge.end[0] - x, edge.end[1] - y, 0.0)
            yield cq.Solid.extrudeLinear(_section(flare, at), [], way).moved(place)
        else:
            yield _turned_section(flare, at, edge.centre, math.degrees(edge.sweep)).moved(place)


def _turned_section(
    flare: Flare, at: Callable[[float, float], Vec3], centre: tuple[float, float], angle: float
) -> Solid:
    cq = kernel()
    foot = cq.Vector(*centre, 0.0)
    return cq.Solid.revolve(_section(flare, at), [], angle, foot, foot + cq.Vector(0.0, 0.0, 1.0))


def _section(flare: Flare, at: Callable[[float, float], Vec3]) -> Solid:
    """The mouth's section, from the opening's wall outwards, as a wire; `at` places (outwards, height)."""
    cq = kernel()
    wide, high, top = flare.width, flare.height, flare.height + OVERSHOOT
    foot, rim, over, back = (cq.Vector(*at(*p)) for p in ((0.0, 0.0), (wide, high), (wide, top), (0.0, top)))
    if flare.rounded:
        half = math.sqrt(0.5) * wide
        first = cq.Edge.makeThreePointArc(foot, cq.Vector(*at(wide - half, half)), rim)
    else:
        first = cq.Edge.makeLine(foot, rim)
    lines = [cq.Edge.makeLine(start, end) for start, end in ((rim, over), (over, back), (back, foot))]
    return cq.Wire.assembleEdges([first, *lines])
