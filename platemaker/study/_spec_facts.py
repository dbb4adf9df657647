"""What a spec states beside its parts' metal: design, belt, limits, title block. Compared by what it means."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from platemaker.spec import ProjectSpec, SpecModel
from platemaker.study._snapshot import Fact, Subject, Thing

SECTIONS = ("drawing", "design", "belt", "stack", "limits")
_IN_JOINTS = ("gasket", "pressure", "level")
"""Of a joint what no fact of a part, spot or port shows. Thickness and material of the gasket are those of a part."""
_IN_PARTS = ("limits",)
_ON_BODIES = ("thread_depth", "position", "flange_thickness", "flatness")
_SHOWN = ("gasket.thickness", "gasket.material", "revisions")


def spec_things(spec: ProjectSpec) -> Iterator[Thing]:
    """The things that only a spec has: sections of its own, and keys of joints, parts and bodies that move no cut."""
    model, data = spec.model, spec.data
    own = {"project": Fact(model.project), "title": Fact(model.title), "units": Fact(model.units)}
    yield Thing(Subject.SPEC, "", "project", own, reported=False)
    for name in SECTIONS:
        facts = dict(_leaves(getattr(model, name), data.get(name), ""))
        yield Thing(Subject.SPEC, "", name, facts, reported=False)
    for one in model.accept:
        named = {"limit": Fact(one.limit), "because": Fact(one.because)}
        yield Thing(Subject.SPEC, "accept", f"{one.check} {one.feature}", named, reported=False)
    for subject, held, stated, keys in (
        (Subject.JOINT, model.joints, data.get("joints"), _IN_JOINTS),
        (Subject.PART, model.parts, data.get("parts"), _IN_PARTS),
    ):
        for name, entry in held.items():
            facts = dict(_keys(entry, _below(stated, name), keys))
            yield Thing(subject, "", name, facts, reported=False)
    for name, body in model.bodies.items():
        faces = _below(_below(data.get("bodies"), name), "joints")
        for joint, face in body.joints.items():
            facts = {f"{joint}.{key}": fact for key, fact in _keys(face, _below(faces, joint), _ON_BODIES)}
            yield Thing(Subject.BODY, "", name, facts, reported=False)


def _keys(model: SpecModel, data: Any, keys: tuple[str, ...]) -> Iterator[tuple[str, Fact]]:
    for key in keys:
        yield from _leaves(getattr(model, key), _below(data, key), key)


def _leaves(value: Any, data: Any, path: str) -> Iterator[tuple[str, Fact]]:
    """Each value of a model that the spec sets, by its key: compared in the unit used inside."""
    pairs: Iterable[tuple[Any, Any]]
    if isinstance(value, SpecModel):
        pairs = value.stated()
    elif isinstance(value, Mapping):
        pairs = value.items()
    elif isinstance(value, tuple) and value and isinstance(value[0], SpecModel):
        pairs = enumerate(value)
    else:
        if value is not None and not path.startswith(_SHOWN):
            yield path, Fact(_written(data, value), inside=value)
        return
    for word, entry in pairs:
        yield from _leaves(entry, _below(data, word), f"{path}.{word}" if path else str(word))


def _below(data: Any, key: Any) -> Any:
    """What plain data has under a key; None where it has none."""
    if isinstance(data, Mapping):
        return data.get(key)
    return data[key] if isinstance(data, list) and isinstance(key, int) and key < len(data) else None


def _written(data: Any, value: Any) -> str:
    """A value as its file has it."""
    if isinstance(data, bool) or data is None:
        return str(value if data is None else data).lower()
    if isinstance(data, list):
        return f"[{', '.join(_written(one, one) for one in data)}]"
    return f"{data:g}" if isinstance(data, float) else str(data)
