"""What a bore takes out of a plate where it breaks out by a hair, or runs into a bore beside it: areas of circles."""

from __future__ import annotations

import math

import pytest

from platemaker.space import Cylinder, box, volume_left


def segment(radius: float, off: float) -> float:
    """Area of a circle beyond a chord `off` from its centre.

    Bronshtein and Semendyayev, Handbook of Mathematics, circular segment: sector less triangle; from memory. Checked
    by the half disc: off 0 gives pi r2 / 2.
    """
    return radius**2 * math.acos(off / radius) - off * math.sqrt(radius**2 - off**2)


def test_the_half_disc_is_a_segment() -> None:
    assert segment(2.0, 0.0) == pytest.approx(2 * math.pi)


@pytest.mark.parametrize("off", [2.499, 2.49999, 1.0])
def test_a_level_bore_that_breaks_out_below(off: float) -> None:
    bore, plate = Cylinder((-65, 0, off), (65, 0, off), 2.5), box((-60, -40, 0), (60, 40, 10))
    due = 120 * (math.pi * 2.5**2 - segment(2.5, off))
    volume, error = volume_left(bore, plate)
    assert volume == pytest.approx(due, abs=1e-7)
    assert error < 1e-3


@pytest.mark.parametrize(("apart", "turn"), [(4.999, 0.0), (4.999, 0.7), (4.0, 1.2)])
def test_a_bore_beside_a_bore(apart: float, turn: float) -> None:
    """Radii 3 and 2: the lens that both share is a segment of each; the chord lies (d2 + R2 - r2) / 2d from the first."""
    chord = (apart**2 + 9 - 4) / (2 * apart)
    lens = segment(3.0, chord) + segment(2.0, apart - chord)
    plate = box((-60, -40, -40), (60, 40, 40))
    first = Cylinder((-65, 0, 0), (65, 0, 0), 3.0)
    y, z = apart * math.cos(turn), apart * math.sin(turn)
    volume, error = volume_left(first, plate, [Cylinder((-65, y, z), (65, y, z), 2.0)])
    assert volume == pytest.approx(120 * (math.pi * 9 - lens), abs=1e-6)
    assert error < 1e-3
