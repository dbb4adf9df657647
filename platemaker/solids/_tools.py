"""What a cut takes away, as kernel solids: one turned tool a hole, one prism a milled region."""

from __future__ import annotations

import math

from platemaker.errors import GeometryError
from platemaker.parts import (
    Cut,
    Hole,
    Part,
    Planed,
    PlateStock,
    Profile,
    RoundStock,
    Side,
    Stock,
    StripStock,
    flat_pattern,
)
from platemaker.plane import Loop
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._measure import location_of
from platemaker.solids._wires import prism_of
from platemaker.space import Frame

OVERSHOOT = 1.0
"""How far a tool stands out of the material, mm: a cut that ends flush with a face is fragile in the kernel."""


def tools_of(part: Part, cut: Cut) -> list[Solid]:
    """The solids that `cut` takes out of `part`."""
    if isinstance(cut, Hole):
        return [hole_tool(part.stock, cut)]
    if isinstance(cut, Planed):
        return [planing_tool(part.stock, cut)]
    bottom, top = profile_span(part.stock, cut)
    prisms = [prism_of(region, bottom, top) for region in cut.regions]
    bent = flat_pattern(part)
    if bent is None or cut.leg is None or not isinstance(part.stock, StripStock):
        return prisms
    origin, normal = part.stock.leg_point(cut.leg, -bent.starts[cut.leg], 0.0)
    leg = location_of(Frame(origin, (normal[2], 0.0, -normal[0]), (0.0, 1.0, 0.0)))
    return [prism.moved(leg) for prism in prisms]


def profile_span(stock: Stock, profile: Profile) -> tuple[float, float]:
    """Lowest and highest Z of a milled figure's tool, overshoot included, mm."""
    height = stock_height(stock)
    if profile.through:
        return -OVERSHOOT, height + OVERSHOOT
    if profile.side is Side.ABOVE:
        return height - profile.depth, height + OVERSHOOT
    return -OVERSHOOT, profile.depth


def planing_tool(stock: Stock, cut: Planed) -> Solid:
    """All that lies over a planed face: a box that stands on it and reaches past the blank on every side."""
    if not isinstance(stock, PlateStock):
        message = f"'{cut.name}' planes a face that the blank does not have"
        raise GeometryError(message)
    cq = kernel()
    x0, y0, x1, y1 = stock.region.bounds
    x, y, long = (x0 + x1) / 2, (y0 + y1) / 2, math.hypot(x1 - x0, y1 - y0) + stock.thickness + OVERSHOOT
    normal = (-cut.face.along_x, -cut.face.along_y, 1.0)
    size = math.hypot(*normal)
    frame = Frame.from_normal((x, y, cut.face.at(x, y)), (normal[0] / size, normal[1] / size, normal[2] / size))
    return cq.Solid.makeBox(2 * long, 2 * long, long, cq.Vector(-long, -long, 0.0)).moved(location_of(frame))


def stock_height(stock: Stock) -> float:
    """Height of the upper face over Z = 0, mm; of a bent strip, that of its first leg."""
    return stock.diameter if isinstance(stock, RoundStock) else stock.thickness


def hole_tool(stock: Stock, hole: Hole) -> Solid:
    """The hole as one turned solid about its axis: its steps, its drill point, and an overshoot where it is open."""
    cq = kernel()
    frame = Frame.from_normal(hole.at, hole.direction)
    points = [cq.Vector(*frame.to_world((radius, 0.0, depth))) for radius, depth in _half_section(stock, hole)]
    start = cq.Vector(*hole.at)
    return cq.Solid.revolve(cq.Wire.makePolygon(points, close=True), [], 360.0, start, start + cq.Vector(*frame.z_axis))


def _half_section(stock: Stock, hole: Hole) -> list[tuple[float, float]]:
    """Corners of the tool's half section, as radius and depth along the axis, from the axis round to the axis."""
    depth = -_entry_overshoot(stock, hole)
    corners = [(0.0, depth)]
    for step in hole.steps:
        last = step is hole.steps[-1]
        end = step.end + (_exit_overshoot(stock, hole) if hole.through and last else 0.0)
        corners += [(step.diameter / 2, depth), (step.diameter / 2, end)]
        depth = end
    tip = 0.0
    if hole.tip_angle is not None and not hole.through:
        tip = hole.diameter / 2 / math.tan(math.radians(hole.tip_angle / 2))
    return [*corners, (0.0, depth + tip)]


def _entry_overshoot(stock: Stock, hole: Hole) -> float:
    """How far the tool must stand out so that its whole rim is out of the material, mm."""
    radius = hole.steps[0].diameter / 2
    if isinstance(stock, RoundStock):
        return OVERSHOOT + _round_overshoot(stock, hole, radius)
    return OVERSHOOT + radius * _slope(stock, hole)


def _exit_overshoot(stock: Stock, hole: Hole) -> float:
    if isinstance(stock, RoundStock):
        return OVERSHOOT + _round_overshoot(stock, hole, hole.diameter / 2)
    return OVERSHOOT + hole.diameter / 2 * _slope(stock, hole)


def _round_overshoot(stock: RoundStock, hole: Hole, radius: float) -> float:
    # Round bar is convex: whatever stands out of it on the axis's way out meets no more of it, so reach generously.
    lengthwise = abs(hole.direction[0]) > 1 - 1e-12
    return 0.0 if lengthwise else radius + stock.diameter / 2


def _slope(stock: PlateStock | StripStock, hole: Hole) -> float:
    """Tangent of the angle between the hole's axis and the face that it enters; holes of a strip are square to it."""
    if isinstance(stock, StripStock):
        return 0.0
    normal = _entry_normal(stock, hole)
    cosine = abs(sum(a * b for a, b in zip(normal, hole.direction, strict=True)))
    if cosine < 1e-6:
        message = f"hole '{hole.name}' at {hole.at} runs along the face that it starts from"
        raise GeometryError(message)
    return math.sqrt(max(0.0, 1 - cosine**2)) / cosine


def _entry_normal(stock: PlateStock, hole: Hole) -> tuple[float, float, float]:
    x, y, z = hole.at
    if hole.square or min(abs(z), abs(z - stock.thickness)) < 1e-6:
        return 0.0, 0.0, 1.0
    tangent = _nearest_tangent(stock.region.outer, (x, y))
    return tangent[1], -tangent[0], 0.0


def _nearest_tangent(loop: Loop, at: tuple[float, float]) -> tuple[float, float]:
    """Direction of the outline at the sampled place that lies nearest to `at`."""
    places = [(edge, share / 64) for edge in loop.edges for share in range(65)]
    edge, share = min(places, key=lambda place: math.dist(place[0].point(place[1]), at))
    return edge.tangent(share)
