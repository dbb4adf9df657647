"""Checks in space: the demo's whole stack, and how walls of slanted bores grow with their number. Run by hand.

Prints seconds after import and, for growth, ratios of one run: doubling the bores should take little more than twice
as long. The best of three runs is taken, as other load on the machine only ever adds.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from pathlib import Path

from platemaker.checks._space_walls import check_space_walls

from platemaker.catalog import material
from platemaker.checks._stack._clearance import check_clearance
from platemaker.checks._stack._height import check_height
from platemaker.checks._stack._stack_items import contents_of
from platemaker.checks._stack._tool_room import check_tool_room
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Stack, Step
from platemaker.plane import Loop, Region
from platemaker.resolved import assemble
from platemaker.spec import load_project

DEMO = Path(__file__).parents[1] / "part_specs" / "pump_engine"
THICK, PITCH = 40.0, 30.0


def best_of(work: Callable[[], object], runs: int = 3) -> float:
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def slanted_block(count: int) -> Stack:
    """A block with a square field of bores, each leaning another way by 8 to 20 degrees."""
    side = math.ceil(math.sqrt(count))
    bores = []
    for number in range(count):
        lean, turn = math.radians(8 + number % 13), math.radians(37 * number)
        way = (math.sin(lean) * math.cos(turn), math.sin(lean) * math.sin(turn), -math.cos(lean))
        at = (PITCH * (number % side), PITCH * (number // side), THICK)
        steps = (Step(Operation.DRILL, 8.0, 0.0, THICK / math.cos(lean)),)
        bores.append(Hole(f"b{number}", at, way, steps, through=True))
    width = PITCH * (side + 2)
    middle = PITCH * (side - 1) / 2
    blank = Region.of(Loop.rectangle(width, width, centre=(middle, middle)))
    part = Part("block", "block", Kind.PLATE, material("6061-T6"), PlateStock(blank, THICK), tuple(bores))
    return Stack("s", "s", "mm", (part,), (), ())


def main() -> None:
    stack = assemble(load_project(DEMO))
    contents = contents_of(stack)
    print(f"demo, figures of the stack      {best_of(lambda: contents_of(stack)):7.3f} s")
    clearance = best_of(lambda: list(check_clearance(stack, contents)))
    print(f"demo, clearance of {len(contents.items):3d} items    {clearance:7.3f} s")
    print(f"demo, tool room and order       {best_of(lambda: list(check_tool_room(stack, contents))):7.3f} s")
    print(f"demo, height                    {best_of(lambda: list(check_height(stack, contents))):7.3f} s")
    print(f"demo, walls in space            {best_of(lambda: list(check_space_walls(stack))):7.3f} s")
    last = 0.0
    for count in (50, 100, 200, 400):
        block = slanted_block(count)
        took = best_of(lambda block=block: list(check_space_walls(block)))  # type: ignore[misc]
        ratio = (
            f"  {took / last:5.2f} times the half; n log n is {2 * math.log(count) / math.log(count / 2):4.2f}"
            if last
            else ""
        )
        print(f"{count:4d} slanted bores in one block   {took:7.3f} s{ratio}")
        last = took


if __name__ == "__main__":
    main()
