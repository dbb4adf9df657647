"""The cover page as it reads back, which parts are one row, and what a shop's ZIP holds."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from pathlib import Path

import pytest

from platemaker.errors import ProofError
from platemaker.export import Cover, Made, OutputFolder, Shop, announced, write_covers
from platemaker.export._cover import Hashed, cover_bytes, prove_zip
from platemaker.export._reading._read_pdf import read_pdf
from platemaker.export._sheet._alike import merged
from platemaker.export._shops import files_for, zip_bytes
from platemaker.parts import Kind, Part, Stack
from platemaker.records import replace
from platemaker.space import Frame
from tests import sample_parts as sample


def said(data: bytes, tmp_path: Path) -> str:
    """The words of a PDF."""
    (tmp_path / "a.pdf").write_bytes(data)
    return " ".join(word for page in read_pdf(tmp_path / "a.pdf").pages for word in page.words)


def renamed(part: Part, name: str) -> Part:
    """The same piece under other names, for another place."""
    cuts = tuple(replace(cut, name=f"{name}_{cut.name}", key=name) for cut in part.cuts)
    return replace(part, name=name, title=f"Plate {name}", key=name, cuts=cuts, places=(Frame(),), quantity=2)


def test_parts_that_are_alike_are_one_row() -> None:
    part = sample.counterbore_and_pocket()
    rows = merged([part, sample.plain_plate(), renamed(part, "second"), replace(part, name="third", note="deburr")])
    assert [(row.names, row.quantity) for row in rows] == [
        ("counterbore_and_pocket, second", 3), ("plain_plate", 1), ("third", 1),
    ]  # fmt: skip
    moved = replace(part.holes[0], at=(part.holes[0].at[0] + 0.01, *part.holes[0].at[1:]))
    other = replace(renamed(part, "other"), cuts=(moved, *part.cuts[1:]))
    assert len(merged([part, other])) == 2, "a hole that lies 0.01 mm elsewhere makes another part"


def test_the_cover_states_stock_work_questions_and_hashes(tmp_path: Path) -> None:
    """100 x 60 x 10 of 6061 at 2700 kg/m3, cut from 106 x 66 x 10: 0.189 kg, 0.162 kg finished, 9.96 cm3 removed."""
    part = sample.plain_plate()
    stack = Stack("trial", "Trial of a lid", "mm", (part,), (), ())
    files = [Hashed("plain_plate.step", "solid model, mm", "0123456789abcdef" + 48 * "9")]
    cover = Cover(warning="NOT RELEASED: 1 item fails", questions=(("fail", "Wall too thin."),))
    words = said(cover_bytes(stack, [part], {"plain_plate": 60_000.0}, files, cover), tmp_path)
    assert "106 × 66 × 10 0.189 kg 0.162 kg" in words
    assert "10.0 cm³" in words
    assert "NOT RELEASED: 1 item fails" in words
    assert "fail Wall too thin." in words
    assert "plain_plate.step solid model, mm 0123456789abcdef" in words
    inch = said(cover_bytes(replace(stack, unit="in"), [part], {"plain_plate": 60_000.0}, files, cover), tmp_path)
    # 106 / 25.4, 66 / 25.4 and 10 / 25.4 in; 188.892 / 453.59237 lb.
    assert "4.1732 × 2.5984 × 0.3937 0.416 lb" in inch


ENDINGS = (".step", ".dxf", "_profile.dxf", "_drawing.pdf", "_drawing.svg", "_template.pdf", "_holes.csv")
MADE = (
    *(Made(part + ending, "file", part) for part in ("lid", "seal") for ending in ENDINGS),
    Made("report.html", "report"),
    Made("sheet_6061-T6_10-0_1.dxf", "nest"),
)


@pytest.mark.parametrize(
    ("shop", "names"),
    [
        (Shop.MILL, "lid.step lid.dxf lid_drawing.pdf lid_drawing.svg lid_holes.csv"),
        (
            Shop.WATERJET,
            "lid_profile.dxf lid_drawing.pdf seal_profile.dxf seal_drawing.pdf sheet_6061-T6_10-0_1.dxf",
        ),
        (Shop.SHEET, "seal.step seal.dxf seal_profile.dxf seal_drawing.pdf seal_drawing.svg seal_holes.csv"),
    ],
)
def test_a_shop_gets_its_own_files_and_no_others(shop: Shop, names: str) -> None:
    lid = replace(sample.plain_plate(), name="lid")
    seal = replace(lid, name="seal", kind=Kind.GASKET)
    assert [made.name for made in files_for(shop, [lid, seal], MADE)] == names.split()


def test_a_zip_hangs_on_its_files_alone() -> None:
    first = zip_bytes({"b.txt": b"two", "a.txt": b"one"})
    assert first == zip_bytes({"a.txt": b"one", "b.txt": b"two"})
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert {entry.filename: archive.read(entry) for entry in archive.infolist()} == {
            "a.txt": b"one",
            "b.txt": b"two",
        }
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_a_shops_zip_has_a_cover_of_its_parts_alone(tmp_path: Path) -> None:
    lid = replace(sample.plain_plate(), name="lid")
    boss = replace(sample.turned_boss(), name="boss")
    seal = replace(lid, name="seal", kind=Kind.GASKET)
    stack = Stack("trial", "Trial", "mm", (lid, boss, seal), (), ())
    with OutputFolder(tmp_path / "out") as folder:
        folder.path("seal", "dxf", "flat drawing, mm", part="seal").write_bytes(b"seal")
        folder.path("lid", "dxf", "flat drawing, mm", part="lid").write_bytes(b"lid")
        write_covers(stack, {}, Cover(), folder, announced(folder, [Shop.SHEET, Shop.SHEET]))
    with zipfile.ZipFile(tmp_path / "out" / "for_sheet.zip") as archive:
        assert archive.namelist() == ["cover_page.pdf", "seal.dxf"]
        assert archive.read("seal.dxf") == b"seal"
        own = said(archive.read("cover_page.pdf"), tmp_path)
    whole = said((tmp_path / "out" / "cover_page.pdf").read_bytes(), tmp_path)
    assert "FOR THE SHEET SHOP" in own
    assert ("boss" in own, "boss" in whole) == (False, True)
    assert ("lid.dxf" in own, "lid.dxf" in whole) == (False, True)


def test_the_manifest_says_what_was_read_in_cover_and_zip(tmp_path: Path) -> None:
    seal = replace(sample.plain_plate(), name="seal", kind=Kind.GASKET)
    stack = Stack("trial", "Trial", "mm", (seal,), (), ())
    with OutputFolder(tmp_path / "out") as folder:
        folder.path("seal", "dxf", "flat drawing, mm", part="seal").write_bytes(b"seal")
        write_covers(stack, {}, Cover(), folder, announced(folder, [Shop.SHEET]))
    listed = json.loads((tmp_path / "out" / "manifest.json").read_text(encoding="utf-8"))["files"]
    rows = {row["name"]: row for row in listed}
    assert rows["cover_page.pdf"]["read_back"] == {"pages": 1, "parts": 1, "files": 1}
    assert rows["for_sheet.zip"]["read_back"] == {"files": ["cover_page.pdf", "seal.dxf"]}
    with zipfile.ZipFile(tmp_path / "out" / "for_sheet.zip") as archive:
        assert hashlib.sha256(archive.read("seal.dxf")).hexdigest() == rows["seal.dxf"]["sha256"]


@pytest.mark.parametrize(
    ("name", "data", "digits", "says"),
    [
        ("other.dxf", b"seal", "", "other files"),
        ("seal.dxf", b"torn", "", "another 'seal.dxf'"),
        ("seal.dxf", b"seal", "0" * 64, "the hash of 'seal.dxf' is not on it"),
    ],
)
def test_a_zip_that_differs_from_its_files_is_refused(
    tmp_path: Path, name: str, data: bytes, digits: str, says: str
) -> None:
    """Another name, another content, and a cover that lists another hash."""
    part = replace(sample.plain_plate(), name="seal")
    due = Hashed("seal.dxf", "flat drawing, mm", hashlib.sha256(b"seal").hexdigest())
    stack = Stack("trial", "Trial", "mm", (part,), (), ())
    own = cover_bytes(stack, [part], {}, [replace(due, sha256=digits or due.sha256)], Cover())
    (tmp_path / "for_mill.zip").write_bytes(zip_bytes({name: data, "cover_page.pdf": own}))
    with pytest.raises(ProofError, match=says):
        prove_zip(tmp_path / "for_mill.zip", "cover_page.pdf", [part], [due])
