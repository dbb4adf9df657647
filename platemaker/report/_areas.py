"""Areas, volumes and masses as a reader sees them, in metric units and in those of an inch project."""

from __future__ import annotations

import math

from platemaker.checks import Finding
from platemaker.units import MM_PER_INCH, Unit, convert
from platemaker.views import Shown, finding_numbers, shown

SQUARE_INCH, CUBIC_INCH = MM_PER_INCH**2, MM_PER_INCH**3


def area(value: float | None) -> Shown:
    """An area, mm2, as text.

    >>> area(1290.32)
    Shown(metric='1290 mm²', inch='2.000 in²')
    """
    if value is None:
        return Shown("", "")
    return Shown(f"{value:z.0f} mm²", f"{value / SQUARE_INCH:z.3f} in²")


def volume(value: float) -> Shown:
    """A volume, mm3, as text.

    >>> volume(16387.064)
    Shown(metric='16.387 cm³', inch='1.000 in³')
    """
    return Shown(f"{value / 1000:z.3f} cm³", f"{value / CUBIC_INCH:z.3f} in³")


def mass(value: float) -> Shown:
    """A mass, kg, as text.

    >>> mass(0.45359237)
    Shown(metric='0.454 kg', inch='1.000 lb')
    """
    return Shown(f"{value:z.3f} kg", f"{convert(value, Unit.KILOGRAM, Unit.POUND):.3f} lb")


def cutter_words(more: float) -> Shown:
    """What another cutter gains or gives up, mm2.

    >>> cutter_words(-64.516).inch, cutter_words(0.2).metric
    ('gives up 0.100 in²', 'the same')
    """
    if abs(more) < 0.5:
        return Shown("the same", "the same")
    word, size = ("gains", area(more)) if more > 0 else ("gives up", area(-more))
    return Shown(f"{word} {size.metric}", f"{word} {size.inch}")


def metal_words(least: Finding) -> Shown:
    """A part's headline: how much metal is left at its thinnest, as what kind of wall, between what, and where.

    >>> from platemaker.checks import Limit, measured
    >>> limit, ends = Limit(3.0, "mm", "common practice"), [(10.0, 0.0, 0.0), (10.0, 0.0, 2.54)]
    >>> metal_words(measured("PM110", "floor", "lid", ["pocket", "face"], 2.54, limit, points=ends)).metric
    '2.540 mm, floor, pocket + face, at X 10.00 Y 0.00 Z 1.27'
    """
    size, what = finding_numbers(least).measured, f"{least.title}, {' + '.join(least.features)}"
    middle = [math.fsum(values) / len(values) for values in zip(*least.points, strict=True)]
    place = [(axis, shown(value, digits=2, named=False)) for axis, value in zip("XYZ", middle, strict=False)]
    metric = [size.metric, what, "at " + " ".join(f"{axis} {one.metric}" for axis, one in place)]
    inch = [size.inch, what, "at " + " ".join(f"{axis} {one.inch}" for axis, one in place)]
    return Shown(*(", ".join(words[: 3 if place else 2]) for words in (metric, inch)))
