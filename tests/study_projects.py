"""Small projects for tests of studies and comparisons."""

from __future__ import annotations

from pathlib import Path

LID = """\
project: lid
joints:
  rim:
    bolts: {pattern: {rectangle: [80, 60]}, thread: M6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [100, 80]}
    below:
      rim: {holes: clear}
    pocket: {shape: {rectangle: [72, 44], corner_radius: 5}, depth: 5, cutter: 8}
  shim:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {circle: 60}
    opening: {shape: {circle: 20}}
"""
"""A lid 100 x 80 x 12 with four M6 clearance holes and a pocket, and a disc beside it."""


def project(folder: Path, text: str = LID, **edits: str) -> Path:
    """A project's folder with `text`; `edits` are replaced in it, old text by new, each of which must be there."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "project.yaml").write_text(edited(text, edits), encoding="utf-8")
    return folder


def edited(text: str, edits: dict[str, str]) -> str:
    for old, new in edits.items():
        if old not in text:
            message = f"no '{old}' in the project"
            raise ValueError(message)
        text = text.replace(old, new, 1)
    return text
