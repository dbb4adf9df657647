"""The numbers that a spec states: all of them, by key path, and each of them of a kind that has a usual range."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from platemaker.catalog import UsualSize, usual_size_of, usual_sizes
from platemaker.spec import ProjectModel, given_numbers, load_project
from platemaker.spec._quantities import Quantity
from platemaker.units import Dimension

SPEC = """
project: trial
units: in
limits: {minimum_wall: 1/8, edge_distance: 2, usual: {plate_length: [1, 100]}}
joints:
  rim: {bolts: {pattern: {points: {a: [0, 1], b: [2, 0]}}, thread: M6, class: 8.8}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 1/2
    outline: {loop: [[0, 0], [4, 0, 0.25], [4, 3]]}
    above: {rim: {holes: clear}}
    pockets: {window: {shape: {circle: 1}, depth: 5 mm, side: above}}
"""


def test_numbers_are_those_that_the_spec_sets_with_key_and_value_in_mm(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(SPEC, encoding="utf-8")
    stated = {one.path: (one.keys, one.value) for one in given_numbers(load_project(tmp_path).model)}
    points = ("joints", "rim", "bolts", "pattern", "points")
    loop = ("parts", "lid", "outline", "loop")
    window = ("parts", "lid", "pockets", "window")
    corners = [(0, 0, 0), (4, 0, 0.25), (4, 3, 0)]
    assert stated == {
        ("limits", "minimum_wall"): ("limits.minimum_wall", 3.175),
        ("limits", "edge_distance"): ("limits.edge_distance", 2.0),
        (*points, "a", 0): ("joints.bolts.pattern.points.0", 0.0),
        (*points, "a", 1): ("joints.bolts.pattern.points.1", 25.4),
        (*points, "b", 0): ("joints.bolts.pattern.points.0", 50.8),
        (*points, "b", 1): ("joints.bolts.pattern.points.1", 0.0),
        ("parts", "lid", "thickness"): ("plate.thickness", 12.7),
        **{
            (*loop, corner, place): (f"plate.outline.loop.{place}", round(inches * 25.4, 6))
            for corner, numbers in enumerate(corners)
            for place, inches in enumerate(numbers)
        },
        (*window, "shape", "circle"): ("plate.pockets.shape.circle", 25.4),
        (*window, "depth"): ("plate.pockets.depth", 5.0),
    }


def quantities(kind: Any, metadata: tuple[Any, ...], keys: tuple[str, ...]) -> Iterator[tuple[str, Dimension]]:
    """Every quantity of a model by its keys, as `given_numbers` writes them; of a list's entries the first."""
    own = next((one for one in metadata if isinstance(one, Quantity)), None)
    if own is not None:
        yield ".".join(keys), own.dimension
    elif get_origin(kind) is Annotated:
        inner, *more = get_args(kind)
        yield from quantities(inner, tuple(more), keys)
    elif isinstance(kind, type) and issubclass(kind, BaseModel):
        word = kind.model_fields.get("kind") if keys == ("parts",) else None
        start = get_args(word.annotation) if word else keys
        for name, field in kind.model_fields.items():
            if name != "usual":
                yield from quantities(field.annotation, tuple(field.metadata), (*start, field.alias or name))
    elif get_origin(kind) is tuple:
        for place, entry in enumerate(one for one in get_args(kind) if one is not Ellipsis):
            number = get_origin(entry) is Annotated and isinstance(get_args(entry)[-1], Quantity | FieldInfo)
            yield from quantities(entry, (), (*keys, str(place)) if number else keys)
    else:
        for entry in get_args(kind):
            yield from quantities(entry, (), keys)


def test_every_quantity_of_the_models_has_a_row_of_its_dimension() -> None:
    """A key that is new to the models fails here until the table says what is usual for it."""
    every = set(quantities(ProjectModel, (), ()))
    assert len(every) > 450
    lacking = []
    for keys, dimension in every:
        row = usual_size_of(keys)
        if row is None:
            lacking.append(keys)
        else:
            assert dimension_of(row) in (None, dimension), f"{keys}: {row.name}"
    assert lacking == []


def dimension_of(row: UsualSize) -> Dimension | None:
    """What a row with a range measures."""
    return row.measure.dimension if row.measure is not None and row.least is not None else None


def test_no_row_is_for_keys_that_no_model_has() -> None:
    met = {row.name for keys, _ in quantities(ProjectModel, (), ()) if (row := usual_size_of(keys)) is not None}
    assert {name for name, row in usual_sizes().items() if row.keys} <= met
