"""Joints: everything that is calculated of their bolts, seals and plates, from one account of each."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._bolts._pressure import Loaded, check_loads, check_pressure, loaded_joints
from platemaker.checks._bolts._threads import check_lengths, check_threads
from platemaker.checks._finding import Finding
from platemaker.checks._sealing._bending import check_bending
from platemaker.checks._sealing._sealing import check_sealing
from platemaker.parts import Stack


def check_joints(stack: Stack) -> Iterator[Finding]:
    """Pressure, threads, lengths, seals and bending of every joint; what keeps a joint from it is listed."""
    found = tuple(loaded_joints(stack))
    yield from (one for one in found if isinstance(one, Finding))
    yield from check_loads(stack, found)
    joints = [one for one in found if isinstance(one, Loaded)]
    yield from check_pressure(joints)
    yield from check_threads(stack, joints)
    yield from check_lengths(stack)
    yield from check_sealing(stack, joints)
    yield from check_bending(joints)
