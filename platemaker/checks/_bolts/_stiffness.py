"""Stiffness of a bolt and of what it clamps: frusta of 30 degrees from head and thread to the middle of the grip."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from platemaker.formulas import (
    bolt_stiffness,
    frustum_stiffness,
    grip_tapped,
    joint_constant,
    stiffness_in_series,
    thread_length_inch,
    thread_length_metric,
    thread_length_socket_inch,
    thread_length_socket_metric,
)
from platemaker.records import Record
from platemaker.resolved import STEEL, Bolt, Clamp

THREADED = {
    ("hex", True): thread_length_metric,
    ("hex", False): thread_length_inch,
    ("socket", True): thread_length_socket_metric,
    ("socket", False): thread_length_socket_inch,
    ("stud", True): thread_length_metric,
    ("stud", False): thread_length_inch,
    ("countersunk", True): thread_length_socket_metric,
    ("countersunk", False): thread_length_socket_inch,
}
"""Length of thread on a screw by its head and whether its thread is metric; DIN 938 and 939 give the nut's end of a
stud the thread of a metric hexagon screw, 2 d + 6 up to 125 mm."""
TAN_30 = 0.5774
"""As the book writes it."""
FRUSTUM_END = 1.5
"""Diameter of the frustum at the thread's end of the grip, in bolt diameters (Shigley 9th ed., sec. 8-5)."""


class Stiffness(Record):
    """Stiffness of bolt and members, N/mm, and the share C of an outside load that the bolt takes.

    `share_hard` leaves the gasket out: the members are stiffer, and more of the load comes off the clamp.
    """

    grip: float
    bolt: float
    members: float
    members_hard: float

    @property
    def share(self) -> float:
        """C with the gasket."""
        return joint_constant(self.bolt, self.members)

    @property
    def share_hard(self) -> float:
        """C without it."""
        return joint_constant(self.bolt, self.members_hard)


def stiffness_of(bolt: Bolt, length: float) -> Stiffness:
    """Stiffness of the joint at one bolt of a length, mm. Shigley 9th ed., sec. 8-4 and 8-5."""
    d, h = bolt.d, bolt.grip
    layers, end = list(bolt.clamped), bolt.head_diameter
    if bolt.tapped is not None:
        grip = grip_tapped(h, bolt.tapped.thickness or d, d)
        metal = bolt.tapped.material
        layers.append(Clamp(bolt.tapped.owner, grip - h, (metal and metal.elastic_modulus) or STEEL))
        end = FRUSTUM_END * d
    else:
        grip = h
    hard = [layer for layer in layers if not layer.soft]
    return Stiffness(
        grip,
        _bolt(bolt, length, grip),
        members(layers, d, bolt.head_diameter, end),
        members(hard, d, bolt.head_diameter, end),
    )


def _bolt(bolt: Bolt, length: float, grip: float) -> float:
    thread, d = bolt.thread, bolt.d
    threaded = THREADED[bolt.bolts.head, thread.metric](d, length)
    plain = min(max(length - threaded, 0.0), grip)
    area = math.pi * d**2 / 4
    return bolt_stiffness(area, thread.stress_area, plain, grip - plain, STEEL)


def members(layers: Sequence[Clamp], d: float, head: float, end: float) -> float:
    """Stiffness of clamped layers, N/mm: cones that grow from `head` and `end`, mm, and meet in the middle.

    Both grow by 2 tan 30° a millimetre; where they start from different diameters they meet off the middle, where
    they are equally wide.
    """
    grip = sum(layer.thickness for layer in layers)
    meet = min(max(grip / 2 + (end - head) / (4 * TAN_30), 0.0), grip)
    pieces, z = [], 0.0
    for layer in layers:
        top = z + layer.thickness
        for low, high in pairwise(sorted({z, top, meet} if z < meet < top else {z, top})):
            wide = head + 2 * TAN_30 * low if high <= meet else end + 2 * TAN_30 * (grip - high)
            pieces.append(frustum_stiffness(layer.modulus, d, wide, high - low))
        z = top
    return stiffness_in_series(pieces)
