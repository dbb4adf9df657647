"""Sizes and habits that the linter does not hold: see DEVELOPERS.md, conventions."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator

from tests.package_tree import ORDER, ROOT, Module, modules

MODULE_LINES, CLASS_LINES, FUNCTION_LINES = 500, 200, 60


def sized(module: Module) -> Iterator[tuple[str, int, int]]:
    """What in a module has a size: its place, its lines, the most allowed."""
    yield module.name, len(module.text.splitlines()), MODULE_LINES
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            most = CLASS_LINES if isinstance(node, ast.ClassDef) else FUNCTION_LINES
            yield f"{module.name}:{node.lineno} {node.name}", (node.end_lineno or node.lineno) - node.lineno + 1, most


def test_nothing_is_too_long() -> None:
    assert [
        f"{place}: {lines} lines" for module in modules() for place, lines, most in sized(module) if lines > most
    ] == []


def test_no_assert_in_the_package() -> None:
    """Input is refused by errors that name it; an assert vanishes under `python -O`."""
    assert [
        f"{module.name}:{node.lineno}"
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Assert)
    ] == []


def test_every_exception_is_caught_in_one_place_only() -> None:
    broad = [
        f"{module.name}:{node.lineno}"
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.ExceptHandler) and broad_names(node.type)
    ]
    assert {place.split(":")[0] for place in broad} == {"platemaker.cli._console"}


def broad_names(caught: ast.expr | None) -> set[str]:
    names = {"everything"} if caught is None else {one.id for one in ast.walk(caught) if isinstance(one, ast.Name)}
    return names & {"everything", "Exception", "BaseException"}


def test_every_module_says_what_it_is() -> None:
    assert [module.name for module in modules() if module.text.strip() and not ast.get_docstring(module.tree)] == []


def test_text_files_are_opened_with_a_stated_encoding() -> None:
    """Without one the machine's locale decides, and tables with a degree sign stop reading."""
    silent = []
    for module in modules():
        for node in ast.walk(module.tree):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            stated = {word.arg for word in node.keywords}
            if node.func.attr in {"read_text", "write_text"} and "encoding" not in stated:
                silent.append(f"{module.name}:{node.lineno}")
    assert silent == []


def test_every_test_file_is_named_for_the_room_that_it_tests() -> None:
    """`test_<room>_<topic>.py`; `kernel` is the library below the rooms, the other words are the whole of them."""
    subjects = "|".join([*ORDER, "structure", "kernel", "bad", "demo"])
    odd = [
        path.name
        for kind in ("unit", "validation", "property", "golden")
        for path in (ROOT / "tests" / kind).glob("test_*.py")
        if not re.fullmatch(rf"test_({subjects})_\w+", path.stem)
    ]
    assert odd == []


def test_a_class_name_has_one_meaning() -> None:
    classes = [
        (node.name, module.name) for module in modules() for node in module.tree.body if isinstance(node, ast.ClassDef)
    ]
    count = Counter(name for name, _ in classes)
    assert [one for one in classes if count[one[0]] > 1] == []
