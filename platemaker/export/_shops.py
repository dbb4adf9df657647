"""What goes to which shop: its parts, its files, and a ZIP of them whose bytes hang on the files alone."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from platemaker.export._flat._profile import is_profile_cut
from platemaker.export._folder._folder import Made
from platemaker.parts import Kind, Part, PartFile

SHEET_KINDS = (Kind.BRACKET, Kind.GASKET, Kind.SHIM)
"""What is cut from sheet or strip and needs no mill."""
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The time that each file of a ZIP has: the first that the format knows, so that it never differs."""


class Shop(StrEnum):
    """Whom a ZIP is for."""

    MILL = "mill"
    WATERJET = "waterjet"
    SHEET = "sheet"

    @property
    def stem(self) -> str:
        """The name of its ZIP without the ending."""
        return f"for_{self.value}"

    def makes(self, part: Part) -> bool:
        """Whether it makes a part: the waterjet cuts outlines of what the others finish."""
        if self is Shop.WATERJET:
            return is_profile_cut(part)
        return (part.kind in SHEET_KINDS) is (self is Shop.SHEET)

    def takes(self, made: Made, part: Part) -> bool:
        """Whether a file of a part that it makes is one of its files. Templates are for the builder's own bench."""
        profile = made.name.startswith(f"{PartFile.PROFILE.of(part)}.")
        drawing = made.name == f"{PartFile.DRAWING.of(part)}.pdf"
        if self is Shop.WATERJET:
            return profile or drawing
        template = made.name.startswith(f"{PartFile.TEMPLATE.of(part)}.")
        return not template and (self is Shop.SHEET or not profile)


def files_for(shop: Shop, parts: Iterable[Part], files: Sequence[Made]) -> tuple[Made, ...]:
    """The files of a shop; sheets on which parts are nested go to the waterjet."""
    known = {part.name: part for part in parts if shop.makes(part)}
    return tuple(
        made
        for made in files
        if (made.part in known and shop.takes(made, known[made.part]))
        or (shop is Shop.WATERJET and made.name.startswith("sheet_") and made.name.endswith(".dxf") and not made.part)
    )


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """Files by name as a ZIP: in the order of their names, with one time and one set of rights for all."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system, entry.external_attr = 3, 0o644 << 16
            archive.writestr(entry, files[name], compresslevel=9)
    return out.getvalue()
