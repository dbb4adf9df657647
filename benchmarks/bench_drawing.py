"""What paper costs: the drawing of a 100-hole plate, and the paper of the demo beside its build without it.

Run by hand from the project's root: `python benchmarks/bench_drawing.py`. Aims: a drawing of a plate with 100 holes
within 2 s, written and read back; the demo's paper within 2 s in all.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))


def strewn(holes: int) -> object:
    """A plate with holes of three kinds at seeded random places."""
    from platemaker.plane import Loop
    from tests import sample_parts as sample

    dice = random.Random(holes)
    kinds = (
        lambda name, at: sample.drilled(name, at, 6.6, 25),
        lambda name, at: sample.counterbored(name, at, 15, 8.6, 9, 25),
        lambda name, at: sample.tapped_blind(name, at, 25, 20, 15),
    )
    cuts = [kinds[i % 3](f"h{i}", (dice.uniform(-230, 230), dice.uniform(-130, 130))) for i in range(holes)]
    return sample.plate("strewn", Loop.rectangle(500, 300, 8), 25, *cuts)


def paper_of(stack: object, parts: tuple[object, ...]) -> float:
    """Seconds for the paper of some parts, written and read back into a fresh folder."""
    from platemaker.export import OutputFolder
    from platemaker.export._paper import about_of, write_paper

    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        with OutputFolder(Path(folder) / "out") as out:
            for part in parts:
                write_paper(part, about_of(stack, part, 1000.0), out)
        return time.perf_counter() - start


def drawing_alone(stack: object, part: object) -> float:
    """Seconds for one drawing, as PDF and SVG, read back."""
    from platemaker.export._paper import about_of
    from platemaker.export._reading._read_pdf import prove_drawing
    from platemaker.export._sheet._drawing_sheet import drawing_pages
    from platemaker.views import hole_tags
    from platemaker.views._ink._paper_svg import svg_of
    from platemaker.views._ink._pdf import write_pdf

    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        about = about_of(stack, part, 1000.0)
        pages = drawing_pages(part, about)
        path = Path(folder) / "a.pdf"
        write_pdf(pages, path, "a")
        svg_of(pages, "a")
        prove_drawing(part, path, len(pages), about.revision, hole_tags(part))
        return time.perf_counter() - start


def main() -> None:
    """Print times and ratios."""
    from platemaker.export import build
    from platemaker.resolved import assemble
    from platemaker.spec import load_project

    demo = ROOT / "part_specs" / "pump_engine"
    stack = assemble(load_project(demo))
    first = drawing_alone(stack, strewn(1))
    print(f"first drawing of a process, libraries loaded with it: {first:.2f} s")
    base = drawing_alone(stack, strewn(10))
    for holes in (10, 100, 400):
        taken = drawing_alone(stack, strewn(holes))
        print(f"{holes:4d} holes: drawing {taken:.2f} s, {taken / base:.1f} times that of 10 holes")
    paper = paper_of(stack, stack.parts)
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        build(stack, Path(folder) / "out", spec_folder=demo)
        whole = time.perf_counter() - start
    print(f"demo, {len(stack.parts)} parts: paper {paper:.2f} s, {paper / whole:.2f} of its whole build")


if __name__ == "__main__":
    main()
