"""Which keys a cure may change: what is made or bought, never what is stated of existing machines, loads or limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from platemaker.spec import ProjectSpec, dotted
from platemaker.study._keys import KeyPath

FIGURE = frozenset({"circle", "rectangle", "slot", "loop", "corner_radius", "at", "turn"})
PATTERN = frozenset({"circle", "rectangle", "row", "points", "count", "rows", "start", "at", "turn"})
HOLE = frozenset({"at", "diameter", "depth", "clear", "tapped", "counterbored", "countersunk", "insert",
                  "insert_length", "fit", "length", "class", "washers", "torque"})  # fmt: skip
CUT = frozenset({"depth", "wall", "land", "cutter"})
PARTS: Mapping[str, frozenset[str]] = {
    "thickness": frozenset({"thickness"}),
    "material": frozenset({"material"}),
    "edge_break": frozenset({"edge_break"}),
    "outline": FIGURE | {"margin"},
    "below": frozenset({"at", "turn", "thread_depth", "head_clearance"}),
    "above": frozenset({"at", "turn", "thread_depth", "head_clearance"}),
    **dict.fromkeys(("opening", "openings"), FIGURE | CUT | {"mouth_radius", "mouth_chamfer", "mouth_angle"}),
    **dict.fromkeys(("pocket", "pockets"), FIGURE | CUT),
    "reliefs": frozenset({"at", "diameter", "depth", "cutter"}),
    "slots": FIGURE | CUT,
    "holes": HOLE,
    "bores": frozenset({"at", "diameter", "tapped", "depth"}),
    "drain": frozenset({"at", "bore"}),
    "angle": frozenset({"angle"}),
    "boss": frozenset({"outside_diameter", "length", "bore", "diameter", "depth"}),
    "stock": frozenset({"bar", "round"}),
    "length": frozenset({"length"}),
    "passage": frozenset({"passage"}),
    "cross_bore": frozenset({"diameter", "depth"}),
    "ends": frozenset({"thread", "depth"}),
    "standoff": frozenset({"standoff"}),
    "width": frozenset({"width"}),
    "legs": frozenset({"legs"}),
    "bends": frozenset({"angle", "radius"}),
    "turn": frozenset({"turn"}),
}
"""What may change of a part: the first and the last word of a key behind the part's name."""
CASTING = frozenset({"casting.bore", "casting.depth", "casting.spotface.diameter", "casting.spotface.depth"})
"""What is cut into an existing casting; the rest of it is there already."""
STATED = frozenset({"keep_clear", "fitting", "injector"})
"""Words anywhere in a key of a part whose values are read off what exists."""
BOUGHT = frozenset({"bolts.length", "bolts.class", "bolts.washers", "bolts.fit", "bolts.torque", "gasket.thickness",
                    "gasket.material", "gasket.overhang", "gasket.flatness", "seal.o_ring", "seal.depth",
                    "seal.flatness", "shared.shim", "shim.thickness", "shim.material", "pilot.depth"})  # fmt: skip
"""What may change of every joint: what is bought for it, and how it is tightened."""
DRAWN: Mapping[str, frozenset[str]] = {
    "bolts": PATTERN | {"thread"},
    "spots": PATTERN,
    **dict.fromkeys(("opening", "openings"), FIGURE),
    "dowels": frozenset({"at", "diameter", "depth"}),
}
"""What may change of a joint between made parts alone: on an existing body it is there already."""
BLANK = frozenset({"thickness", "outline", "width", "length", "legs", "stock", "standoff"})
"""What makes a part's blank, on which most of its measures depend."""
NAMED = frozenset({"below", "above", "openings", "pockets", "reliefs", "slots", "holes", "bores", "points", "marks"})
"""Keys of mappings from chosen names."""


def touched_keys(spec: ProjectSpec) -> tuple[KeyPath, ...]:
    """The keys that the spec states and that a cure may change, in its order."""
    held = held_joints(spec.data)
    parts, joints = (spec.data.get(section, {}) for section in ("parts", "joints"))
    of_parts = [path for name, one in parts.items() for path in _leaves(one, ("parts", name)) if _in_part(path)]
    of_joints = [
        path
        for name, one in joints.items()
        for path in _leaves(one, ("joints", name))
        if _in_joint(path, one, held=name in held)
    ]
    return (*of_parts, *of_joints)


def _leaves(value: Any, path: KeyPath) -> Iterator[KeyPath]:
    if isinstance(value, Mapping):
        for key, below in value.items():
            yield from _leaves(below, (*path, key))
    elif isinstance(value, list):
        for place, below in enumerate(value):
            yield from _leaves(below, (*path, place))
    elif value is not None:
        yield path


def words_of(path: KeyPath) -> tuple[str, ...]:
    """A path behind its section and name, without chosen names and places in lists.

    >>> words_of(("parts", "lid", "holes", "stud", "at", 0))
    ('holes', 'at')
    """
    words: list[str] = []
    named = False
    for step in path[2:]:
        if isinstance(step, str):
            if not named:
                words.append(step)
            named = not named and step in NAMED
    return tuple(words)


def _in_part(path: KeyPath) -> bool:
    words = words_of(path)
    if words[0] == "casting":
        return ".".join(words) in CASTING
    return not STATED & set(words) and words[-1] in PARTS.get(words[0], ())


def _in_joint(path: KeyPath, joint: Mapping[str, Any], *, held: bool) -> bool:
    words = words_of(path)
    if ".".join(words) in BOUGHT:
        return True
    drawn = joint.get(words[0])
    pattern = drawn.get("pattern", drawn) if isinstance(drawn, Mapping) else {}
    surveyed = isinstance(pattern, Mapping) and "survey" in pattern
    return not held and not surveyed and words[-1] in DRAWN.get(words[0], ())


def held_joints(data: Mapping[str, Any]) -> frozenset[str]:
    """Joints of existing bodies and brackets, and places of bosses and injectors, where the engine has its ports."""
    bodies = [name for body in data.get("bodies", {}).values() for name in (body or {}).get("joints", {})]
    rows = [part["joint"] for part in data.get("parts", {}).values() if "joint" in part]
    shared = [name for name, joint in data.get("joints", {}).items() if "shared" in joint]
    return frozenset([*bodies, *rows, *shared])


def nearest_first(
    keys: Sequence[KeyPath], owners: frozenset[str], lines: Sequence[str], words: frozenset[str]
) -> list[KeyPath]:
    """The keys that an item may depend on, the likeliest first: of its features' own lines, of its parts and joints.

    `owners` are those parts and joints, `lines` the spec's keys of its features, `words` names that its features have.
    Of all others their thickness: it moves what stands on them.
    """

    def rank(path: KeyPath) -> int | None:
        text, own = dotted(path), words_of(path)
        if any(text == line or text.startswith((f"{line}.", f"{line}[")) for line in lines):
            return 0
        if path[1] in owners:
            named = {str(step) for step in path[1 if path[0] == "joints" else 2 :]}
            return 1 if words & named else 2 if own[0] in BLANK else 3
        return 4 if own[-1] == "thickness" else None

    ranked = [(place, path) for path in keys if (place := rank(path)) is not None]
    return [path for _, path in sorted(ranked, key=lambda one: one[0])]
