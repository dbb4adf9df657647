"""Which keys a cure may change: what is made or bought, never what is stated of existing machines, loads or limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from platemaker.spec import ProjectSpec, dotted
from platemaker.study._keys import KeyPath

FIGURE = frozenset({"circle", "rectangle", "slot", "loop", "corner_radius", "at", "turn"})
PATTERN = frozenset({"circle", "rectangle", "row", "points", "count", "rows", "start", "at", "turn"})
HOLE = frozenset({"at", "diameter", "depth", "clear", "tapped", "counterbored", "countersunk", "insert",
                  "insert_length", "fit", "length", "class", "washers"})  # fmt: skip
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
STATED = frozenset({"keep_clear", "fitting", "injector", "screw.torque"})
"""Words anywhere in a key of a part whose values are read off what exists."""
BOUGHT = frozenset({"bolts.length", "bolts.class", "bolts.washers", "bolts.fit", "gasket.thickness", "gasket.material",
                    "gasket.overhang", "seal.o_ring", "seal.depth", "shared.shim", "shim.thickness", "shim.material",
                    "pilot.depth"})  # fmt: skip
"""What may change of every joint."""
DRAWN: Mapping[str, frozenset[str]] = {
    "bolts": PATTERN | {"thread"},
    "spots": PATTERN,
    "opening": FIGURE,
    "dowels": frozenset({"at", "diameter", "depth"}),
}
"""What may change of a joint between made parts alone: on an existing body it is there already."""
NAMED = frozenset({"below", "above", "openings", "pockets", "reliefs", "slots", "holes", "bores", "points", "marks"})
"""Keys of mappings from chosen names."""


def touched_keys(spec: ProjectSpec) -> tuple[KeyPath, ...]:
    """The keys that the spec states and that a cure may change, in its order."""
    held = _held(spec.data)
    found = []
    for section in ("parts", "joints"):
        for name, entry in spec.data.get(section, {}).items():
            for path in _leaves(entry, (section, name)):
                if _in_part(path) if section == "parts" else _in_joint(path, entry, held=name in held):
                    found.append(path)
    return tuple(found)


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


def _held(data: Mapping[str, Any]) -> frozenset[str]:
    """Joints of existing bodies and brackets, and places of bosses and injectors, which lie where the engine's ports are."""
    bodies = [name for body in data.get("bodies", {}).values() for name in (body or {}).get("joints", {})]
    rows = [part["joint"] for part in data.get("parts", {}).values() if "joint" in part]
    shared = [name for name, joint in data.get("joints", {}).items() if "shared" in joint]
    return frozenset([*bodies, *rows, *shared])


def nearest_first(
    keys: Sequence[KeyPath], parts: Sequence[str], lines: Sequence[str], words: frozenset[str]
) -> list[KeyPath]:
    """The keys that an item may depend on, the likeliest first: those of its features' own lines, of its parts.

    `lines` are the spec's keys of its features, `words` names that its features have.
    """

    def rank(path: KeyPath) -> int:
        text = dotted(path)
        if any(text == line or text.startswith((f"{line}.", f"{line}[")) for line in lines):
            return 0
        if words & {str(step) for step in path[1:]}:
            return 1
        if path[1] in parts:
            return 2 if len(words_of(path)) == 1 or words_of(path)[0] == "outline" else 3
        return 4

    return sorted(keys, key=rank)
