"""Who imports whom: the rooms' order, no circles, the kernel behind its doors, nothing heavy at start-up."""

from __future__ import annotations

import json
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter

import pytest

from tests.package_tree import ORDER, PACKAGE, ROOT, modules, rooms

KERNEL = {"cadquery", "OCP"}
HEAVY = {
    "cadquery",
    "OCP",
    "ezdxf",
    "trimesh",
    "scipy",
    "fluids",
    "reportlab",
    "rectpack",
    "matplotlib",
    "shapely",
    "numpy.ma",
}


def test_rooms_are_those_of_the_order() -> None:
    assert sorted(room.room for room in rooms()) == sorted(ORDER)


def test_imports_point_to_the_left_only() -> None:
    place = {room: at for at, room in enumerate(ORDER)}
    wrong = []
    for module in modules():
        if not module.room:
            continue
        for one in module.imports:
            target = one.module.split(".")
            if target[0] == "platemaker" and len(target) > 1 and place[target[1]] > place[module.room]:
                wrong.append(f"{module.name}:{one.line} imports {one.module}")
    assert wrong == []


def test_no_import_circle() -> None:
    known = {module.name for module in modules()}
    graph: dict[str, set[str]] = {}
    for module in modules():
        wanted = {one.module for one in module.imports} | {f"{one.module}.{one.name}" for one in module.imports}
        # `from platemaker import __version__` needs the package's own module, which loads its names on first use.
        graph[module.name] = (wanted & known) - {module.name} if module.room else set()
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as circle:
        pytest.fail("import circle: " + " -> ".join(reversed(circle.args[1])))


def test_no_shelf_circle() -> None:
    """Shelves of a room, its sub-packages, import each other one way; what stands beside them is below them."""
    graph: dict[str, set[str]] = {}
    for module in modules():
        shelf = module.name.split(".")[:3]
        if len(module.name.split(".")) < 4:
            continue
        others = {".".join(one.module.split(".")[:3]) for one in module.imports if one.module.count(".") > 2}
        graph.setdefault(".".join(shelf), set()).update(others - {".".join(shelf)})
    assert graph, "no room has shelves: this test has lost its object"
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as circle:
        pytest.fail("import circle: " + " -> ".join(reversed(circle.args[1])))


@pytest.mark.parametrize(
    ("library", "allowed"),
    [
        ("cadquery", {"solids", "export"}),
        ("OCP", {"solids", "export"}),
        ("ezdxf", {"export"}),
        ("typer", {"cli"}),
        ("ngsolve", {"fields"}),
        ("netgen", {"fields"}),
    ],
)
def test_library_is_named_in_its_rooms_only(library: str, allowed: set[str]) -> None:
    naming = {
        module.name: module.room
        for module in modules()
        if any(one.module.split(".")[0] == library for one in module.imports)
    }
    assert {name for name, room in naming.items() if room not in allowed} == set()
    assert naming, f"{library} is named nowhere: this test has lost its object"


RUN = """
import json, sys
from platemaker.cli import app
try:
    app(json.loads(sys.argv[1]))
except SystemExit as end:
    code = end.code
rooms = {name for name in sys.modules if name == "numpy.ma" or name.startswith("platemaker.") and name.count(".") == 1}
print("LOADED" + json.dumps([code, sorted({name.split(".")[0] for name in sys.modules} | rooms)]))
"""


def loaded_by(*arguments: str) -> tuple[int, set[str]]:
    """Exit code of a command in a fresh interpreter, and the top-level modules and rooms that it left loaded."""
    done = subprocess.run(
        [sys.executable, "-c", RUN, json.dumps(arguments)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    code, names = json.loads(done.stdout.rpartition("LOADED")[2])
    return code or 0, set(names)


@pytest.mark.parametrize("arguments", [["--help"], ["build", "--help"], ["check", "--help"], ["--version"]])
def test_help_loads_no_room_and_nothing_heavy(arguments: list[str]) -> None:
    code, names = loaded_by(*arguments)
    assert code == 0
    assert names & (HEAVY | {"yaml", "numpy", "rich"}) == set()
    assert {name for name in names if name.startswith("platemaker.")} == {
        "platemaker.errors",
        "platemaker.records",
        "platemaker.cli",
    }


def test_the_door_for_scripts_loads_nothing_before_its_first_use() -> None:
    said = "import sys, platemaker; print([name for name in sys.modules if name.startswith('platemaker')])"
    done = subprocess.run([sys.executable, "-c", said], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "['platemaker']\n"


def test_loading_and_checking_by_script_loads_nothing_heavy() -> None:
    said = f"""
import sys, platemaker
print(platemaker.load({str(ROOT / "part_specs" / "standard_faces")!r}).check().passed)
print(sorted({{name.split(".")[0] for name in sys.modules}} & {HEAVY!r}))
"""
    done = subprocess.run([sys.executable, "-c", said], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "True\n[]\n"


def test_check_loads_no_kernel_and_nothing_heavy() -> None:
    code, names = loaded_by("check", str(PACKAGE / "project" / "data" / "starter"))
    assert code == 0
    assert "platemaker.checks" in names, "nothing was checked: this test has lost its object"
    assert names & HEAVY == set()


def test_check_of_the_demo_loads_fluids_for_its_air_and_nothing_else_heavy() -> None:
    code, names = loaded_by("check", str(ROOT / "part_specs" / "pump_engine"))
    assert code == 0
    assert "platemaker.survey" in names, "the demo has no survey any more: this test has lost part of its object"
    assert names & HEAVY == {"fluids"}
    assert "platemaker.export" not in names, "only build needs the room of export"


def test_check_beside_kept_fields_loads_the_store_and_nothing_heavy(tmp_path, monkeypatch) -> None:
    (tmp_path / "platemaker").mkdir()
    (tmp_path / "platemaker" / "fields").touch()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    code, names = loaded_by("check", str(ROOT / "part_specs" / "pump_engine"))
    assert code == 0
    assert "platemaker.export" in names, "nothing was looked up: this test has lost its object"
    assert names & HEAVY == {"fluids"}


def test_schema_and_new_load_no_kernel(tmp_path) -> None:
    for arguments in (["schema"], ["new", str(tmp_path / "mine")]):
        code, names = loaded_by(*arguments)
        assert code == 0
        assert names & HEAVY == set()
