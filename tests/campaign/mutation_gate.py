"""Would a test notice? Random mutants of the exact rooms, each against the tests that reach its line.

    pip install pytest-cov
    python -m pytest -q -n auto --cov=platemaker --cov-context=test --cov-report= && coverage combine --keep
    python tests/campaign/mutation_gate.py --count 400 --jobs 2

The first command writes which test reaches which line (`.coverage`); it runs each test once. A mutant is one changed
comparison (turned round: between real numbers < and <= are one), sign, constant, or pair of arguments. It survives
when the tests that reach its line pass, the thirty that reach least else and the ten that reach most. Survivors are
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
COPIED = ("platemaker", "tests", "part_specs", "docs", "benchmarks", "exports")
LEFT = shutil.ignore_patterns(".venv", ".git", ".*_cache", ".coverage*")
TEST = "substr(context, 1, instr(context || '|', '|') - 1)"
"""A test's name without the phase that reaches a line: its set-up counts too."""
LEAST, MOST, SECONDS = 30, 10, 300
COMPARISONS = {
    ast.Lt: ("<", ">="), ast.LtE: ("<=", ">"), ast.Gt: (">", "<="), ast.GtE: (">=", "<"), ast.Eq: ("==", "!="),
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
    """The tests that reach a mutant's line, or where it runs on import its file; those that reach least else first."""
    rows = data.execute(
        f"select {TEST}, line_bits.numbits from line_bits join file on file.id = file_id "
        "join context on context.id = context_id where file.path like ?",
        (f"%{mutant.file.relative_to(ROOT)}",),
    ).fetchall()
    byte, bit = divmod(mutant.line, 8)
    found = {name for name, bits in rows if byte < len(bits) and bits[byte] >> bit & 1 and name in reach}
    return sorted(found or {name for name, _ in rows if name in reach}, key=lambda name: (reach[name], name))


def run(tests: list[str], *options: str, mutant: Mutant | None = None, seconds: float | None = None) -> tuple[int, str]:
    """Exit code and output of tests in a copy of the tree with a mutant; the code of what takes too long is -1."""
    with tempfile.TemporaryDirectory() as scratch:
        shutil.copytree(ROOT, scratch, ignore=LEFT, dirs_exist_ok=True)
        if mutant:
            file = Path(scratch, mutant.file.relative_to(ROOT))
            lines = file.read_text(encoding="utf-8").split("\n")
            line = lines[mutant.line - 1]
            lines[mutant.line - 1] = line[: mutant.start] + mutant.text + line[mutant.end :]
            file.write_text("\n".join(lines), encoding="utf-8")
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options, *tests]
        try:
            done = subprocess.run(command, cwd=scratch, capture_output=True, text=True, check=False, timeout=seconds)
        except subprocess.TimeoutExpired:
            return -1, ""
        return done.returncode, done.stdout


def verdict(mutant: Mutant, tests: list[str]) -> str:
    """What becomes of a mutant; no test at all lets it live."""
    code = run(tests, "-x", mutant=mutant, seconds=SECONDS)[0] if tests else 0
    return {0: "alive", -1: "hung"}.get(code, "died")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, default in (("--count", 400), ("--seed", 1), ("--jobs", 2)):
        options.add_argument(name, type=int, default=default)
    options.add_argument("--coverage", type=Path, default=ROOT / ".coverage")
    chosen = options.parse_args()
    files = [file for room in ROOMS for file in sorted((ROOT / "platemaker" / room).rglob("*.py"))]
    mutants = [mutant for file in files for mutant in mutants_of(file)]
    random.Random(chosen.seed).shuffle(mutants)
    data = sqlite3.connect(chosen.coverage)
    query = "select {}, sum(length(numbits)) from line_bits join context on context.id = context_id group by 1"
    reach = {name: size for name, size in data.execute(query.format(TEST)) if "::" in name}
    every = [(mutant, reaching(data, mutant, reach)) for mutant in mutants[: chosen.count]]
    picked = [(mutant, [*tests[:LEAST], *tests[LEAST:][-MOST:]]) for mutant, tests in every]
    # A test that fails in a copy of the tree as it is would kill every mutant.
    said = run(sorted({test for _, tests in picked for test in tests}), "-n", "2", "-rA")[1].split("\n")
    good = {line.removeprefix("PASSED ") for line in said if line.startswith("PASSED ")}
    tried = [(mutant, [test for test in tests if test in good]) for mutant, tests in picked]
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
