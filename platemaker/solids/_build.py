"""A part's solid: the blank with its lone through cuts drawn in, everything else taken out in one go."""

from __future__ import annotations

from platemaker.parts import Part, PlateStock, RoundStock, Stock, StripStock
from platemaker.plane import Loop
from platemaker.resolved import resolved
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._through import inner_loops
from platemaker.solids._tools import tools_of
from platemaker.solids._wires import prism, prism_of


def solid_of(part: Part) -> Solid:
    """The kernel solid of a part, in the part's own frame, mm. It is not proved: see `prove`."""
    one, drawn = resolved(part), dict[str, tuple[Loop, ...]]()
    if isinstance(part.stock, PlateStock):
        drawn = inner_loops(one)
        holes = [*part.stock.region.holes, *(loop for loops in drawn.values() for loop in loops)]
        solid = prism(part.stock.region.outer, holes, 0.0, part.stock.thickness)
    else:
        solid = _blank(part.stock)
    tools = [tool for cut in one.flat.cuts for tool in tools_of(part, cut, drawn=cut.name in drawn)]
    if not tools:
        return solid
    less = solid.cut(*tools)
    solids = less.Solids()
    return solids[0] if len(solids) == 1 else less


def _blank(stock: Stock) -> Solid:
    if isinstance(stock, RoundStock):
        return _round_bar(stock)
    if isinstance(stock, StripStock):
        # The profile lies in (X, Z): drawn in (X, Y), drawn out by the width, then stood up about X.
        flat = prism_of(stock.profile, -stock.width / 2, stock.width / 2)
        return flat.rotate((0, 0, 0), (1, 0, 0), 90)
    return prism_of(stock.region, 0.0, stock.thickness)


def _round_bar(stock: RoundStock) -> Solid:
    cq = kernel()
    radius = stock.diameter / 2
    return cq.Solid.makeCylinder(radius, stock.length, cq.Vector(-stock.length / 2, 0, radius), cq.Vector(1, 0, 0))
