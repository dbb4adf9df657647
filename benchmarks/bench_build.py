"""How much the build costs over a hand-written kernel script that makes the same solids and STEP files.

Run by hand from the project's root: `python benchmarks/bench_build.py`. Both sides run as whole processes, the way
a user meets them, and in one process after the libraries are loaded. The build also proves every solid, writes
drawings and tables, and reads every file back. Aim: whole processes at most 3 times the script.
"""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from platemaker.records import replace

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))
ROUNDS = 5


def by_hand(out: Path) -> None:
    """The sample parts in the kernel's own words, one STEP file each; no check, no name, no colour."""
    import cadquery as cq

    def save(part: object, name: str) -> None:
        cq.exporters.export(part, str(out / f"{name}.step"))

    def rounded(x: float, y: float, z: float, r: float) -> object:
        return cq.Workplane().rect(x, y).extrude(z).edges("|Z").fillet(r)

    save(cq.Workplane().rect(100, 60).extrude(10), "plain_plate")
    save(cq.Workplane().rect(100, 60).extrude(10).faces(">Z").workplane().center(20, 10).hole(12), "one_hole")

    plate = rounded(120, 80, 25.4, 8).cut(rounded(50, 30, 25.4, 9))
    plate = plate.faces("<Z").edges(cq.selectors.BoxSelector((-30, -20, -1), (30, 20, 1))).fillet(6)
    plate = plate.cut(rounded(70, 46, 13, 10).translate((0, 0, 13.4)))
    plate = plate.cut(cq.Workplane().center(0, -32).circle(4).extrude(12.5))
    corners = [(-48, -30), (48, -30), (48, 30), (-48, 30)]
    save(
        plate.faces(">Z").workplane(origin=(0, 0, 0)).pushPoints(corners).cboreHole(9, 15, 8.6),
        "counterbore_and_pocket",
    )

    slot = cq.Workplane().center(5, 2).transformed(rotate=(0, 0, 30)).slot2D(24, 8).extrude(6)
    save(rounded(80, 40, 6, 5).cut(slot), "slotted")

    tip = 3.4 / math.tan(math.radians(59))
    drill = (
        cq.Workplane("XZ").polyline([(0, 31), (3.4, 31), (3.4, 8), (0, 8 - tip)]).close().revolve(360, (0, 0), (0, 1))
    )
    save(cq.Workplane().rect(60, 40).extrude(30).cut(drill.translate((10, -5, 0))), "tapped_with_drill_point")

    ell = cq.Workplane().polyline([(0, 0), (80, 0), (80, 20), (25, 20), (25, 60), (0, 60)]).close().extrude(8)
    ell = ell.edges(cq.selectors.BoxSelector((24, 19, -1), (26, 21, 9))).fillet(6)
    ell = ell.edges("|Z").edges(cq.selectors.BoxSelector((-1, -1, -1), (1, 61, 9))).fillet(3)
    ell = ell.edges("|Z").edges(cq.selectors.BoxSelector((79, -1, -1), (81, 21, 9))).fillet(3)
    ell = ell.edges("|Z").edges(cq.selectors.BoxSelector((24, 59, -1), (26, 61, 9))).fillet(3)
    save(ell.cut(cq.Workplane().center(60, 10).circle(4.5).extrude(8)), "chiral_ell")

    web = cq.Workplane().rect(50, 30).extrude(10).faces(">Z").workplane().pushPoints([(-6.5, 0), (6.5, 0)]).hole(12)
    save(web, "thin_web")
    save(cq.Workplane().circle(11).extrude(30).faces(">Z").workplane().cboreHole(13.5, 16, 5), "turned_boss")

    rail = cq.Workplane("YZ").center(0, 12.7).circle(12.7).circle(7).extrude(300).translate((-150, 0, 0))
    save(
        rail.cut(cq.Workplane().pushPoints([(-110, 0), (-8, 0), (96, 0)]).circle(5.5).extrude(12.7)), "cross_bored_rail"
    )

    strip = cq.Workplane("XZ").moveTo(0, 0).lineTo(50, 0).radiusArc((60, 10), -10).lineTo(60, 40).lineTo(55, 40)
    strip = strip.lineTo(55, 10).radiusArc((50, 5), 5).lineTo(0, 5).close().extrude(12.5, both=True)
    strip = strip.cut(cq.Workplane().center(20, 0).circle(3.5).extrude(6))
    save(strip.cut(cq.Workplane("YZ").center(0, 28).circle(3.5).extrude(61)), "bent_bracket")

    gasket = rounded(90, 60, 0.8, 10).cut(rounded(50, 30, 0.8, 9))
    save(
        gasket.faces(">Z").workplane(origin=(0, 0, 0)).rect(74, 44, forConstruction=True).vertices().hole(9),
        "sheet_gasket",
    )

    block = cq.Workplane().rect(120, 60).extrude(40)
    for x in (-30, 25):
        bore = cq.Solid.makeCylinder(
            6, 40, cq.Vector(x, -10 * math.sqrt(0.5), 40 + 10 * math.sqrt(0.5)), cq.Vector(0, 1, -1)
        )
        block = block.cut(cq.Workplane(bore))
    save(block, "drilled_casting")


def by_us(out: Path) -> None:
    """The same parts through the whole build."""
    from platemaker.export import build
    from platemaker.parts import Stack
    from platemaker.space import Frame
    from tests.sample_parts import SAMPLES

    parts = tuple(replace(make(), places=(Frame(),)) for make in SAMPLES)
    build(Stack("bench", "bench", "mm", parts, (), ()), out / "exports", spec_folder=out)


def seconds(work: Callable[[Path], object]) -> float:
    """Median time of a few rounds, each into a fresh folder."""
    taken = []
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory() as folder:
            start = time.perf_counter()
            work(Path(folder))
            taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def whole_process(which: str) -> Callable[[Path], object]:
    """The work as a process of its own."""
    return lambda folder: subprocess.run([sys.executable, __file__, which, str(folder)], check=True, cwd=ROOT)


def compare_volumes() -> None:
    """The script is only worth comparing with when it makes the same solids."""
    import cadquery as cq

    from platemaker.solids import solid_of
    from tests.sample_parts import SAMPLES

    with tempfile.TemporaryDirectory() as folder:
        by_hand(Path(folder))
        for make in SAMPLES:
            part = make()
            theirs = cq.importers.importStep(f"{folder}/{part.name}.step").val().Volume()
            ours = solid_of(part).Volume()
            if abs(theirs - ours) > 1e-6 * ours:
                sys.exit(f"{part.name}: by hand {theirs:.6f} mm3, by us {ours:.6f} mm3")


def many_holes() -> None:
    """Growth with the number of holes, solid and proof, as a multiple of a hundred holes."""
    from platemaker.plane import Loop
    from platemaker.solids import prove, solid_of
    from tests import sample_parts as sample

    first = 0.0
    for side in (10, 20, 32):
        holes = [sample.drilled(f"h{i}_{j}", (10 * i, 10 * j), 6, 5) for i in range(side) for j in range(side)]
        outline = Loop.rectangle(10 * side, 10 * side, 3, centre=(5 * side - 5, 5 * side - 5))
        part = sample.plate("many", outline, 5, *holes)
        start = time.perf_counter()
        solid = solid_of(part)
        made = time.perf_counter()
        prove(part, solid)
        taken = time.perf_counter() - start
        first = first or taken
        print(
            f"{side * side:5d} holes: solid {made - start:6.2f} s, "
            f"with proof {taken:6.2f} s, {taken / first:5.1f} times"
        )


def main() -> None:
    """Print the ratios."""
    compare_volumes()
    hand, ours = seconds(whole_process("hand")), seconds(whole_process("us"))
    print(f"whole process: by hand {hand:.2f} s, build {ours:.2f} s, ratio {ours / hand:.2f}")
    hand, ours = seconds(by_hand), seconds(by_us)
    print(f"libraries loaded: by hand {hand:.2f} s, build {ours:.2f} s, ratio {ours / hand:.2f}")
    many_holes()


if __name__ == "__main__":
    if len(sys.argv) == 3:
        {"hand": by_hand, "us": by_us}[sys.argv[1]](Path(sys.argv[2]))
    else:
        main()
