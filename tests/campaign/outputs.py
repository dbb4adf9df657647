"""Files of a build opened by libraries other than the ones that wrote them."""

from __future__ import annotations

import csv
import hashlib
import json
import zipfile
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pypdfium2
import yaml

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Balanced(HTMLParser):
    """Raises where a tag of a page is closed that is not the last one open."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that closes itself, as those of pictures do, opens nothing."""

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag, f"</{tag}> at {self.getpos()}"


def _page(file: Path) -> None:
    page = Balanced()
    page.feed(file.read_text(encoding="utf-8"))
    page.close()
    assert not page.open


def _pdf(file: Path) -> None:
    document = pypdfium2.PdfDocument(file)
    assert len(document) > 0
    document.close()


def _dxf(file: Path) -> None:
    audit = ezdxf.readfile(file).audit()
    assert not audit.has_errors, [each.message for each in audit.errors]


def _step(file: Path) -> None:
    import cadquery

    shape = cadquery.importers.importStep(str(file))
    assert shape.solids().size() > 0
    assert all(solid.isValid() for solid in shape.solids().vals())


def _csv(file: Path) -> None:
    with file.open(encoding="utf-8", newline="") as lines:
        widths = {len(row) for row in csv.reader(lines)}
    assert len(widths) == 1, f"rows of {sorted(widths)} columns"


def _zip(file: Path) -> None:
    with zipfile.ZipFile(file) as package:
        assert package.testzip() is None


OPENED: dict[str, Callable[[Path], object]] = {
    ".json": lambda file: json.loads(file.read_bytes()),
    ".yaml": lambda file: yaml.safe_load(file.read_bytes()),
    ".svg": ElementTree.parse,
    ".md": lambda file: file.read_text(encoding="utf-8"),
    ".html": _page,
    ".pdf": _pdf,
    ".dxf": _dxf,
    ".step": _step,
    ".csv": _csv,
    ".zip": _zip,
}


def opened(folder: Path) -> dict[str, str]:
    """The SHA-256 of each file in a folder, every one of which opens. Raises KeyError of a kind that none opens."""
    digests = {}
    for file in sorted(each for each in folder.rglob("*") if each.is_file()):
        try:
            OPENED[file.suffix](file)
        except Exception as fault:
            fault.add_note(f"in {file.name}")
            raise
        digests[str(file.relative_to(folder))] = hashlib.sha256(file.read_bytes()).hexdigest()
    return digests
