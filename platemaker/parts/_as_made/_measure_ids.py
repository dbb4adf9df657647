"""Ids of what is measured on a finished part: words joined by dots, put together and taken apart here alone."""

from __future__ import annotations

THICKNESS, FLATNESS, LENGTH_X, LENGTH_Y, DIAMETER = "thickness", "flatness", "size.x", "size.y", "size.diameter"
SIZE, OUTLINE, LEFT, LOWER = "size", "outline", "outline.left", "outline.lower"


def measure_id(feature: str, *words: str) -> str:
    """What is measured at a feature.

    >>> measure_id(hole_id("pad_1"), "counterbore", "depth")
    'hole.pad_1.counterbore.depth'
    """
    return ".".join((feature, *words))


def hole_id(name: str, *words: str) -> str:
    """A hole, or what is measured of it."""
    return measure_id("hole", name, *words)


def cut_id(name: str, *words: str) -> str:
    """A milled cut, or what is measured of it."""
    return measure_id("cut", name, *words)


def figure_id(cut: str, number: int = 0) -> str:
    """A milled figure; `number`, from 1, where a cut has several."""
    return cut_id(cut, *([str(number)] if number else []))


def leg_id(number: int) -> str:
    """A leg of a bent part, from 1."""
    return measure_id("leg", str(number))


def bend_id(number: int, *words: str) -> str:
    """A bend, from 1, or what is measured of it."""
    return measure_id("bend", str(number), *words)


def face_id(side: str, joint: str, word: str) -> str:
    """What is measured of a sealing face."""
    return measure_id("face", side, joint, word)


def size_word(id_: str) -> str:
    """What is measured: the last word."""
    return id_.rpartition(".")[2]


def is_angle(id_: str) -> bool:
    """Whether an id is that of an angle."""
    return size_word(id_) == "angle"


def is_signed(id_: str) -> bool:
    """Whether it may read below 0: a place, which may lie on either side of the datum, or a direction in the plan.

    >>> is_signed("hole.pad_1.x"), is_signed("cut.pocket.middle.y"), is_signed("cut.pocket.y"), is_signed(LENGTH_X)
    (True, True, False, False)
    """
    words = id_.split(".")
    if words[-1] == "angle":
        return words[-2] == "towards"
    return words[-1] in ("x", "y") and (words[0] in ("hole", OUTLINE) or "middle" in words[-2:-1])


def is_of_bending(id_: str) -> bool:
    """Whether it is a leg or a bend."""
    return id_.partition(".")[0] in ("leg", "bend")


def is_of(id_: str, feature: str) -> bool:
    """Whether what is measured is a feature, or of one."""
    return id_ == feature or id_.startswith(f"{feature}.")
