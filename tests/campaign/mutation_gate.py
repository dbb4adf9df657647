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
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
ROOMS = ("plane", "space", "resolved", "checks", "survey")
TEST = "substr(context, 1, instr(context || '|', '|') - 1)"
"""A test's name without the phase that reaches a line: its set-up counts too."""
LEFT = shutil.ignore_patterns(".venv", ".git", ".*_cache", ".coverage*")
LEAST, MOST, SECONDS = 30, 10, 300
OPERATORS = {
    ast.Lt: ("<", ">="), ast.LtE: ("<=", ">"), ast.Gt: (">", "<="), ast.GtE: (">=", "<"), ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="), ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*"),
}  # fmt: skip


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
        if isinstance(node, ast.Compare):
            yield from _between(file, lines, node.left, node.ops[0], node.comparators[0])
        elif isinstance(node, ast.BinOp):
            yield from _between(file, lines, node.left, node.op, node.right)
        elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
            why = f"{node.value} to {node.value + 1}"
            yield Mutant(file, node.lineno, node.col_offset, node.end_col_offset or 0, repr(node.value + 1), why)
        elif isinstance(node, ast.Call) and len(node.args) > 1 and node.args[0].lineno == node.args[1].end_lineno:
            first, second = node.args[:2]
            one, two = (ast.unparse(each) for each in (first, second))
            if one != two and not any(isinstance(each, ast.Starred) for each in (first, second)):
                ends = first.col_offset, second.end_col_offset or 0
                yield Mutant(file, first.lineno, *ends, f"{two}, {one}", f"({one}, {two}) swapped")


def _between(file: Path, lines: list[str], left: ast.expr, operator: ast.AST, right: ast.expr) -> Iterator[Mutant]:
    """The operator between two operands, where both stand in one line."""
    old, new = OPERATORS.get(type(operator), ("", ""))
    start, line = left.end_col_offset or 0, lines[right.lineno - 1]
    if old and left.end_lineno == right.lineno and line[start : right.col_offset].strip(" ()") == old:
        at = line.index(old, start)
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


def run(tree: Path, tests: list[str], *options: str, **surroundings: str) -> tuple[int, str]:
    """Exit code and output of tests in a copy of the repository; the code of what takes too long is -1."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options, *tests]
    here = (
        os.environ | {"PYTHONPATH": str(tree), "PYTHONPYCACHEPREFIX": "", "PYTHONDONTWRITEBYTECODE": ""} | surroundings
    )
    done = partial(subprocess.run, command, cwd=tree, env=here, capture_output=True, text=True)
    try:
        return (said := done(check=False, timeout=None if "-rA" in options else SECONDS)).returncode, said.stdout
    except subprocess.TimeoutExpired:
        return -1, ""


def verdict(tree: Path, mutant: Mutant, tests: list[str]) -> str:
    """What becomes of a mutant; no test at all lets it live."""
    file = tree / mutant.file.relative_to(ROOT)
    lines = file.read_text(encoding="utf-8").split("\n")
    line = lines[mutant.line - 1]
    lines[mutant.line - 1] = line[: mutant.start] + mutant.text + line[mutant.end :]
    file.write_text("\n".join(lines), encoding="utf-8")
    code = run(tree, tests, "-x", PYTHONDONTWRITEBYTECODE="1")[0] if tests else 0
    shutil.copy2(mutant.file, file)
    word = {0: "alive", -1: "hung"}.get(code, "died")
    if word != "died":
        print(f"{word} {mutant.file.relative_to(ROOT)}:{mutant.line}: {mutant.why} ({len(tests)} tests)", flush=True)
    return word


def main() -> None:
    options = argparse.ArgumentParser()
    for name, default in (("--count", 400), ("--seed", 1), ("--jobs", 2)):
        options.add_argument(name, type=int, default=default)
    chosen = options.parse_args()
    files = [file for room in ROOMS for file in sorted((ROOT / "platemaker" / room).rglob("*.py"))]
    mutants = [mutant for file in files for mutant in mutants_of(file)]
    random.Random(chosen.seed).shuffle(mutants)
    data = sqlite3.connect(ROOT / ".coverage")
    query = "select {}, sum(length(numbits)) from line_bits join context on context.id = context_id group by 1"
    reach = {name: size for name, size in data.execute(query.format(TEST)) if "::" in name}
    every = [(mutant, reaching(data, mutant, reach)) for mutant in mutants[: chosen.count]]
    picked = [(mutant, [*tests[:LEAST], *tests[LEAST:][-MOST:]]) for mutant, tests in every]
    with tempfile.TemporaryDirectory() as scratch, ThreadPoolExecutor(chosen.jobs) as pool:
        first = shutil.copytree(ROOT, Path(scratch, "as it is"), ignore=LEFT)
        # A test that fails in a copy of the tree as it is would kill every mutant. What is compiled here is kept.
        said = run(first, sorted({test for _, tests in picked for test in tests}), "-n", "2", "-rA")[1].split("\n")
        good = {line.removeprefix("PASSED ") for line in said if line.startswith("PASSED ")}
        tried = [(mutant, [test for test in tests if test in good]) for mutant, tests in picked]
        trees = [shutil.copytree(first, Path(scratch, f"{job}")) for job in range(chosen.jobs)]
        words = pool.map(
            lambda job: [verdict(trees[job], *one) for one in tried[job :: chosen.jobs]], range(chosen.jobs)
        )
        count = Counter(word for each in words for word in each)
    print(f"{dict(count)}: {1 - count['alive'] / max(1, len(tried)):.1%} died")


if __name__ == "__main__":
    main()
