"""Would a test notice? Random mutants of the exact rooms, each against the tests that reach its line.

    pip install pytest-cov
    python -m pytest -q -n auto --cov=platemaker --cov-context=test --cov-report= && coverage combine --keep
    python tests/campaign/mutation_gate.py --count 400 --jobs 2

The first command writes which test reaches which line (`.coverage`); it runs each test once. A mutant is one changed
comparison, sign, constant, or pair of arguments. It survives when the tests that reach its line pass, the forty that
reach least else. Survivors are printed with their place, to be argued one by one; the score is the share that died.
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
COPIED = ("platemaker", "tests", "part_specs", "docs", "benchmarks", "exports")
MOST_TESTS, SECONDS = 40, 300
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


def reaching(data: sqlite3.Connection, mutant: Mutant, reach: dict[str, int]) -> list[str]:
    """The tests that reach a mutant's line, by their names; first those that reach the fewest lines in all."""
    rows = data.execute(
        "select context.context, line_bits.numbits from line_bits join file on file.id = file_id "
        "join context on context.id = context_id where file.path like ?",
        (f"%{mutant.file.relative_to(ROOT)}",),
    )
    byte, bit = divmod(mutant.line, 8)
    found = {name.partition("|")[0] for name, bits in rows if byte < len(bits) and bits[byte] >> bit & 1}
    return sorted((name for name in found if name in reach), key=lambda name: (reach[name], name))


def reaches(data: sqlite3.Connection) -> dict[str, int]:
    """How many bytes of lines each test reaches: a small test says most about the line."""
    rows = data.execute(
        "select context, sum(length(numbits)) from line_bits join context on context.id = context_id group by 1"
    )
    return {name.partition("|")[0]: size for name, size in rows if name.startswith("tests") and name.endswith("|run")}


def copied(scratch: str) -> None:
    for name in ("platemaker", "tests", "part_specs", "docs", "benchmarks", "exports"):
        shutil.copytree(ROOT / name, Path(scratch, name), ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md"):
        shutil.copy(ROOT / name, scratch)


def passes(scratch: str, tests: list[str], *options: str, seconds: float | None = None) -> tuple[int, str]:
    """Exit code and output of some tests in a copy of the tree; the code of a run that takes too long is -1."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options, *tests]
    try:
        done = subprocess.run(command, cwd=scratch, capture_output=True, text=True, check=False, timeout=seconds)
    except subprocess.TimeoutExpired:
        return -1, ""
    return done.returncode, done.stdout


def verdict(mutant: Mutant, tests: list[str]) -> str:
    """What becomes of a mutant: "died", "hung" or "alive"."""
    with tempfile.TemporaryDirectory() as scratch:
        copied(scratch)
        file = Path(scratch, mutant.file.relative_to(ROOT))
        lines = file.read_text(encoding="utf-8").split("\n")
        line = lines[mutant.line - 1]
        lines[mutant.line - 1] = line[: mutant.start] + mutant.text + line[mutant.end :]
        file.write_text("\n".join(lines), encoding="utf-8")
        code, _ = passes(scratch, tests, "-x", seconds=SECONDS)
    return {0: "alive", -1: "hung"}.get(code, "died")


def sound(tests: list[str]) -> set[str]:
    """Those of the tests that pass in a copy of the tree as it is: a test that fails there would kill every mutant."""
    with tempfile.TemporaryDirectory() as scratch:
        copied(scratch)
        _, said = passes(scratch, tests, "-n", "2", "-rA")
    return {line.removeprefix("PASSED ") for line in said.split("\n") if line.startswith("PASSED ")}


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--count", type=int, default=400)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--jobs", type=int, default=2)
    options.add_argument("--coverage", type=Path, default=ROOT / ".coverage")
    chosen = options.parse_args()
    files = [file for room in ROOMS for file in sorted((ROOT / "platemaker" / room).rglob("*.py"))]
    mutants = [mutant for file in files for mutant in mutants_of(file)]
    random.Random(chosen.seed).shuffle(mutants)
    data = sqlite3.connect(chosen.coverage)
    reach, tried = reaches(data), []
    for mutant in mutants:
        if tests := reaching(data, mutant, reach)[:MOST_TESTS]:
            tried.append((mutant, tests))
        if len(tried) == chosen.count:
            break
    good = sound(sorted({test for _, tests in tried for test in tests}))
    tried = [(mutant, kept) for mutant, tests in tried if (kept := [test for test in tests if test in good])]
    count = dict.fromkeys(("died", "hung", "alive"), 0)
    with ThreadPoolExecutor(chosen.jobs) as pool:
        for (mutant, tests), word in zip(tried, pool.map(lambda one: verdict(*one), tried), strict=True):
            count[word] += 1
            if word != "died":
                where = f"{mutant.file.relative_to(ROOT)}:{mutant.line}"
                print(f"{word} {where}: {mutant.why} ({len(tests)} tests)", flush=True)
    print(f"{count}: {1 - count['alive'] / max(1, len(tried)):.1%} died")


if __name__ == "__main__":
    main()
