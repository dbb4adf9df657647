"""Makes a part again with the solid kernel, from what `drawing_reader` read off its drawing and hole table alone."""

from __future__ import annotations

import math
import re

import cadquery as cq

from tests.drawing_reader import Cutout, Drawing, HoleKind, Shape, Step

Vec = tuple[float, float, float]
FAR = 1.0
"""How far tools reach beyond the blank, mm."""


def rebuilt(read: Drawing, holes: list[dict[str, str]]) -> cq.Shape:
    """The part; of a casting that is only drilled, what its drills take out of its own metal."""
    if read.over_all.endswith(" flat"):
        return _bent(read, holes)
    blank = blank_of(read)
    cuts = [_cutout(read, cut) for cut in read.cutouts.values()]
    cuts += [tool for tag in read.places for tool in _drilled(read, tag)]
    body = blank.cut(*cuts) if cuts else blank
    if any("Existing casting" in note for note in read.notes):
        return blank.cut(body)
    for cut in read.cutouts.values():
        body = _with_mouth(read, body, cut)
    return body


def blank_of(read: Drawing) -> cq.Shape:
    """The outline of the plan as high as the part, at the place that the ordinates state."""
    if (bar := re.match(r"⌀ ?([\d.]+) × ([\d.]+)$", read.over_all)) and read.outline.size:
        low = min(read.x_rail)
        length, wide = float(bar[2]), float(bar[1])
        return cq.Solid.makeCylinder(wide / 2, length, cq.Vector(low, 0, wide / 2), cq.Vector(1, 0, 0))
    sides = (min(read.x_rail), max(read.x_rail), min(read.y_rail), max(read.y_rail))
    middle = ((sides[0] + sides[1]) / 2, (sides[2] + sides[3]) / 2)
    return _prism(read.outline, middle, 0.0, read.thickness)


def _prism(shape: Shape, middle: tuple[float, float], low: float, high: float) -> cq.Shape:
    wire = _wire(shape, middle)
    face = cq.Face.makeFromWires(wire)
    return cq.Solid.extrudeLinear(face, cq.Vector(0, 0, high - low)).moved(cq.Location(cq.Vector(0, 0, low)))


def _wire(shape: Shape, middle: tuple[float, float]) -> cq.Wire:
    x, y = shape.middle or middle
    if shape.circle is not None:
        return cq.Wire.makeCircle(shape.circle / 2, cq.Vector(x, y, 0), cq.Vector(0, 0, 1))
    if shape.points:
        return _by_points(shape.points)
    if shape.size is None:
        raise ValueError("a shape without size")
    wide, high = shape.size
    r = shape.radius
    plan = cq.Workplane().center(x, y)
    if r and abs(2 * r - min(wide, high)) < 1e-6:
        turned = 90.0 if high > wide else 0.0
        return plan.slot2D(max(wide, high), 2 * r, turned).wires().val()  # type: ignore[no-any-return,return-value]
    flat = cq.Sketch().rect(wide, high)
    if r:
        flat = flat.vertices().fillet(r)
    face = flat.moved(cq.Location(cq.Vector(x, y, 0))).faces().vals()[0]
    return face.outerWire()  # type: ignore[no-any-return,union-attr]


def _by_points(points: list[tuple[float, float, float]]) -> cq.Wire:
    edges = []
    for (x0, y0, r), (x1, y1, _) in zip(points, [*points[1:], points[0]], strict=True):
        a, b = cq.Vector(x0, y0, 0), cq.Vector(x1, y1, 0)
        if not r:
            edges.append(cq.Edge.makeLine(a, b))
            continue
        # The arc turns less than half a turn; its middle lies right of the chord where it goes anticlockwise.
        chord = math.dist((x0, y0), (x1, y1))
        rise = abs(r) - math.sqrt(max(r * r - chord * chord / 4, 0.0))
        side = math.copysign(rise / chord, r)
        middle = cq.Vector((x0 + x1) / 2 + side * (y1 - y0), (y0 + y1) / 2 - side * (x1 - x0), 0)
        edges.append(cq.Edge.makeThreePointArc(a, middle, b))
    return cq.Wire.assembleEdges(edges)


def _cutout(read: Drawing, cut: Cutout) -> cq.Shape:
    low, high = -FAR, read.thickness + FAR
    if cut.depth is not None:
        low, high = (read.thickness - cut.depth, high) if cut.side == "above" else (low, cut.depth)
    tool = _prism(cut.shape, (0.0, 0.0), low, high)
    islands = [_prism(island, (0.0, 0.0), low - FAR, high + FAR) for island in cut.islands]
    return tool.cut(*islands) if islands else tool


def _with_mouth(read: Drawing, body: cq.Shape, cut: Cutout) -> cq.Shape:
    """The edge where a cutout leaves a face, rounded or chamfered."""
    if not (cut.mouth_radius or cut.mouth_chamfer):
        return body
    level = read.thickness if cut.mouth == "above" else 0.0
    wire = _wire(cut.shape, (0.0, 0.0)).moved(cq.Location(cq.Vector(0, 0, level)))
    box = wire.BoundingBox()
    edges = [edge for edge in body.Edges() if _inside(edge.BoundingBox(), box)]
    solid = body.Solids()[0]
    if cut.mouth_radius:
        return solid.fillet(cut.mouth_radius, edges)
    down = cut.mouth_chamfer / math.tan(math.radians(cut.mouth_angle))
    return solid.chamfer(cut.mouth_chamfer, down, edges)


def _inside(own: cq.BoundBox, box: cq.BoundBox) -> bool:
    near = 0.02
    flat = abs(own.zmin - box.zmin) < near and abs(own.zmax - box.zmax) < near
    return flat and all(
        a >= b - near
        for a, b in ((own.xmin, box.xmin), (own.ymin, box.ymin), (box.xmax, own.xmax), (box.ymax, own.ymax))
    )


def _drilled(read: Drawing, tag: str) -> list[cq.Shape]:
    kind = read.kinds[tag.rstrip("0123456789")]
    place = read.places[tag]
    way = _way(kind)
    low = 0.0 if way[2] > 0 else read.thickness
    entry = (place[0], place[1], place[2] if len(place) > 2 else low)
    reach = 3 * (read.thickness + max(read.x_rail) - min(read.x_rail))
    return [tool for step in kind.steps for tool in _tools(step, kind, entry, way, reach)]


def _way(kind: HoleKind) -> Vec:
    """The direction in which a hole goes in, from the words of its call-out."""
    if along := re.search(r"along (X|Y), from its (negative|positive) end", kind.words):
        sign = 1.0 if along[2] == "negative" else -1.0
        return (sign, 0.0, 0.0) if along[1] == "X" else (0.0, sign, 0.0)
    up = 1.0 if "from below" in kind.words else -1.0
    lean = re.search(r"axis ([\d.]+)° to the face, going in towards (.*)$", kind.words)
    if lean is None:
        return (0.0, 0.0, up)
    angle = math.radians(float(lean[1]))
    towards = {"+X": 0.0, "+Y": 90.0, "-X": 180.0, "-Y": -90.0}.get(lean[2].strip())
    turn = math.radians(float(re.match(r"(-?[\d.]+)°", lean[2])[1]) if towards is None else towards)  # type: ignore[index]
    return (math.cos(angle) * math.cos(turn), math.cos(angle) * math.sin(turn), up * math.sin(angle))


def _tools(step: Step, kind: HoleKind, entry: Vec, way: Vec, reach: float) -> list[cq.Shape]:
    at, u = cq.Vector(*entry), cq.Vector(*way)
    back = 0.0 if abs(way[2]) > 1 - 1e-9 or abs(way[2]) < 1e-9 else step.diameter
    if step.cone is not None:
        return [_cone(step, kind, at, u)]
    depth = reach if step.depth is None else step.depth
    start = at - u * (FAR + back)
    tools: list[cq.Shape] = [cq.Solid.makeCylinder(step.diameter / 2, depth + FAR + back, start, u)]
    if step.point:
        high = step.diameter / 2 / math.tan(math.radians(step.point / 2))
        tools.append(cq.Solid.makeCone(step.diameter / 2, 0, high, at + u * depth, u))
    return tools


def _cone(step: Step, kind: HoleKind, at: cq.Vector, u: cq.Vector) -> cq.Shape:
    """A countersink, to its own depth or to the edge of the next narrower diameter; below a wider one from its floor."""
    slope = math.tan(math.radians((step.cone or 0.0) / 2))
    start = max((other.depth or 0.0 for other in kind.steps if other.diameter > step.diameter), default=0.0)
    if step.depth is not None and not start:
        deep = step.depth
    else:
        narrower = (other.diameter for other in kind.steps if other.diameter < step.diameter)
        deep = (step.diameter - max(narrower)) / 2 / slope
    at = at + u * start
    return cq.Solid.makeCone(step.diameter / 2, step.diameter / 2 - deep * slope, deep, at, u)


def _bent(read: Drawing, holes: list[dict[str, str]]) -> cq.Shape:
    """A bent strip: its legs to the sharp outside corners, its bends, and its holes where the hole table has them."""
    thick = float(read.over_all.split(" × ")[1])
    wide = float(read.over_all.split(" × ")[0])
    legs = [float(leg) for note in read.notes for leg in re.findall(r"[\d.]+\d", note) if note.startswith("Legs to")]
    bends = [
        (float(met[1]) * (1 if met[2] == "up" else -1), float(met[3]))
        for note in read.notes
        for met in re.finditer(r"([\d.]+)° (up|down), inside R([\d.]+)", note)
    ]
    tools = []
    for row in holes:
        at = cq.Vector(*(float(row[f"bent_{axis} [mm]"]) for axis in "xyz"))
        u = cq.Vector(*(float(row[f"bent_direction_{axis}"]) for axis in "xyz"))
        depth = 3 * thick if row["depth [mm]"] == "THRU" else float(row["depth [mm]"])
        radius = read.kinds[row["tag"].rstrip("0123456789")].steps[0].diameter / 2
        tools.append(cq.Solid.makeCylinder(radius, depth + FAR, at - u * FAR, u))
    middle = (min(read.y_rail) + max(read.y_rail)) / 2
    return _strip(legs, bends, thick, wide, middle).cut(*tools)


def _strip(legs: list[float], bends: list[tuple[float, float]], thick: float, wide: float, middle: float) -> cq.Shape:
    """The strip's side as a closed line, leg by leg; the first lies on Z = 0 and begins at X = 0.

    A leg runs to the sharp corner of the outside, which is the lower side where the next bend goes up.
    """
    back = [(radius + thick) * math.tan(math.radians(abs(angle)) / 2) for angle, radius in bends]
    straight = [leg - a - b for leg, a, b in zip(legs, [0.0, *back], [*back, 0.0], strict=True)]
    pieces = []
    at, heading = cq.Vector(0, 0, 0), 0.0
    for number, length in enumerate(straight):
        u, n = _axes(heading)
        pieces.append(_quad(at, at + u * length, n * thick, wide, middle))
        at = at + u * length
        if number < len(bends):
            angle, radius = bends[number]
            turn = math.radians(angle)
            centre = at + n * (radius + thick) if angle > 0 else at - n * radius
            pieces.append(_turned(at, n * thick, centre, angle, wide, middle))
            heading += turn
            _, after = _axes(heading)
            at = centre - after * (radius + thick) if angle > 0 else centre + after * radius
    whole = pieces[0]
    for piece in pieces[1:]:
        whole = whole.fuse(piece)
    return whole


def _axes(heading: float) -> tuple[cq.Vector, cq.Vector]:
    return cq.Vector(math.cos(heading), 0, math.sin(heading)), cq.Vector(-math.sin(heading), 0, math.cos(heading))


def _side(a: cq.Vector, b: cq.Vector, up: cq.Vector, wide: float, middle: float) -> cq.Face:
    off = cq.Vector(0, middle - wide / 2, 0)
    return cq.Face.makeFromWires(cq.Wire.makePolygon([a + off, b + off, b + up + off, a + up + off], close=True))


def _quad(a: cq.Vector, b: cq.Vector, up: cq.Vector, wide: float, middle: float) -> cq.Shape:
    return cq.Solid.extrudeLinear(_side(a, b, up, wide, middle), cq.Vector(0, wide, 0))


def _turned(at: cq.Vector, up: cq.Vector, centre: cq.Vector, angle: float, wide: float, middle: float) -> cq.Shape:
    """The section at the end of a leg, swept about the bend's axis."""
    off = cq.Vector(0, middle - wide / 2, 0)
    y = cq.Vector(0, wide, 0)
    face = cq.Face.makeFromWires(
        cq.Wire.makePolygon([at + off, at + up + off, at + up + off + y, at + off + y], close=True)
    )
    # About -Y a turn is anticlockwise seen from the front, which is up.
    return cq.Solid.revolve(face, angle, centre, centre + cq.Vector(0, -1, 0))
