"""Checks over everything that stands in the stack: clearance, tool room and assembly, height."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._finding import Finding
from platemaker.checks._stack._belt_room import check_belt_room
from platemaker.checks._stack._clearance import check_clearance
from platemaker.checks._stack._height import check_height
from platemaker.checks._stack._joint_loops import check_joint_loops
from platemaker.checks._stack._stack_items import contents_of
from platemaker.checks._stack._tool_room import check_tool_room
from platemaker.parts import Stack


def check_whole_stack(stack: Stack) -> Iterator[Finding]:
    """Clearance, room round the belt, tool room and height, from one drawing up of the stack's figures."""
    contents = contents_of(stack)
    yield from check_joint_loops(stack)
    yield from check_clearance(stack, contents)
    yield from check_belt_room(stack, contents)
    yield from check_tool_room(stack, contents)
    yield from check_height(stack, contents)
