"""Would a test notice? Random mutants of the exact rooms, each against the tests that reach its line.

    pip install pytest-cov; python -m pytest -q -n auto --cov=platemaker --cov-context=test --cov-report=
    python tests/campaign/mutation_gate.py --count 400 --jobs 2

The first writes which test reaches which line (`.coverage`). A mutant is one changed comparison (turned round: between
real numbers < and <= are one), sign, constant that is not a decorator's (what it remembers changes no answer), or pair of
arguments. It survives when tests that reach its line pass: those whose file is named for its own, then those that reach
little else, LINES in all, and MOST that reach most; of one test's parameters ALIKE, unless it reaches LITTLE.
"""

from __future__ import annotations

import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from bisect import bisect
from collections import Counter
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from itertools import accumulate
from pathlib import Path
from typing import Any, NamedTuple

import typer

ROOT, ROOMS = Path(__file__).parents[2], ("plane", "space", "resolved", "checks", "survey")
EITHER_WAY = ("min", "max", "minimum", "maximum", "clip", "dist", "hypot", "dot", "isclose", "overlap", "shared_area",
              "is_parallel", "Segment")  # fmt: skip
LINES, MOST, ALIKE, LITTLE, SECONDS = 200_000, 8, 3, 200, 300
OPERATORS = {
    ast.Lt: ("<", ">="), ast.LtE: ("<=", ">"), ast.Gt: (">", "<="), ast.GtE: (">=", "<"), ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="), ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*"),
}  # fmt: skip


class Mutant(NamedTuple):
    """A change of a file; `begin` is the line of its statement in a function, None where it runs on import."""

    file: Path
    begin: int | None
    line: int
    start: int
    end: int
    text: str
    why: str


def mutants_of(file: Path) -> Iterator[Mutant]:
    """All mutants of a file that stay within a line."""
    tree = ast.parse(text := file.read_text(encoding="utf-8"))
    functions = [one for one in ast.walk(tree) if isinstance(one, ast.FunctionDef)]
    inside = [one for each in functions for body in each.body for one in ast.walk(body) if isinstance(one, ast.stmt)]
    begin = {line: one.lineno for one in inside for line in range(one.lineno, (one.end_lineno or 0) + 1)}
    marks = {id(one) for each in functions for mark in each.decorator_list for one in ast.walk(mark)}
    for node in ast.walk(tree):
        if id(node) not in marks and (change := _changed(node, text.split("\n"))):
            yield Mutant(file, begin.get(change[0]), *change)


def _changed(node: ast.AST, lines: list[str]) -> tuple[int, int, int, str, str] | None:
    """Line, first and last column of what a node's mutant changes, what stands there instead, and that in words."""
    match node:
        case ast.Compare(left=left, ops=[operator, *_], comparators=[right, *_]) | ast.BinOp(left, operator, right):
            old, new = OPERATORS.get(type(operator), ("", ""))
            start, line = left.end_col_offset or 0, lines[right.lineno - 1]
            if old and left.end_lineno == right.lineno and line[start : right.col_offset].strip(" ()") == old:
                at = line.index(old, start)
                return right.lineno, at, at + len(old), new, f"{old} to {new}"
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            return node.lineno, node.col_offset, node.end_col_offset or 0, f"{value + 1}", f"{value} to {value + 1}"
        case ast.Call(func, [first, second, *_]) if first.lineno == second.end_lineno:
            one, two, name = (ast.unparse(each) for each in (first, second, func))
            if one != two and "*" not in (one[0], two[0]) and name.split(".")[-1] not in EITHER_WAY:
                return first.lineno, first.col_offset, second.end_col_offset or 0, f"{two}, {one}", f"{one} for {two}"
    return None


def reached(data: Any, file: Path | str) -> dict[int, set[str]]:
    """The tests that reach each line of a file, their set-up with it."""
    lines = data.contexts_by_lineno(str(file)).items()
    return {line: {one.rsplit("|", 1)[0] for one in contexts if "::" in one} for line, contexts in lines}


def chosen(lines: Mapping[int, set[str]], mutant: Mutant, reach: Mapping[str, int]) -> list[str]:
    """The tests to run against a mutant, those first for which its file is most of what they reach."""
    tests = {test for line in ((mutant.line, mutant.begin) if mutant.begin else lines) for test in lines.get(line, ())}
    own = Counter(test for found in lines.values() for test in found)
    words = [word for word in mutant.file.stem.split("_") if len(word) > 3]
    named = {test: any(word in test.split("::")[0] for word in words) for test in tests}
    order = sorted(tests, key=lambda test: (not named[test], -own[test] / reach[test], test))
    name = [test.split("[")[0] for test in order]
    some = [test for place, test in enumerate(order) if reach[test] < LITTLE or name[:place].count(name[place]) < ALIKE]
    near = bisect(list(accumulate(reach[test] for test in some)), LINES)
    return some[:near] + sorted(some[near:], key=lambda test: -reach[test])[:MOST]


def run(tree: Path, tests: list[str], *options: str, compiled: str = "", seconds: int = 3600) -> tuple[int, str]:
    """Exit code and output of tests in a copy of the repository; the code of what takes too long is -1."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options, *tests]
    here = os.environ | {"PYTHONPATH": str(tree), "PYTHONPYCACHEPREFIX": "", "PYTHONDONTWRITEBYTECODE": compiled}
    try:
        said = subprocess.run(command, cwd=tree, env=here, capture_output=True, text=True, check=False, timeout=seconds)
    except subprocess.TimeoutExpired:
        return -1, ""
    return said.returncode, said.stdout


def verdict(tree: Path, mutant: Mutant, tests: list[str]) -> str:
    """What becomes of a mutant; no test at all lets it live."""
    file = tree / (name := mutant.file.relative_to(ROOT))
    lines = file.read_text(encoding="utf-8").split("\n")
    line = lines[mutant.line - 1]
    lines[mutant.line - 1] = line[: mutant.start] + mutant.text + line[mutant.end :]
    file.write_text("\n".join(lines), encoding="utf-8")
    code = run(tree, tests, "-x", compiled="not kept", seconds=SECONDS)[0] if tests else 0
    shutil.copy2(mutant.file, file)
    word = {0: "alive", -1: "hung"}.get(code, "died")
    print(f"{word} {name}:{mutant.line}: {mutant.why} ({len(tests)} tests)", flush=True)
    return word


def main(count: int = 400, seed: int = 1, jobs: int = 2) -> None:
    """Plant so many mutants and say which of them the tests let live."""
    from coverage import CoverageData  # not among what the tests install

    (data := CoverageData(ROOT / ".coverage")).read()
    files = (file for room in ROOMS for file in sorted((ROOT / "platemaker" / room).rglob("*.py")))
    reach = Counter(test for file in data.measured_files() for tests in reached(data, file).values() for test in tests)
    drawn = random.Random(seed).sample([mutant for file in files for mutant in mutants_of(file)], count)
    picked = [(one, chosen(reached(data, one.file), one, reach)) for one in drawn]
    with tempfile.TemporaryDirectory() as scratch, ThreadPoolExecutor(jobs) as pool:
        first = shutil.copytree(ROOT, Path(scratch, "as it is"), ignore=shutil.ignore_patterns(".venv", ".git"))
        # A test that fails in a copy of the tree as it is would kill every mutant. What is compiled here is kept.
        said = run(first, sorted({test for _, tests in picked for test in tests}), "-n", "2", "-rA")[1].split("\n")
        good = {line.removeprefix("PASSED ") for line in said if line.startswith("PASSED ")}
        tried = [(one, [test for test in tests if test in good]) for one, tests in picked]
        trees = [shutil.copytree(first, Path(scratch, f"{job}")) for job in range(jobs)]
        shares = pool.map(lambda job: [verdict(trees[job], *one) for one in tried[job::jobs]], range(jobs))
        ends = Counter(word for share in shares for word in share)
    print(f"{dict(ends)}: {1 - ends['alive'] / max(1, len(tried)):.1%} died")


if __name__ == "__main__":
    typer.run(main)
