"""Bodies from STEP files: what reading one in its own process and measuring it adds to a check. Run by hand.

Prints ratios of one run, each to one import of the solid kernel: a project whose body has so many faces, against the
same project with a box in its place. The best of three runs is taken, as other load on the machine only ever adds.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

SPEC = """
project: bench
units: mm
bodies:
  base:
    material: A356-T6
    envelope: {envelope}
    place: {{at: [0, 0, {low}]}}
    joints: {{top: {{face: above, holes: tapped, thread_depth: 20}}}}
joints: {{top: {{bolts: {{pattern: {{rectangle: [180, 120], rows: [4, 3]}}, thread: M8, head: hex, length: 30}}}}}}
parts:
  lid:
    {{kind: plate, material: 6061-T6, thickness: 16, outline: {{rectangle: [210, 150]}},
      below: {{top: {{holes: clear}}}}}}
"""
KERNEL = "from platemaker.solids import kernel; kernel()"
CHECK = "import sys; from platemaker.cli import app; app(['check', sys.argv[1], '--json'])"
READ = "import sys; from pathlib import Path; from platemaker.solids import load_step; load_step(Path(sys.argv[1]))"


def best_of(code: str, *arguments: str, runs: int = 3) -> float:
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        subprocess.run([sys.executable, "-c", code, *arguments], stdout=subprocess.DEVNULL, check=False)
        times.append(time.perf_counter() - begin)
    return min(times)


def project(folder: Path, envelope: str, low: float) -> Path:
    folder.mkdir()
    (folder / "project.yaml").write_text(SPEC.format(envelope=envelope, low=low), encoding="utf-8")
    return folder


def export(path: Path, holes: int) -> int:
    import cadquery as cq

    spots = [(-140 + 280 * (number % 20) / 19, -90 + 180 * (number // 20) / 19) for number in range(holes)]
    body = cq.Workplane("XY").box(300, 200, 40, centered=(True, True, False)).translate((0, 0, -40))
    if spots:
        body = body.faces("<Z").workplane(origin=(0, 0, 0)).pushPoints(spots).hole(5, 12)
    cq.exporters.export(body, str(path))
    return len(body.faces().vals())


def main() -> None:
    unit = best_of(KERNEL)
    print(f"one import of the kernel: {unit:.2f} s")
    with tempfile.TemporaryDirectory() as held:
        box = best_of(CHECK, str(project(Path(held, "box"), "{box: [300, 200, 40]}", -40)))
        print(f"check with a box             {box / unit:6.2f} imports")
        for holes in (0, 100, 400):
            folder = project(Path(held, f"step{holes}"), "{step: base.step}", 0)
            faces = export(folder / "base.step", holes)
            read, whole = best_of(READ, str(folder / "base.step")), best_of(CHECK, str(folder))
            print(f"{faces:4d} faces: read and load    {read / unit:6.2f} imports; check {whole / unit:6.2f}")


if __name__ == "__main__":
    main()
