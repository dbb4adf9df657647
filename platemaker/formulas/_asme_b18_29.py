"""Helical coil thread inserts: the oversize thread that they are wound into. ASME B18.29.2M."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import ASME_B18_29


@formula(
    ASME_B18_29,
    "basic thread, from memory",
    law="D_STI = d + 1.29904 P",
    gives="mm",
    d=above(0, "mm"),
    P=above(0, "mm"),
)
def insert_major_diameter(d: float, P: float) -> float:
    """Basic major diameter of the thread that an insert is wound into.

    Source: ASME B18.29.2M, basic thread, from memory.
    d: nominal diameter of the screw.
    P: pitch.
    >>> round(insert_major_diameter(8.0, 1.25), 3)
    9.624
    """
    return d + 1.29904 * P


@formula(
    ASME_B18_29,
    "basic thread, from memory",
    law="D_1STI = d + 0.21651 P",
    gives="mm",
    d=above(0, "mm"),
    P=above(0, "mm"),
)
def insert_minor_diameter(d: float, P: float) -> float:
    """Least minor diameter of the thread that an insert is wound into: no drill may be smaller.

    Source: ASME B18.29.2M, basic thread, from memory.
    d: nominal diameter of the screw.
    P: pitch.
    >>> round(insert_minor_diameter(8.0, 1.25), 3)
    8.271
    """
    return d + 0.21651 * P


@formula(
    ASME_B18_29,
    "notes of the hole table",
    law="T = L + P",
    gives="mm",
    L=above(0, "mm"),
    P=above(0, "mm"),
)
def insert_thread_depth(L: float, P: float) -> float:
    """Least depth of full thread in a blind hole for an insert.

    Source: ASME B18.29.2M, notes of the hole table.
    L: nominal length of the insert.
    P: pitch.
    >>> insert_thread_depth(12.0, 1.25)
    13.25
    """
    return L + P


@formula(
    ASME_B18_29,
    "notes of the hole table",
    law="l = L − 0.75 P",
    gives="mm",
    L=above(0, "mm"),
    P=above(0, "mm"),
)
def insert_assembled_length(L: float, P: float) -> float:
    """Least length of an insert when it is wound in.

    Source: ASME B18.29.2M, notes of the hole table.
    L: nominal length of the insert.
    P: pitch.
    >>> insert_assembled_length(12.0, 1.0)
    11.25
    """
    return L - 0.75 * P
