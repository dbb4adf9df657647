"""Would a test notice? Random mutants of the exact rooms, each against the tests that reach its line.

    pip install pytest-cov
    python -m pytest -q -n auto --cov=platemaker --cov-context=test --cov-report= && coverage combine --keep
    python tests/campaign/mutation_gate.py --count 400 --jobs 2

The first command writes which test reaches which line (`.coverage`); it runs each test once. A mutant is one changed
comparison, sign, constant, or pair of arguments. It survives when every test that reaches its line passes. Survivors are
printed with their place, to be argued one by one; the score is the share that died.
"""

from __future__ import annotations

import argparse
import ast
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
ROOMS = ("plane", "space", "resolved", "checks", "survey")
MOST_TESTS, SECONDS = 40, 120
COMPARISONS = {
    ast.Lt: ("<", "<="), ast.LtE: ("<=", "<"), ast.Gt: (">", ">="), ast.GtE: (">=", ">"), ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
}  # fmt: skip
OPERATORS = {ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*")}


class Mutant(NamedTuple):
    """A stretch of one line of a file and what stands there instead."""

    file: Path
    line: int
    start: int
    end: int
    text: str
    why: str


def mutants_of(file: Path) -> Iterator[Mutant]:
    """All mutants of a file that stay within a line."""
    lines = file.read_text(encoding="utf-8").split("\n")
    for node in ast.walk(ast.parse("\n".join(lines))):
        if isinstance(node, ast.Compare) and type(node.ops[0]) in COMPARISONS:
            yield from _between(file, lines, node.left, node.comparators[0], *COMPARISONS[type(node.ops[0])])
        elif isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
            yield from _between(file, lines, node.left, node.right, *OPERATORS[type(node.op)])
        elif isinstance(node, ast.Constant) and type(node.value) in (int, float) and node.end_col_offset is not None:
            new = repr(node.value + 1)
            why = f"{node.value} to {new}"
            yield Mutant(file, node.lineno, node.col_offset, node.end_col_offset, new, why)
        elif isinstance(node, ast.Call) and len(node.args) > 1 and node.args[0].lineno == node.args[1].end_lineno:
            first, second = node.args[:2]
            one, two = (ast.unparse(each) for each in (first, second))
            if one != two and not any(isinstance(each, ast.Starred) for each in (first, second)):
                ends = (first.col_offset, second.end_col_offset or 0)
                yield Mutant(file, first.lineno, *ends, f"{two}, {one}", f"({one}, {two}) swapped")


def _between(file: Path, lines: list[str], left: ast.expr, right: ast.expr, old: str, new: str) -> Iterator[Mutant]:
    """The operator between two operands, where both stand in one line."""
    start, end = left.end_col_offset or 0, right.col_offset
    if left.end_lineno == right.lineno and lines[right.lineno - 1][start:end].strip(" ()") == old:
        at = lines[right.lineno - 1].index(old, start)
        yield Mutant(file, right.lineno, at, at + len(old), new, f"{old} to {new}")


def reaching(data: sqlite3.Connection, mutant: Mutant) -> list[str]:
    """The tests that reach a mutant's line, by their names."""
    rows = data.execute(
        "select context.context, line_bits.numbits from line_bits join file on file.id = file_id "
        "join context on context.id = context_id where file.path like ?",
        (f"%{mutant.file.relative_to(ROOT)}",),
    )
    byte, bit = divmod(mutant.line, 8)
    found = [name.partition("|")[0] for name, bits in rows if byte < len(bits) and bits[byte] >> bit & 1]
    return sorted({name for name in found if name.startswith("tests")})


def survives(mutant: Mutant, tests: list[str]) -> bool:
    """Whether the tests pass on a copy of the tree with the mutant in it."""
    with tempfile.TemporaryDirectory() as scratch:
        for name in ("platemaker", "tests", "part_specs", "docs"):
            shutil.copytree(ROOT / name, Path(scratch, name), ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md"):
            shutil.copy(ROOT / name, scratch)
        file = Path(scratch, mutant.file.relative_to(ROOT))
        lines = file.read_text(encoding="utf-8").split("\n")
        line = lines[mutant.line - 1]
        lines[mutant.line - 1] = line[: mutant.start] + mutant.text + line[mutant.end :]
        file.write_text("\n".join(lines), encoding="utf-8")
        command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
        try:
            done = subprocess.run(command, cwd=scratch, capture_output=True, check=False, timeout=SECONDS)
        except subprocess.TimeoutExpired:
            return False
        return done.returncode == 0


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--count", type=int, default=400)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--jobs", type=int, default=2)
    options.add_argument("--coverage", type=Path, default=ROOT / ".coverage")
    chosen = options.parse_args()
    rng = random.Random(chosen.seed)
    files = [file for room in ROOMS for file in sorted((ROOT / "platemaker" / room).rglob("*.py"))]
    mutants = [mutant for file in files for mutant in mutants_of(file)]
    rng.shuffle(mutants)
    data = sqlite3.connect(chosen.coverage)
    tried = []
    for mutant in mutants:
        if tests := reaching(data, mutant):
            tried.append((mutant, rng.sample(tests, min(MOST_TESTS, len(tests)))))
        if len(tried) == chosen.count:
            break
    with ThreadPoolExecutor(chosen.jobs) as pool:
        alive = list(pool.map(lambda one: survives(*one), tried))
    for (mutant, tests), survived in zip(tried, alive, strict=True):
        if survived:
            print(f"{mutant.file.relative_to(ROOT)}:{mutant.line}: {mutant.why} ({len(tests)} tests)")
    print(f"{len(alive) - sum(alive)} of {len(alive)} died, {1 - sum(alive) / max(1, len(alive)):.1%}")


if __name__ == "__main__":
    main()
