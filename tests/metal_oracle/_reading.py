"""From a spec, as plain numbers, to blanks and the steps of their cuts. No kernel, and nothing of the package."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from tests.metal_oracle._plan import Point, Ring, circle, grid, inside, number, placed, ring_of, rounded, slot
from tests.metal_oracle._sizes import CONES, GLANDS, LIMIT, PIPE, POINT, PORTS, RINGS, SIZES, TAP_LEAD

Vec: TypeAlias = tuple[float, float, float]
Spec: TypeAlias = dict[str, Any]


@dataclass(frozen=True)
class Round:
    """A step of a hole: from `start` along the unit vector `way`, a cylinder, or a cone that ends in a point.

    A countersink is a cone that ends with the radius `narrow`.

    `entered` is open before its start: the tool comes from there. `leaves` is open behind its end: the hole goes through.
    """

    what: str
    start: Vec
    way: Vec
    length: float
    radius: float
    cone: bool = False
    entered: bool = False
    leaves: bool = False
    narrow: float | None = None

    @property
    def end(self) -> Vec:
        return along(self.start, self.way, self.length)


@dataclass(frozen=True)
class Milled:
    """A figure cut straight down: an outer ring, perhaps an island, between two heights; the faces that it opens."""

    what: str
    outer: Ring
    island: Ring | None
    low: float
    high: float
    opens: frozenset[str]


@dataclass(frozen=True)
class Mouth:
    """The rounded or tapered entry of an opening, around its ring: at the face at `height`, cut in the sense `down`.

    What it takes beside the opening: `wide` at the face, nothing at `deep`; a quarter round where it is `is_round`.
    """

    what: str
    ring: Ring
    height: float
    down: float
    wide: float
    deep: float
    is_round: bool
    opens: frozenset[str]


Step: TypeAlias = Round | Milled | Mouth


@dataclass(frozen=True)
class Cut:
    """A cut by name with its steps. `kind` is hole, opening, pocket, slot, relief or groove."""

    name: str
    kind: str
    steps: tuple[Step, ...]
    into: frozenset[str] = frozenset()
    through: bool = False

    @property
    def axis(self) -> tuple[Vec, Vec, float]:
        """Entry, unit way, and depth to the end of the last cylinder; only of a hole."""
        rounds = [step for step in self.steps if isinstance(step, Round) and not step.cone]
        first = rounds[0]
        return first.start, first.way, max(math.dist(first.start, one.end) for one in rounds)

    def radius_at(self, depth: float) -> float:
        """The widest step at a depth along a hole's axis, mm."""
        entry = self.axis[0]
        return max(
            one.radius
            for one in self.steps
            if isinstance(one, Round)
            and not one.cone
            and math.dist(entry, one.start) - 1e-9 <= depth <= math.dist(entry, one.end) + 1e-9
        )


@dataclass(frozen=True)
class Slab:
    """A blank: a ring from Z = 0 up to a thickness."""

    ring: Ring
    thickness: float


@dataclass(frozen=True)
class Bar:
    """Round bar along X, its middle at X = 0, its axis at Y = 0, Z = diameter / 2."""

    diameter: float
    length: float


@dataclass(frozen=True)
class Made:
    """A part as the oracle sees it: blank, cuts, limits of wall and floor in mm; `bent` where it is seen in its flat."""

    name: str
    blank: Slab | Bar
    cuts: tuple[Cut, ...]
    wall: float
    floor: float
    bent: bool = False


def along(point: Vec, way: Vec, length: float) -> Vec:
    return point[0] + length * way[0], point[1] + length * way[1], point[2] + length * way[2]


def parts_of(spec: Spec) -> list[Made]:
    """Every part of a spec that metal is left in."""
    found: list[Made] = []
    for name, model in spec["parts"].items():
        reader = {"plate": _plate, "drain_plate": _plate, "rail": _rail, "bracket": _bracket, "boss_row": _boss_row}
        found += reader[model["kind"]](name, model, spec)
    return found


def _limits(material: str, model: Spec, spec: Spec) -> dict[str, float]:
    own = {**spec.get("limits", {}), **model.get("limits", {})}
    least = LIMIT[material]
    return {name: number(own.get(f"minimum_{name}", least)) for name in ("wall", "floor")}


# Holes


def _hole(
    name: str, entry: Vec, way: Vec, steps: list[tuple[Any, ...]], *, through: bool, point: bool = False,
    thread: tuple[float, float] | None = None, into: Any = (), kind: str = "hole",
) -> Cut:  # fmt: skip
    """`steps` are what, diameter, from, to, and of a cone its last diameter; `thread` is major diameter and depth."""
    rows = [*steps, ("thread", thread[0], 0.0, thread[1])] if thread else steps
    last = max(row[3] for row in steps)
    made = [
        Round(
            what, along(entry, way, start), way, end - start, wide / 2,
            entered=start == 0.0, leaves=through and end >= last - 1e-9, narrow=narrow[0] / 2 if narrow else None,
        )
        for what, wide, start, end, *narrow in rows
    ]  # fmt: skip
    if point and not through:
        radius = steps[-1][1] / 2
        height = radius / math.tan(math.radians(POINT / 2))
        made.append(Round("point", along(entry, way, last), way, height, radius, cone=True))
    return Cut(name, kind, tuple(made), frozenset(into), through)


def _single(name: str, model: Spec, entry: Vec, way: Vec, length: float) -> Cut:
    """A hole by its words; `length` of material before it."""
    into, depth = model.get("into", ()), model.get("depth")
    deep = length if depth is None else number(depth)
    through = depth is None or deep == length
    if "tapped" in model:
        return _tapped(name, model["tapped"], entry, way, length, None if depth is None else deep, into)
    if "counterbored" in model:
        size = SIZES[model["counterbored"]]
        steps = [("counterbore", size.wide, 0.0, size.deep), ("hole", size.clear, size.deep, deep)]
    elif "countersunk" in model:
        size = SIZES[model["countersunk"]]
        cone = grid((size.sunk - size.clear) / 2)
        steps = [("countersink", size.sunk, 0.0, cone, size.clear), ("hole", size.clear, cone, deep)]
    else:
        wide = SIZES[model["clear"]].clear if "clear" in model else number(model["diameter"])
        steps = [("hole", wide, 0.0, deep)]
    return _hole(name, entry, way, steps, through=through, point=True, into=into)


def _tapped(name: str, word: str, entry: Vec, way: Vec, length: float, depth: float | None, into: Any = ()) -> Cut:
    size = SIZES[word]
    if depth is None or depth >= length:
        return _hole(
            name,
            entry,
            way,
            [("hole", size.tap_drill, 0.0, length)],
            through=True,
            thread=(size.major, length),
            into=into,
        )
    deep = grid(depth + TAP_LEAD * size.pitch)
    return _hole(
        name, entry, way, [("hole", size.tap_drill, 0.0, deep)], through=False, point=True, thread=(size.major, depth),
        into=into,
    )  # fmt: skip


def _entry(at: Any, side: str, thickness: float) -> tuple[Vec, Vec]:
    x, y = grid(at[0]), grid(at[1])
    return ((x, y, thickness), (0.0, 0.0, -1.0)) if side == "above" else ((x, y, 0.0), (0.0, 0.0, 1.0))


# Plates


def _plate(name: str, model: Spec, spec: Spec) -> list[Made]:
    thickness = grid(model["thickness"])
    ring = ring_of(model["outline"])
    cuts = [*_mounted(model, spec, thickness, name)]
    for word, hole in model.get("holes", {}).items():
        entry, way = _entry(hole["at"], hole.get("side", "above"), thickness)
        cuts.append(_single(word, hole, entry, way, thickness))
    if model["kind"] == "drain_plate":
        cuts.append(_drain(model["drain"], thickness))
    openings = (
        {"opening": model["opening"], **model.get("openings", {})} if "opening" in model else model.get("openings", {})
    )
    cuts += [_opening(word, one, model, spec, thickness) for word, one in openings.items()]
    cuts += [
        _blind(word, "relief", circle((grid(one["at"][0]), grid(one["at"][1])), number(one["diameter"])), one["depth"], one.get("side", "below"), thickness)
        for word, one in model.get("reliefs", {}).items()
    ]  # fmt: skip
    cuts += [_slot(word, one, thickness) for word, one in model.get("slots", {}).items()]
    pockets = {"pocket": model["pocket"], **model.get("pockets", {})} if "pocket" in model else model.get("pockets", {})
    cuts += [
        _blind(word, "pocket", ring_of(one["shape"]), one["depth"], one.get("side", "above"), thickness)
        for word, one in pockets.items()
    ]
    cuts += [_bore(word, one, ring, thickness) for word, one in model.get("bores", {}).items()]
    return [Made(name, Slab(ring, thickness), tuple(cuts), **_limits(model["material"], model, spec))]


def _blind(
    name: str, kind: str, ring: Ring, depth: Any, side: str, thickness: float, island: Ring | None = None
) -> Cut:
    deep = grid(depth)
    low, high = (thickness - deep, thickness) if side == "above" else (0.0, deep)
    return Cut(name, kind, (Milled(kind, ring, island, low, high, frozenset({side})),))


def _slot(name: str, model: Spec, thickness: float) -> Cut:
    at = model.get("at", [0, 0])
    ring = slot((grid(at[0]), grid(at[1])), *(number(one) for one in model["slot"]), number(model.get("turn", 0)))
    if "depth" in model and number(model["depth"]) < thickness:
        return _blind(name, "slot", ring, model["depth"], model.get("side", "above"), thickness)
    return Cut(name, "slot", (Milled("slot", ring, None, 0.0, thickness, frozenset({"above", "below"})),), through=True)


def _opening(name: str, model: Spec, part: Spec, spec: Spec, thickness: float) -> Cut:
    if "match" in model:
        at, turn = (0.0, 0.0), 0.0
        for side in ("below", "above"):
            mount = part.get(side, {}).get(model["match"])
            if mount is not None:
                at, turn = _frame(mount)
        ring = ring_of(spec["joints"][model["match"]]["opening"], at, turn)
    else:
        ring = ring_of(model["shape"])
    steps: list[Step] = [Milled("opening", ring, None, 0.0, thickness, frozenset({"above", "below"}))]
    side = model.get("mouth", "below")
    height, down = (thickness, -1.0) if side == "above" else (0.0, 1.0)
    rho, wide = number(model.get("mouth_radius", 0)), number(model.get("mouth_chamfer", 0))
    if rho > 0:
        steps.append(Mouth("mouth", ring, height, down, rho, rho, True, frozenset({side})))
    elif wide > 0:
        deep = wide / math.tan(math.radians(number(model.get("mouth_angle", 45))))
        steps.append(Mouth("mouth", ring, height, down, wide, deep, False, frozenset({side})))
    return Cut(name, "opening", tuple(steps), through=True)


def _frame(mount: Spec) -> tuple[Point, float]:
    at = mount.get("at", [0, 0])
    return (number(at[0]), number(at[1])), number(mount.get("turn", 0))


def _mounted(part: Spec, spec: Spec, thickness: float, owner: str) -> Iterator[Cut]:
    """Holes and grooves of the joints that a plate has on its faces."""
    for side in ("below", "above"):
        for word, mount in part.get(side, {}).items():
            joint, (at, turn) = spec["joints"][word], _frame(mount)
            other = "above" if side == "below" else "below"
            role, bolts = mount.get("holes", "clear"), joint.get("bolts")
            for spot, point in spots_of(bolts["pattern"]).items() if bolts and role != "none" else ():
                entry, way = _entry(placed(point, at, turn), side if role == "tapped" else other, thickness)
                name = f"{word}_{spot}"
                if role == "tapped":
                    depth = mount.get("thread_depth")
                    yield _tapped(
                        name, bolts["thread"], entry, way, thickness, None if depth is None else number(depth)
                    )
                else:
                    size = SIZES[bolts["thread"]]
                    deep = grid(size.deep + number(mount.get("head_clearance", 0))) if role == "counterbored" else 0.0
                    steps = [("hole", size.clear, deep, thickness)]
                    steps = [("counterbore", size.wide, 0.0, deep), *steps] if deep else steps
                    yield _hole(name, entry, way, steps, through=True)
            if "seal" in joint and joint["seal"].get("part", owner) == owner:
                yield _groove(word, joint, at, turn, side, thickness)


def _groove(word: str, joint: Spec, at: Point, turn: float, side: str, thickness: float) -> Cut:
    """The ring lies against the outer wall: pi (d1 + W) is the length of its middle line (Steiner: L + 2 pi s)."""
    port = ring_of(joint["opening"], at, turn)
    inside, section = RINGS[joint["seal"]["o_ring"]]
    deep, wide = GLANDS[section]
    outer = grid((math.pi * (inside + section) - port.length) / (2 * math.pi) + section / 2)
    inner = grid(outer - wide)
    deep = number(joint["seal"].get("depth", grid(deep)))
    return _blind(f"{word}_groove", "groove", port.grown(outer), deep, side, thickness, port.grown(inner))


def spots_of(pattern: Spec) -> dict[str, Point]:
    """The spots of a joint's pattern, by name."""
    if "circle" in pattern:
        radius, count, start = number(pattern["circle"]) / 2, pattern["count"], number(pattern.get("start", 0))
        found = {str(i + 1): placed((radius, 0.0), (0.0, 0.0), start + 360.0 / count * i) for i in range(count)}
    elif "rectangle" in pattern:
        w, h = (number(one) / 2 for one in pattern["rectangle"])
        found = {str(i + 1): p for i, p in enumerate(((-w, -h), (w, -h), (w, h), (-w, h)))}
    elif "row" in pattern:
        found = {str(i + 1): (number(x), 0.0) for i, x in enumerate(pattern["row"])}
    else:
        points = pattern["points"]
        named = points.items() if isinstance(points, dict) else ((str(i + 1), p) for i, p in enumerate(points))
        found = {name: (number(p[0]), number(p[1])) for name, p in named}
    at, turn = _frame(pattern)
    put = {name: placed(point, at, turn) for name, point in found.items()}
    return {name: (grid(x), grid(y)) for name, (x, y) in put.items()}


def _drain(model: Spec, thickness: float) -> Cut:
    entry, way = _entry(model["at"], model.get("side", "below"), thickness)
    if "pipe_thread" in model:
        (major, drill), depth = PIPE[model["pipe_thread"]], thickness
    else:
        major, drill, depth, drilled = PORTS[model["port"]]
        depth = min(thickness, depth)
    first: list[tuple[Any, ...]] = []
    if "port" in model:
        wide, deep = CONES[model["port"]]
        narrow = grid(wide - 2 * deep * math.tan(math.radians(12)))
        first = [("countersink", wide, 0.0, grid(deep), narrow)]
    begin = first[0][3] if first else 0.0
    steps = [*first, ("hole", drill, begin, thickness)]
    if "bore" in model:
        drilled = grid(drilled)
        steps = [*first, ("drill", drill, begin, drilled), ("hole", number(model["bore"]), drilled, thickness)]
    return _hole("drain", entry, way, steps, through=True, thread=(major, depth))


def _bore(name: str, model: Spec, ring: Ring, thickness: float) -> Cut:
    """A bore on any axis: through where the end of its depth, its point aside, lies outside the blank."""
    entry: Vec = (grid(model["at"][0]), grid(model["at"][1]), grid(model["at"][2]))
    u, v, w = (number(one) for one in model["towards"])
    size = math.hypot(u, v, w)
    way = (u / size, v / size, w / size)
    if "tapped" in model:
        made = _tapped(name, model["tapped"], entry, way, math.inf, number(model["depth"]), model.get("into", ()))
    else:
        steps = [("hole", number(model["diameter"]), 0.0, number(model["depth"]))]
        made = _hole(name, entry, way, steps, through=False, point=True, into=model.get("into", ()))
    if within(ring, thickness, along(entry, way, made.axis[2])):
        return made
    kept = tuple(
        replace(step, leaves=not within(ring, thickness, step.end))
        for step in made.steps
        if isinstance(step, Round) and not step.cone
    )
    return replace(made, steps=kept, through=True)


def within(ring: Ring, thickness: float, point: Vec) -> bool:
    """Whether a point lies inside a blank."""
    return 0.0 < point[2] < thickness and inside(ring, (point[0], point[1]))


# Rails


def _rail(name: str, model: Spec, spec: Spec) -> list[Made]:
    length, stock = number(model["length"]), model["stock"]
    high = number(stock["bar"][1]) if "bar" in stock else number(stock["round"])
    middle, wide = high / 2, number(model["passage"])
    blank: Slab | Bar = Bar(high, length)
    if "bar" in stock:
        x, y = length / 2, number(stock["bar"][0]) / 2
        blank = Slab(rounded([(-x, -y), (x, -y), (x, y), (-x, y)], [0.0] * 4), high)
    cuts = [_hole("passage", (-length / 2, 0.0, middle), (1.0, 0.0, 0.0), [("hole", wide, 0.0, length)], through=True)]
    for word, sign in (("front_end", -1.0), ("rear_end", 1.0)) if "ends" in model else ():
        size, deep = SIZES[model["ends"]["thread"]], number(model["ends"]["depth"])
        entry, way = (sign * length / 2, 0.0, middle), (-sign, 0.0, 0.0)
        cuts.append(
            _hole(
                word, entry, way, [("hole", size.tap_drill, 0.0, grid(deep + TAP_LEAD * size.pitch))], through=False,
                thread=(size.major, deep), into=("passage",),
            )
        )  # fmt: skip
    cross = model["cross_bore"]
    steps = [("hole", number(cross["diameter"]), 0.0, middle)]
    if "seat" in cross:
        deep = number(cross["seat"]["depth"])
        steps = [("seat", number(cross["seat"]["diameter"]), 0.0, deep), ("hole", steps[0][1], deep, middle)]
    joint = spec["joints"][model["joint"]]
    for spot, (x, y) in spots_of(joint["spots"] if "spots" in joint else joint["bolts"]["pattern"]).items():
        cuts.append(
            _hole(f"{model['joint']}_{spot}", (x, y, 0.0), (0.0, 0.0, 1.0), steps, through=False, into=("passage",))
        )
    for word, hole in model.get("holes", {}).items():
        entry, way = _entry(hole["at"], hole.get("side", "above"), high)
        cuts.append(_single(word, hole, entry, way, high))
    return [Made(name, blank, tuple(cuts), **_limits(model["material"], model, spec))]


# Brackets, in their flat


def flat_of(model: Spec) -> tuple[list[float], list[tuple[float, float]], float]:
    """Where each leg's own length begins in the flat, where its straight begins and ends there; the flat's length.

    Machinery's Handbook 31st ed., p. 1421: the neutral line lies 0.64 of the thickness over pi/2 from the inside of a bend.
    """
    thickness, starts, flats, x, back = number(model["thickness"]), [], [], 0.0, 0.0
    bends = [(abs(number(one["angle"])), number(one["radius"])) for one in model.get("bends", ())]
    for i, leg in enumerate(model["legs"]):
        starts.append(grid(x - back))
        first, x = x, x + number(leg) - back
        if i < len(bends):
            angle, radius = bends[i]
            back = (radius + thickness) * math.tan(math.radians(angle) / 2)
            x -= back
        flats.append((first, x))
        if i < len(bends):
            x += math.radians(angle) * (radius + 0.64 / (math.pi / 2) * thickness)
    return starts, flats, grid(x)


def _bracket(name: str, model: Spec, spec: Spec) -> list[Made]:
    thickness, width = number(model["thickness"]), number(model["width"])
    starts, _, length = flat_of(model)
    ring = rounded([(0.0, -width / 2), (length, -width / 2), (length, width / 2), (0.0, width / 2)], [0.0] * 4)
    cuts = []
    for word, hole in model.get("holes", {}).items():
        entry = (grid(starts[hole["leg"] - 1] + number(hole["at"][0])), grid(hole["at"][1]), 0.0)
        cuts.append(_single(word, hole, entry, (0.0, 0.0, 1.0), thickness))
    for word, one in model.get("pockets", {}).items():
        shape = ring_of(one["shape"], (starts[one["leg"] - 1], 0.0))
        if "depth" in one:
            cuts.append(_blind(word, "pocket", shape, one["depth"], one.get("side", "above"), thickness))
        else:
            whole = Milled("opening", shape, None, 0.0, thickness, frozenset({"above", "below"}))
            cuts.append(Cut(word, "opening", (whole,), through=True))
    return [Made(name, Slab(ring, thickness), tuple(cuts), **_limits(model["material"], model, spec), bent=True)]


# Bosses and their casting


def _boss_row(name: str, model: Spec, spec: Spec) -> list[Made]:
    boss, casting, joint = model["boss"], model["casting"], spec["joints"][model["joint"]]
    long, wide = number(boss["length"]), number(boss["bore"])
    steps = [("hole", wide, 0.0, long)]
    if "seat" in boss:
        deep = number(boss["seat"]["depth"])
        steps = [("seat", number(boss["seat"]["diameter"]), 0.0, deep), ("hole", wide, deep, long)]
    bore = _hole("bore", (0.0, 0.0, long), (0.0, 0.0, -1.0), steps, through=True)
    blank = Slab(circle((0.0, 0.0), number(boss["outside_diameter"])), long)
    turned = Made(name, blank, (bore,), **_limits(model["material"], model, spec))
    spots = spots_of(joint["spots"] if "spots" in joint else joint["bolts"]["pattern"])
    thick, lean = grid(casting["thickness"]), math.radians(number(model.get("angle", 45)))
    way = (0.0, -math.cos(lean), -math.sin(lean)) if number(model.get("angle", 45)) != 90 else (0.0, 0.0, -1.0)
    wide = number(casting["bore"])
    whole = thick / math.sin(lean) + wide / 2 / math.tan(lean)
    deep = number(casting["depth"]) if "depth" in casting else whole
    through = deep >= whole
    steps = [("hole", wide, 0.0, min(deep, whole))]
    if "spotface" in casting:
        flat = number(casting["spotface"]["depth"])
        steps = [
            ("spotface", number(casting["spotface"]["diameter"]), 0.0, flat),
            ("hole", wide, flat, min(deep, whole)),
        ]
    cuts = tuple(
        _hole(f"{model['joint']}_{spot}", (*point, thick), way, steps, through=through) for spot, point in spots.items()
    )
    drilled = Made(
        f"{name}_drilling", Slab(ring_of(casting["flat"]), thick), cuts, **_limits(casting["material"], model, spec)
    )
    return [turned, drilled]
