"""Each room has one public door: `__all__`, every name in it documented, private modules left to their own room."""

from __future__ import annotations

import ast
import importlib

import pytest

from tests.package_tree import Module, modules, rooms

DOORS = [room for room in rooms() if room.text.strip()]


def silent(room: str) -> set[str]:
    """Functions and classes of a room's modules that have no docstring of their own."""
    return {
        node.name
        for module in modules()
        if module.room == room
        for node in module.tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not ast.get_docstring(node)
    }


def defined(node: ast.stmt) -> list[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.Assign):
        named = [name for target in node.targets for name in ast.walk(target)]
        return [name.id for name in named if isinstance(name, ast.Name) and name.id != "__all__"]
    return [node.target.id] if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) else []


@pytest.mark.parametrize("door", DOORS, ids=lambda door: door.room)
def test_door_lists_what_it_offers(door: Module) -> None:
    room = importlib.import_module(door.name)
    names = room.__all__ if door.is_package else [n for node in door.tree.body for n in defined(node)]
    assert [name for name in names if not hasattr(room, name)] == []
    assert len(set(names)) == len(names)
    assert [name for name in names if name.startswith("_")] == []


@pytest.mark.parametrize("door", [door for door in DOORS if door.is_package], ids=lambda door: door.room)
def test_door_and_its_list_agree(door: Module) -> None:
    brought = {one.name for one in door.imports if one.module.startswith(door.name) and one.name}
    own = {name for node in door.tree.body for name in defined(node) if not name.startswith("_")}
    assert set(importlib.import_module(door.name).__all__) == brought | own


@pytest.mark.parametrize("door", DOORS, ids=lambda door: door.room)
def test_public_functions_and_classes_say_what_they_do(door: Module) -> None:
    room = importlib.import_module(door.name)
    names = room.__all__ if door.is_package else [name for node in door.tree.body for name in defined(node)]
    assert set(names) & silent(door.room) == set()


def test_private_modules_are_left_to_their_own_room() -> None:
    wrong = []
    for module in modules():
        for one in module.imports:
            full = f"{one.module}.{one.name}" if one.name else one.module
            path = full.split(".")
            if path[0] != "platemaker" or len(path) < 3:
                continue
            if any(step.startswith("_") and not step.startswith("__") for step in path[2:]) and path[1] != module.room:
                wrong.append(f"{module.name}:{one.line} imports {full}")
    assert wrong == []


def test_modules_inside_a_room_are_private() -> None:
    public = [
        module.name
        for module in modules()
        if module.name.count(".") > 1 and not module.name.rpartition(".")[2].startswith("_")
    ]
    assert public == []


def test_rooms_import_their_own_modules_not_their_own_door() -> None:
    wrong = [
        f"{module.name}:{one.line}"
        for module in modules()
        for one in module.imports
        if module.room and one.module == f"platemaker.{module.room}" and one.module != module.name
    ]
    assert [place for place in wrong if not place.startswith("platemaker.cli.__main__")] == []
