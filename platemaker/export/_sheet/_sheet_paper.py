"""Paper: sizes of sheets, standard scales, and the projection that a drawing states."""

from __future__ import annotations

from enum import Enum

from platemaker.plane import Box
from platemaker.records import Record
from platemaker.units import LengthUnit

MARGIN = 8.0
"""From the edge of the paper to the border, mm."""
SCALES = (10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)
"""Scales of ISO 5455:1979, from enlarged to reduced (from memory)."""


class Paper(Record):
    """A sheet lying on its long side: name, width and height, and the width of its column of words, mm.

    `strip` is the height of a strip along the foot that holds the words instead, mm; 0 where a column does.
    """

    name: str
    width: float
    height: float
    column: float
    strip: float = 0.0

    @property
    def views(self) -> Box:
        """The room for views, left of the column of words or over the strip."""
        if self.strip:
            return MARGIN, MARGIN + self.strip, self.width - MARGIN, self.height - MARGIN
        return MARGIN, MARGIN, self.width - MARGIN - self.column, self.height - MARGIN

    @property
    def words(self) -> Box:
        """The column of words, or that at the right end of the strip."""
        high = MARGIN + self.strip if self.strip else self.height - MARGIN
        return self.width - MARGIN - self.column, MARGIN, self.width - MARGIN, high


A4, A3 = Paper("A4", 297.0, 210.0, 118.0), Paper("A3", 420.0, 297.0, 136.0)
LETTER, TABLOID = Paper("Letter", 279.4, 215.9, 118.0), Paper("Tabloid", 431.8, 279.4, 136.0)
"""ISO 216 and ANSI/ASME Y14.1 sheets."""


class Projection(Enum):
    """How views stand round each other (ISO 5456-2:1996): the angle in whose quadrant the part is thought to stand."""

    FIRST_ANGLE = "first-angle projection"
    THIRD_ANGLE = "third-angle projection"


def papers(unit: str, chosen: str | None = None) -> tuple[Paper, ...]:
    """The sheets that a drawing may take, small first: the one `chosen` by name, or those of the project's unit.

    >>> [paper.name for paper in papers("mm")], [paper.name for paper in papers("mm", "Tabloid")]
    (['A4', 'A3'], ['Tabloid'])
    """
    if chosen is not None:
        return tuple(paper for paper in (A4, A3, LETTER, TABLOID) if paper.name == chosen)
    return (LETTER, TABLOID) if unit == LengthUnit.INCH else (A4, A3)


def list_paper(unit: str, chosen: str | None = None) -> Paper:
    """The sheet for lists, which need no large one: A4, or Letter where the drawings' sheets are its kin."""
    return LETTER if papers(unit, chosen)[0] in (LETTER, TABLOID) else A4


def projection_of(unit: str, chosen: str | None = None) -> Projection:
    """The projection `chosen` by its ordinal word; else first angle where millimetres are usual, third for inches."""
    third = chosen == "third" if chosen is not None else unit == LengthUnit.INCH
    return Projection.THIRD_ANGLE if third else Projection.FIRST_ANGLE


def scale_words(scale: float) -> str:
    """A scale in words.

    >>> scale_words(0.5), scale_words(1.0), scale_words(2.0)
    ('1:2', '1:1', '2:1')
    """
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"
