"""From a project's spec to its stack, and whether each part can be made."""

from __future__ import annotations

from platemaker.parts import Stack, stack_of
from platemaker.resolved._refusals import refuse_unmakeable
from platemaker.spec import ProjectSpec


def assemble(spec: ProjectSpec) -> Stack:
    """The stack of a project whose every part can be made.

    Raises SpecError, with file, line and key, for what cannot be: cuts off the plate, cuts that part it, and so on.
    """
    stack = stack_of(spec)
    for part in stack.parts:
        refuse_unmakeable(part, spec)
    return stack
