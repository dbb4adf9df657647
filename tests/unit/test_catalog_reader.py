"""The reader of the catalog's tables refuses whatever is not exactly a table."""

from __future__ import annotations

from enum import Enum
from pathlib import Path

import pytest

from platemaker.catalog import Evidence, Row, tables, thread
from platemaker.catalog._table import DATA, read_block, read_table
from platemaker.errors import CatalogError


class Colour(Enum):
    RED = "red"


class Sample(Row, kw_only=True):
    name: str
    width: float
    depth: float | None
    count: int
    colour: Colour


BLOCK = """\
# standard: ISO 1
# edition: 2016
# table: a table
# unit: in
# typed: by hand
# reread: twice
# evidence: read
"""
HEAD = "name,width[in],depth[mm],count,colour"


def write(folder: Path, text: str) -> Path:
    path = folder / "sample.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_row_is_typed_and_turned_into_our_units(tmp_path: Path) -> None:
    rows = read_table(write(tmp_path, BLOCK + HEAD + "\n#10,1 1/4,,3,red\n"), Sample)
    assert rows == (
        Sample(
            source="ISO 1:2016, a table",
            evidence=Evidence.READ,
            name="#10",
            width=31.75,
            depth=None,
            count=3,
            colour=Colour.RED,
        ),
    )


@pytest.mark.parametrize(
    ("unit", "text", "value"),
    [
        ("mm", "2.5", 2.5),
        ("um", "15", 0.015),
        ("in", "7/64", 25.4 * 7 / 64),
        ("tpi", "20", 1.27),
        ("in2", "1", 645.16),
        ("ksi", "1", 6.894757293),  # 1 ksi = 1000 lbf/in2 with lbf = 4.4482216152605 N
        ("GPa", "70", 70000.0),
        ("1e-6/K", "23.6", 23.6e-6),
    ],
)
def test_units(tmp_path: Path, unit: str, text: str, value: float) -> None:
    table = BLOCK + f"name,width[{unit}],depth,count,colour\na,{text},1,1,red\n"
    # The reader rounds to 1e-9.
    assert read_table(write(tmp_path, table), Sample)[0].width == pytest.approx(value, abs=5.1e-10)


def test_source_evidence_and_note_of_a_row(tmp_path: Path) -> None:
    table = (
        BLOCK + HEAD + ",source,evidence,note\na,1,1,1,red,page 3,,\nb,1,1,1,red,,memory,why\nc,1,1,1,red,,practice,\n"
    )
    own, remembered, practice = read_table(write(tmp_path, table), Sample)
    assert (own.source, own.evidence, own.verified) == ("page 3", Evidence.READ, True)
    assert (remembered.source, remembered.note) == ("ISO 1:2016, a table (from memory, not read)", "why")
    assert not remembered.verified
    assert practice.source == "common practice, no source"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (BLOCK + HEAD + ",extra\na,1,1,1,red,9\n", "sample.csv: unknown column 'extra'; allowed: colour, count"),
        (
            BLOCK + "name,width[in] ,depth,count,colour\na,1,1,1,red\n",
            "column head 'width[in] ' is not a",
        ),
        (BLOCK + "name,width[ell],depth,count,colour\na,1,1,1,red\n", "column 'width' has the unknown unit 'ell'"),
        (BLOCK + "name,width,depth,count\na,1,1,1\n", "every column once: colour, count, depth, name, width; met name"),
        (BLOCK + "name,name,width,depth,count,colour\na,a,1,1,1,red\n", "every column once"),
        (BLOCK + HEAD + "\n", "sample.csv: no rows"),
        (BLOCK + HEAD + "\na,1,1,1\n", "sample.csv:9: 4 cells under 5 column heads"),
        (BLOCK + HEAD + "\na, 1,1,1,red\n", "sample.csv:9: width has blanks around ' 1'"),
        (BLOCK + HEAD + "\na,1+1,1,1,red\n", "sample.csv:9: width: '1+1' is not a number"),
        (BLOCK + HEAD + "\na,1e3,1,1,red\n", "sample.csv:9: width: '1e3' is not a number"),
        (BLOCK + HEAD + "\na,nan,1,1,red\n", "sample.csv:9: width: 'nan' is not a number"),
        (BLOCK + HEAD + "\na,1/0,1,1,red\n", "sample.csv:9: width: '1/0' is not a number"),
        (BLOCK + HEAD + "\na,,1,1,red\n", "sample.csv:9: width: an empty cell"),
        (BLOCK + HEAD + "\na,1,1,1.5,red\n", "sample.csv:9: count: '1.5' is not a whole number"),
        (BLOCK + HEAD + "\na,1,1,1,blue\n", "sample.csv:9: colour: 'blue' is not one of red"),
        (BLOCK.replace("# unit: in\n", "") + HEAD + "\na,1,1,1,red\n", "sample.csv: the block lacks unit"),
        (BLOCK.replace("unit", "units") + HEAD + "\na,1,1,1,red\n", "sample.csv:4: a block line reads"),
        (BLOCK + "# unit: mm\n" + HEAD + "\na,1,1,1,red\n", "sample.csv:8: a block line reads"),
        (
            BLOCK.replace("evidence: read", "evidence: hearsay") + HEAD + "\na,1,1,1,red\n",
            "'hearsay' is not one of",
        ),
    ],
)
def test_what_is_not_a_table_is_refused(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(CatalogError) as caught:
        read_table(write(tmp_path, text), Sample)
    assert message in str(caught.value)


def test_a_table_in_another_encoding_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "sample.csv"
    path.write_bytes((BLOCK + HEAD + "\nà,1,1,1,red\n").encode("latin-1"))
    with pytest.raises(UnicodeDecodeError):
        read_table(path, Sample)


def test_a_row_cannot_be_changed() -> None:
    with pytest.raises(AttributeError, match="immutable"):
        thread("M8").pitch = 1.0  # type: ignore[misc]


def test_rows_are_read_once() -> None:
    assert thread("M8") is thread("m8 x 1.25")


def test_every_file_in_the_data_folder_is_a_table() -> None:
    assert {block.file for block in tables()} == {path.name for path in DATA.iterdir()}
    for path in DATA.iterdir():
        assert read_block(path).typed, path.name
