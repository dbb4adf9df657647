"""Faults of validation, each in its exact words, on a small family of models that has every kind of union."""

from enum import Enum
from pathlib import Path
from typing import Annotated, Literal

import pytest
from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    Strict,
    StringConstraints,
    Tag,
    ValidationError,
    model_validator,
)

from platemaker.errors import CatalogError, SpecError, SpecErrors
from platemaker.spec._located import located
from platemaker.spec._quantities import Angle, Length, Point, PositiveLength, Pressure, from_catalog
from platemaker.spec._yaml import load_yaml


class Strictly(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid")


Name = Annotated[str, StringConstraints(pattern=r"^[a-z_]{1,20}$"), Field(description="small letters and _")]


class CirclePattern(Strictly):
    circle: PositiveLength
    count: Annotated[int, Field(ge=1, le=24)]
    at: Point = (0.0, 0.0)


class RectanglePattern(Strictly):
    rectangle: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]
    at: Point = (0.0, 0.0)

    @model_validator(mode="after")
    def _not_square(self):
        if self.rectangle[0] == self.rectangle[1]:
            raise ValueError("a square has no long side")
        return self


class RowPattern(Strictly):
    row: Annotated[tuple[Length, ...], Strict(False), Field(min_length=2)]


class Grade(Enum):
    SOFT = "soft"
    HARD = "hard"


def _thread(word):
    if word != "M8":
        raise CatalogError(f"no thread '{word}' in the catalog; allowed: M8", ["M8"], word)
    return word


def _keyed(value):
    return next((key for key in ("box", "tube") if key in value), None) if isinstance(value, dict) else None


class Box(Strictly):
    box: Annotated[tuple[Length, Length, Length], Strict(False)]


class Tube(Strictly):
    tube: PositiveLength
    length: PositiveLength


Stock = Annotated[
    Annotated[Box, Tag("box")] | Annotated[Tube, Tag("tube")],
    Discriminator(_keyed, custom_error_type="no_kind", custom_error_message="Needs one of these keys: box, tube"),
]


class Plate(Strictly):
    kind: Literal["plate"]
    material: str
    thickness: PositiveLength
    pattern: CirclePattern | RectanglePattern | RowPattern | None = None
    holes: Literal["clear", "tapped"] = "clear"
    grade: Annotated[Grade, Field(strict=False)] = Grade.SOFT
    fillet: Length | Literal["none"] = "none"
    flush: bool = False
    strength: Annotated[str, Field(alias="class", max_length=4)] = "8.8"
    thread: Annotated[str, AfterValidator(from_catalog(_thread))] = "M8"


class Rail(Strictly):
    kind: Literal["rail"]
    stock: Stock
    bores: Annotated[tuple[Point, ...], Strict(False)] = ()
    tilt: Annotated[Angle, Field(le=90)] = 45.0
    spots: dict[Name, Point] | Annotated[tuple[Point, ...], Strict(False)] = ()


class Project(Strictly):
    project: Name
    boost: Pressure | None = None
    parts: dict[Name, Annotated[Plate | Rail, Field(discriminator="kind")]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _has_parts(self):
        if not self.parts:
            raise SpecError("no parts", allowed="at least one", nearest="parts")
        return self


HEAD = "project: demo\nparts:\n  lid:\n    kind: plate\n    material: steel\n"
PLATE = HEAD + "    thickness: 5\n"
RAIL = "project: demo\nparts:\n  rail:\n    kind: rail\n"
TUBE = RAIL + "    stock: {tube: 30, length: 400}\n"

CASES = {
    "unknown key": (
        PLATE + "    colour: red\n",
        (
            "p.yaml:7: parts.lid.colour: unknown key; allowed: kind, material, thickness, pattern, holes, grade, "
            "fillet, flush, class, thread"
        ),
    ),
    "misspelt key stands for the missing one": (
        HEAD + "    thicknes: 5\n",
        (
            "p.yaml:6: parts.lid.thicknes: unknown key; allowed: kind, material, thickness, pattern, holes, grade, "
            "fillet, flush, class, thread; did you mean 'thickness'?"
        ),
    ),
    "misspelt key at the top": (
        PLATE + "bost: 1 bar\n",
        "p.yaml:7: bost: unknown key; allowed: project, boost, parts; did you mean 'boost'?",
    ),
    "missing key": (HEAD, "p.yaml:3: parts.lid.thickness: this key is missing"),
    "missing unit": (
        "boost: 0.8\n" + PLATE,
        "p.yaml:1: boost: 0.8 is not a pressure: missing unit; allowed: MPa, Pa, kPa, GPa, bar, mbar, psi, ksi, inH2O",
    ),
    "wrong unit": (
        HEAD + "    thickness: 5 mn\n",
        (
            "p.yaml:6: parts.lid.thickness: '5 mn' is not a length: unknown unit 'mn' of length; "
            "allowed: mm, um, cm, m, in, ft, thou; did you mean 'm'?"
        ),
    ),
    "absurd size": (
        HEAD + "    thickness: -5\n",
        "p.yaml:6: parts.lid.thickness: -5 is out of range for a length; allowed: above 0 mm, at most 10 m",
    ),
    "misspelt kind": (
        "project: demo\nparts:\n  lid:\n    kind: plat\n",
        "p.yaml:4: parts.lid.kind: not an allowed value, met 'plat'; allowed: plate, rail; did you mean 'plate'?",
    ),
    "no kind": (
        "project: demo\nparts:\n  lid: {thickness: 3}\n",
        "p.yaml:3: parts.lid.kind: this key is missing; allowed: plate, rail",
    ),
    "part is a number": ("project: demo\nparts:\n  lid: 4\n", "p.yaml:3: parts.lid: wanted is a mapping, met 4"),
    "part is nothing": ("project: demo\nparts:\n  lid:\n", "p.yaml:3: parts.lid: wanted is a mapping, met nothing"),
    "parts are a list": ("project: demo\nparts: [1]\n", "p.yaml:2: parts: wanted is a mapping, met a list"),
    "misspelt word": (
        PLATE + "    holes: taped\n",
        "p.yaml:7: parts.lid.holes: not an allowed value, met 'taped'; allowed: clear, tapped; did you mean 'tapped'?",
    ),
    "misspelt enum": (
        PLATE + "    grade: sft\n",
        "p.yaml:7: parts.lid.grade: not an allowed value, met 'sft'; allowed: soft, hard; did you mean 'soft'?",
    ),
    "number for text": (
        PLATE.replace("steel", "6061"),
        "p.yaml:5: parts.lid.material: wanted is text, met 6061; allowed: text in quotes",
    ),
    "text for true": (PLATE + "    flush: yes\n", "p.yaml:7: parts.lid.flush: wanted is true or false, met 'yes'"),
    "alias of a field": (
        PLATE + "    class: '12.91'\n",
        "p.yaml:7: parts.lid.class: text of 5 characters, met '12.91'; allowed: at most 4 characters",
    ),
    "catalog": (
        PLATE + "    thread: M7\n",
        "p.yaml:7: parts.lid.thread: no thread 'M7' in the catalog; allowed: M8",
    ),
    "union: fault of the likeliest member": (
        PLATE + "    pattern:\n      circle: 80\n      count: 99\n",
        "p.yaml:9: parts.lid.pattern.count: out of range, met 99; allowed: at least 1, at most 24",
    ),
    "union: misspelt key of the likeliest member": (
        PLATE + "    pattern: {rectangl: [80, 50]}\n",
        "p.yaml:7: parts.lid.pattern.rectangl: unknown key; allowed: rectangle, at; did you mean 'rectangle'?",
    ),
    "union: second member": (
        PLATE + "    pattern: {row: [4]}\n",
        "p.yaml:7: parts.lid.pattern.row: 1 entry; allowed: at least 2",
    ),
    "union: rule of one member": (
        PLATE + "    pattern: {rectangle: [5, 5]}\n",
        "p.yaml:7: parts.lid.pattern: a square has no long side",
    ),
    "union: inside a list": (
        PLATE + "    pattern:\n      row:\n        - 4\n        - 5 psi\n",
        (
            "p.yaml:10: parts.lid.pattern.row[1]: '5 psi' is not a length: 'psi' is a unit of pressure, not of length; "
            "allowed: mm, um, cm, m, in, ft, thou"
        ),
    ),
    "union: no member": (
        PLATE + "    pattern: {square: 5}\n",
        "p.yaml:7: parts.lid.pattern: none of the allowed forms; allowed: {circle, count}, or {rectangle}, or {row}",
    ),
    "union: not a mapping": (
        PLATE + "    pattern: 5\n",
        (
            "p.yaml:7: parts.lid.pattern: none of the allowed forms, met 5; "
            "allowed: {circle, count}, or {rectangle}, or {row}"
        ),
    ),
    "union of a quantity and a word": (
        PLATE + "    fillet: 5 psi\n",
        (
            "p.yaml:7: parts.lid.fillet: '5 psi' is not a length: 'psi' is a unit of pressure, not of length; "
            "allowed: mm, um, cm, m, in, ft, thou; allowed: a number, or none"
        ),
    ),
    "tag and key of one name": (
        RAIL + "    stock: {tube: x, length: 400}\n",
        (
            "p.yaml:5: parts.rail.stock.tube: 'x' is not a length: wanted is a number with a unit, such as "
            "6.35 mm, 1-1/4 in"
        ),
    ),
    "no key of a keyed union": (
        RAIL + "    stock: {tub: 30}\n",
        "p.yaml:5: parts.rail.stock: needs one of these keys: box, tube; did you mean 'tube'?",
    ),
    "entry of a keyed union": (
        RAIL + "    stock:\n      box: [1, 2, true]\n",
        (
            "p.yaml:6: parts.rail.stock.box[2]: True is not a length: wanted is a number with a unit, such as "
            "6.35 mm, 1-1/4 in"
        ),
    ),
    "point too short": (
        TUBE + "    bores:\n      - [1, 2]\n      - [1]\n",
        "p.yaml:8: parts.rail.bores[1]: 1 entry; allowed: exactly 2",
    ),
    "point too long": (
        TUBE + "    bores: [[1, 2, 3]]\n",
        "p.yaml:6: parts.rail.bores[0]: 3 entries; allowed: exactly 2",
    ),
    "field's own limits": (
        TUBE + "    tilt: 91\n",
        "p.yaml:6: parts.rail.tilt: out of range, met 91; allowed: at most 90",
    ),
    "key of a form that is not allowed": (
        PLATE.replace("lid", "Lid9"),
        "p.yaml:3: parts.Lid9: a key of a form that is not allowed, met 'Lid9'; allowed: small letters and _",
    ),
    "text of a form that is not allowed": (
        PLATE.replace("demo", "../x"),
        "p.yaml:1: project: text of a form that is not allowed, met '../x'; allowed: small letters and _",
    ),
    "union of mapping and list": (
        TUBE + "    spots:\n      a: [1, 2]\n      b: [1, 5 psi]\n",
        (
            "p.yaml:8: parts.rail.spots.b[1]: '5 psi' is not a length: 'psi' is a unit of pressure, not of length; "
            "allowed: mm, um, cm, m, in, ft, thou"
        ),
    ),
    "union of mapping and list, key": (
        TUBE + "    spots:\n      A: [1, 2]\n",
        "p.yaml:7: parts.rail.spots.A: a key of a form that is not allowed, met 'A'; allowed: small letters and _",
    ),
    "model's own rule": ("project: demo\n", "p.yaml:1: no parts; allowed: at least one; did you mean 'parts'?"),
}


def faults_of(tmp_path: Path, text: str) -> SpecErrors:
    path = tmp_path / "p.yaml"
    path.write_text(text)
    loaded = load_yaml(path)
    with pytest.raises(ValidationError) as caught:
        Project.model_validate(loaded.data, context={"units": "mm"})
    return located(caught.value, loaded.data, lambda *path: loaded.where(path), Project)


@pytest.mark.parametrize("case", CASES)
def test_one_fault(tmp_path, case):
    text, message = CASES[case]
    assert str(faults_of(tmp_path, text)) == message


def test_all_faults_in_the_order_of_the_lines(tmp_path):
    text = PLATE.replace("demo", "X").replace("steel", "1") + "    holes: x\n    pattern: {circle: 1}\n"
    faults = faults_of(tmp_path, text).faults
    assert [(fault.where.line, fault.where.key) for fault in faults] == [
        (1, "project"),
        (5, "parts.lid.material"),
        (7, "parts.lid.holes"),
        (8, "parts.lid.pattern.count"),
    ]


def test_nothing_of_the_library_shows(tmp_path):
    for text, _ in CASES.values():
        message = str(faults_of(tmp_path, text))
        assert "pydantic" not in message.lower()
        assert "http" not in message
        assert "Input should" not in message
