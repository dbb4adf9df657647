"""A part's solid: the blank with its lone through cuts drawn in, everything else taken out in one go."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.parts import Part, RoundStock
from platemaker.plane import Loop
from platemaker.resolved import resolved
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._through import inner_loops
from platemaker.solids._tools import tools_of
from platemaker.solids._volume import volume_of
from platemaker.solids._wires import prism, prism_of

CHIP = 1e-3
"""A loose piece of no more than this share of a part falls off as a chip when the part is cut."""


def solid_of(part: Part) -> Solid:
    """The kernel solid of a part without loose chips, in the part's own frame, mm. It is not proved: see `prove`.

    A part that comes in several pieces is given as it is.
    """
    whole = _cut(part)
    pieces = whole.Solids()
    if len(pieces) > 1:
        pieces = sorted(pieces, key=volume_of)
        return pieces[-1] if volume_of(pieces[-2]) <= CHIP * volume_of(pieces[-1]) else whole
    return pieces[0] if pieces else whole


def chips_of(part: Part) -> float:
    """Volume of the pieces that `solid_of` leaves out, mm3."""
    volumes = sorted(volume_of(piece) for piece in _cut(part).Solids())
    return sum(volume for volume in volumes[:-1] if volume <= CHIP * volumes[-1])


def _cut(part: Part) -> Solid:
    one, drawn = resolved(part), dict[str, tuple[Loop, ...]]()
    if part.bar is not None:
        solid = _round_bar(part.bar)
    elif part.strip is not None:
        # The profile lies in (X, Z): drawn in (X, Y), drawn out by the width, then stood up about X.
        half = part.strip.width / 2
        solid = prism_of(part.strip.profile, -half, half).rotate((0, 0, 0), (1, 0, 0), 90)
    else:
        drawn = inner_loops(one)
        holes = [*one.blank.region.holes, *(loop for loops in drawn.values() for loop in loops)]
        solid = prism(one.blank.region.outer, holes, 0.0, one.blank.height)
    tools = [tool for cut in one.flat.cuts for tool in tools_of(part, cut, drawn=cut.name in drawn)]
    return _less(solid, tools) if tools else solid


def _less(solid: Solid, tools: Sequence[Solid]) -> Solid:
    """The solid with the tools taken out of it, by one thread: two take a quarter more of the processor."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut  # noqa: PLC0415 - part of the kernel
    from OCP.TopTools import TopTools_ListOfShape  # noqa: PLC0415

    left, taken, cut = TopTools_ListOfShape(), TopTools_ListOfShape(), BRepAlgoAPI_Cut()
    left.Append(solid.wrapped)
    for tool in tools:
        taken.Append(tool.wrapped)
    cut.SetArguments(left)
    cut.SetTools(taken)
    cut.Build()
    return kernel().Shape.cast(cut.Shape())


def _round_bar(stock: RoundStock) -> Solid:
    cq = kernel()
    radius = stock.diameter / 2
    return cq.Solid.makeCylinder(radius, stock.length, cq.Vector(-stock.length / 2, 0, radius), cq.Vector(1, 0, 0))
