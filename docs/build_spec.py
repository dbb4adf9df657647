"""Write docs/spec.md, the reference of keys, and its pictures from the models. Run at the project's root."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

from platemaker.parts import Part
from platemaker.project import load
from platemaker.resolved import Cutting
from platemaker.spec import KeyEntry, KeySection, reference
from platemaker.views import Sheet, plan_svg, section_svg

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
WIDTH, WIDE = 300, 640
HEAD = """# Reference of keys

Every key of a spec, written by `docs/build_spec.py` from the models that read it. `platemaker keys WORD` prints the
same in a terminal, and editors show it from the schema.

Bare lengths are in the project's `units`, bare angles in degrees; any value may carry its own unit, such as `1-1/4 in`,
`6.35 mm` or `30 deg`. Values of other kinds always carry theirs: `1.5 bar`, `90 degC`, `24 N.m`. NAME stands for a name
of your own; `[]` for each entry of a list. Where a place takes several forms, the form stands in brackets behind it.
"""
PLATE = "{kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [140, 90], corner_radius: 10}, "
PATTERN = (
    "joints: {face: {bolts: {pattern: {%s}, thread: M8, length: 30}}}\n"
    "parts: {plate: " + PLATE + "below: {face: {holes: clear}}}}"
)
CORNERS = "joints: {face: {bolts: {pattern: {rectangle: [116, 66]}, thread: M8, length: 30}, opening: {circle: 36}}}\n"
CUT = CORNERS + "parts: {plate: " + PLATE + "below: {face: {holes: clear}}, %s}}"
HOLES = (
    "{plain: {at: [-120, 0], diameter: 8, depth: 14}, clear: {at: [-85, 0], clear: M8}, "
    "tapped: {at: [-50, 0], tapped: M8, depth: 12}, counterbored: {at: [-15, 0], counterbored: M8}, "
    "countersunk: {at: [20, 0], countersunk: M8}, insert: {at: [55, 0], insert: M6}, "
    "pipe: {at: [88, 0], pipe_thread: 1/8 NPT}, port: {at: [120, 0], port: -4}}"
)
ALL_HOLES = (
    "parts: {plate: {kind: plate, material: 6061-T6, thickness: 22, outline: {rectangle: [280, 50]}, holes: "
    + HOLES
    + "}}"
)
ENTRY = (
    "openings: {round: {shape: {circle: 24, at: [-22, 0]}, mouth: above, mouth_radius: 6}, "
    "chamfer: {shape: {circle: 24, at: [22, 0]}, mouth: above, mouth_chamfer: 5}}"
)
GROOVE = CUT.replace("circle: 36}", "circle: 36}, seal: {o_ring: AS568-224}") % "opening: {match: face}"
ENGINE = "pump_engine"


@dataclass(frozen=True)
class Picture:
    """A part to show: the section of the reference it belongs to, its words, its spec (or a part of the example)."""

    name: str
    section: str
    words: str
    spec: str
    part: str = "plate"
    cut: bool = False

    @property
    def file(self) -> str:
        """The picture's file, in docs/pictures."""
        return f"spec_{self.name}.svg"


PICTURES = (
    Picture("plate", "Plate", "a plate of the example", ENGINE, "lower_plate"),
    Picture("drain_plate", "DrainPlate", "the drain plate of the example", ENGINE, "oil_return"),
    Picture("boss_row", "BossRow", "a boss of the example's row, cut open", ENGINE, "injector_bosses", cut=True),
    Picture("rail", "Rail", "the rail of the example, cut open", ENGINE, "fuel_rail", cut=True),
    Picture("bracket", "Bracket", "a bracket of the example", ENGINE, "rail_bracket_front", cut=True),
    Picture("circle", "CirclePattern", "`{circle: 70, count: 6}`", PATTERN % "circle: 70, count: 6"),
    Picture(
        "rectangle",
        "RectanglePattern",
        "`{rectangle: [110, 60], rows: [4, 2]}`",
        PATTERN % "rectangle: [110, 60], rows: [4, 2]",
    ),
    Picture("row", "RowPattern", "`{row: [-55, -20, 0, 50]}`", PATTERN % "row: [-55, -20, 0, 50]"),
    Picture(
        "points",
        "PointsPattern",
        "`{points: {a: [-50, 20], b: [0, -30], c: [50, 25]}}`",
        PATTERN % "points: {a: [-50, 20], b: [0, -30], c: [50, 25]}",
    ),
    Picture("plate", "SurveyPattern", "a plate on eight surveyed studs of the example's log", ENGINE, "lower_plate"),
    Picture("groove", "SealModel", "`{o_ring: AS568-224}`, cut open", GROOVE, cut=True),
    Picture("match", "MatchOpening", "`opening: {match: face}`", CUT % "opening: {match: face}"),
    Picture("entry", "ShapeOpening", "`mouth_radius` and `mouth_chamfer`, cut open", CUT % ENTRY, cut=True),
    Picture(
        "opening_open_out",
        "OpenOutOpening",
        "`{open_out: true, wall: 4, land: 8, cutter: 16}`",
        CUT % "opening: {open_out: true, wall: 4, land: 8, cutter: 16}",
    ),
    Picture(
        "pocket",
        "ShapePocket",
        "`{shape: {slot: [60, 24]}, depth: 8}`, cut open",
        CUT % "pocket: {shape: {slot: [60, 24]}, depth: 8}",
        cut=True,
    ),
    Picture(
        "pocket_open_out",
        "OpenOutPocket",
        "`{open_out: true, wall: 4, land: 8, cutter: 16, depth: 8}`",
        CUT % "pocket: {open_out: true, wall: 4, land: 8, cutter: 16, depth: 8}",
    ),
    Picture(
        "relief",
        "Relief",
        "`{at: [0, 0], diameter: 30, depth: 6}`, from below, cut open",
        CUT % "reliefs: {stud: {at: [0, 0], diameter: 30, depth: 6}}",
        cut=True,
    ),
    Picture("slot", "Slot", "`{slot: [60, 12], turn: 30}`", CUT % "slots: {long: {slot: [60, 12], turn: 30}}"),
    Picture("holes", "PlateHole", "every kind of single hole, cut open", ALL_HOLES, cut=True),
    Picture(
        "bore",
        "BoreModel",
        "`{at: [-20, 0, 20], towards: [1, 0, -1], diameter: 8, depth: 40}`, cut open",
        CUT % "bores: {oil: {at: [-20, 0, 20], towards: [1, 0, -1], diameter: 8, depth: 40}}",
        cut=True,
    ),
    Picture("mark", "MarkModel", "`{text: FRONT}`", CUT % "marks: {front: {text: FRONT, height: 10}}"),
)


def part_of(picture: Picture) -> Part:
    """The part that a picture shows."""
    if picture.spec == ENGINE:
        return load(ROOT / "part_specs" / ENGINE).stack.part(picture.part)
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "project.yaml").write_text(f"project: picture\n{picture.spec}\n", encoding="utf-8")
        return load(folder).stack.part(picture.part)


def pictures() -> dict[str, str]:
    """Every picture by its file's name."""
    found = {}
    for one in PICTURES:
        part, sheet = part_of(one), Sheet(one.file.removesuffix(".svg"), alone=True)
        at = (Cutting.ACROSS_Y, 0.0) if one.spec != ENGINE else None
        found[one.file] = section_svg(part, at=at, sheet=sheet) if one.cut else plan_svg(part, sheet=sheet)
    return found


def page() -> str:
    """The whole page."""
    sections = reference()
    index = "\n".join(f"- [{one.title}](#{anchor(one)})" for one in sections)
    return "\n".join([HEAD, index, "", *(block for one in sections for block in blocks_of(one))])


def anchor(section: KeySection) -> str:
    """Where a section stands in the page."""
    return section.model.lower()


def blocks_of(section: KeySection) -> list[str]:
    """What stands on one section."""
    blocks = [f'<a id="{anchor(section)}"></a>\n\n## {section.title}\n']
    if section.places[1:]:
        blocks.append("Also at " + ", ".join(f"`{place}`" for place in section.places[1:]) + ".\n")
    blocks.append(f"{section.about}\n")
    blocks += [shown(one) for one in PICTURES if one.section == section.model]
    blocks += ["| key | what it means | what it takes | default |", "| --- | --- | --- | --- |"]
    blocks += [row_of(key) for key in section.keys]
    return [*blocks, ""]


def shown(picture: Picture) -> str:
    """A picture with its words."""
    width = WIDE if picture.cut else WIDTH
    return f'<img src="pictures/{picture.file}" width="{width}" alt="{picture.name}">\n\n{picture.words}\n'


def row_of(key: KeyEntry) -> str:
    """A key's row of the table."""
    default = "required" if key.required else f"`{key.default}`" if key.default else ""
    return f"| `{key.name}` | {key.text} | {key.takes} | {default} |"


def main() -> None:
    """Write the page and its pictures."""
    for name, text in pictures().items():
        (DOCS / "pictures" / name).write_text(text, encoding="utf-8", newline="\n")
    (DOCS / "spec.md").write_text(page(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
