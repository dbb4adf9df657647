"""What a reading that cannot be right was probably meant as: inches, another point, digits swapped, another kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from platemaker.survey._records import HALF_DIAMETERS, Reading
from platemaker.units import MM_PER_INCH


def meant_as(value: float, expected: float, within: float, *, inch: bool = False) -> str:
    """What a length, mm, was probably meant as, where that lies within so much of what is expected; else empty.

    `inch`: whether it was typed in inches.

    >>> meant_as(7.384, 187.5, 0.2)
    '7.384 in is 187.55 mm'
    >>> meant_as(19.18, 191.8, 0.3)
    'with the point elsewhere it is 191.8 mm'
    >>> meant_as(119.8, 191.8, 0.3)
    'with two digits swapped it is 191.8 mm'
    >>> meant_as(3.26 * 25.4, 3.62 * 25.4, 0.3, inch=True)
    'with two digits swapped it is 3.62 in'
    """
    for words, found in _ways(value, inch=inch):
        if abs(found - expected) <= within and abs(value - expected) > within:
            return words
    return ""


def _ways(value: float, *, inch: bool) -> Iterator[tuple[str, float]]:
    unit, size, places = ("in", MM_PER_INCH, 4) if inch else ("mm", 1.0, 2)
    typed = value / size
    if not inch:
        yield f"{typed:.6g} in is {typed * MM_PER_INCH:.2f} mm", typed * MM_PER_INCH
    yield f"{typed:.6g} mm is {typed / MM_PER_INCH:.4f} in", value / MM_PER_INCH
    for power in (-1, 1, -2, 2):
        found = typed * 10.0**power
        yield f"with the point elsewhere it is {found:.6g} {unit}", found * size
    text = f"{typed:.{places}f}"
    for i in range(len(text) - 1):
        if "." not in text[i : i + 2] and text[i] != text[i + 1]:
            swapped = float(text[:i] + text[i + 1] + text[i] + text[i + 2 :])
            yield f"with two digits swapped it is {swapped:.6g} {unit}", swapped * size


def other_kind(reading: Reading, expected: float, within: float, diameters: Mapping[str, float]) -> str:
    """As which other kind of reading the value would do, where `expected` mm is expected; empty for none."""
    own = HALF_DIAMETERS.get(reading.kind)
    if own is None or any(name not in diameters for name in reading.features):
        return ""
    for kind, halves in HALF_DIAMETERS.items():
        change = sum((a - b) * diameters[n] / 2 for a, b, n in zip(halves, own, reading.features, strict=True))
        if kind is not reading.kind and abs(change) > within and abs(reading.value - expected - change) <= within:
            return f"as {kind.value.replace('_', ' ')} it would do"
    return ""
