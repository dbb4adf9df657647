"""The build store: what is kept comes back whole or not at all, and a build with it writes the same bytes."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from platemaker.catalog import Family, material
from platemaker.export import BuildResult, OutputFolder, Store, build, default_store, fingerprint, kept, part_key
from platemaker.export import _solid_files as making
from platemaker.parts import Part, PlateStock, Stack
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.space import Frame
from tests import sample_parts as sample

KEY = "ab" + "0" * 62
PIECES = {"a": b"\n\nbytes\x00", "": b"", "ü": b"1"}


def snapshot(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def entries(store: Store) -> list[Path]:
    return sorted(path for path in store.folder.glob("*/*"))


def test_what_is_put_is_taken(tmp_path: Path) -> None:
    store = Store(tmp_path)
    assert (store.take(KEY), store.has(KEY)) == (None, False)
    store.put(KEY, PIECES)
    assert (store.take(KEY), store.has(KEY)) == (PIECES, True)
    fresh = Store(tmp_path, fresh=True)
    assert (fresh.take(KEY), fresh.has(KEY)) == (None, False)


@pytest.mark.parametrize("cut", [0, 1, 20, 60, 90, -1])
def test_an_entry_cut_short_anywhere_counts_as_missing(tmp_path: Path, cut: int) -> None:
    store = Store(tmp_path)
    store.put(KEY, PIECES)
    [entry] = entries(store)
    entry.write_bytes(entry.read_bytes()[:cut])
    assert store.take(KEY) is None
    assert entries(store) == [], "what cannot be used is thrown away"


def test_a_flipped_bit_anywhere_counts_as_missing(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put(KEY, PIECES)
    [entry] = entries(store)
    whole = entry.read_bytes()
    for place in range(len(whole)):
        entry.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        assert store.take(KEY) is None, place


def test_an_entry_under_another_name_counts_as_missing(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.put(KEY, PIECES)
    [entry] = entries(store)
    entry.rename(entry.with_name("1" * 62))
    assert store.take("ab" + "1" * 62) is None


def test_a_store_that_cannot_be_written_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    store = Store(tmp_path / "file")
    store.put(KEY, PIECES)
    assert store.take(KEY) is None
    store.trim()


def test_what_another_user_planted_is_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry signed with another key, a key that others can read, one that is another's, one behind a link."""
    mine, other = Store(tmp_path / "mine"), Store(tmp_path / "other")
    for store in (mine, other):
        store.put(KEY, PIECES)
    [entry], [planted] = entries(mine), entries(other)
    whole = entry.read_bytes()
    entry.write_bytes(planted.read_bytes())
    assert mine.take(KEY) is None
    entry.write_bytes(whole)
    assert Store(mine.folder).take(KEY) == PIECES
    key = mine.folder / "key"
    key.chmod(0o640)
    assert Store(mine.folder).take(KEY) is None
    key.chmod(0o600)
    with monkeypatch.context() as patched:
        patched.setattr(os, "getuid", lambda: os.geteuid() + 1)
        assert Store(mine.folder).take(KEY) is None
    key.rename(tmp_path / "elsewhere")
    key.symlink_to(tmp_path / "elsewhere")
    assert Store(mine.folder).take(KEY) is None
    Store(mine.folder).put(KEY, {"a": b"new"})
    assert entry.read_bytes() == whole


@pytest.mark.parametrize("kind", ["link", "pipe", "folder", "large"])
def test_an_entry_that_is_no_plain_file_counts_as_missing(tmp_path: Path, kind: str) -> None:
    store = Store(tmp_path / "store")
    store.put(KEY, PIECES)
    [entry] = entries(store)
    entry.rename(tmp_path / "entry")
    if kind == "link":
        entry.symlink_to(tmp_path / "entry")
    elif kind == "pipe":
        os.mkfifo(entry)
    elif kind == "folder":
        entry.mkdir()
    else:
        with entry.open("wb") as file:
            file.truncate(2**40)  # takes no room on disk
    assert store.take(KEY) is None


def test_what_was_used_longest_ago_goes_first(tmp_path: Path) -> None:
    store = Store(tmp_path)
    keys = [f"{number}a" + "0" * 62 for number in range(3)]
    for age, key in enumerate(keys):
        store.put(key, {"a": bytes(1000)})
        os.utime(store.folder / key[:2] / key[2:], (1000 + age, 1000 + age))
    assert store.take(keys[0]) is not None, "and is so the one used last"
    store.trim(2500)
    assert [store.take(key) is not None for key in keys] == [True, False, True]


def test_the_store_lies_in_the_users_cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert default_store().folder == tmp_path / "platemaker"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative/path")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_store().folder == tmp_path / ".cache" / "platemaker"


def test_every_field_counts_in_a_fingerprint_but_the_place() -> None:
    part = sample.counterbore_and_pocket()
    assert part_key(replace(part, places=(Frame((0.0, 0.0, 5.0)),))) == part_key(part)
    others = [
        replace(part, note="deburr"),
        replace(part, cuts=part.cuts[:-1]),
        replace(part, cuts=(*part.cuts[:-1], replace(part.cuts[-1], name="other"))),
        replace(part, limits={"wall": 3.0}),
        replace(part, limits={"wall": 3}),
        replace(part, material=replace(part.material, density=part.material.density + 1e-9)),
    ]
    assert len({part_key(one) for one in [part, *others]}) == 1 + len(others)


def test_values_that_look_alike_have_their_own_fingerprints() -> None:
    alike = [
        ("ab", "c"),
        ("a", "bc"),
        ("abc",),
        "abc",
        b"abc",
        1,
        1.0,
        True,
        "1",
        None,
        (),
        [()],
        0.0,
        -0.0,
        Family.STEEL,
    ]
    assert len({fingerprint(one) for one in alike}) == len(alike)
    with pytest.raises(TypeError, match="a function has no fingerprint"):
        fingerprint(fingerprint)


def test_the_fingerprint_does_not_hang_on_the_process() -> None:
    code = (
        "from platemaker.export import part_key; from tests import sample_parts as s; print(part_key(s.chiral_ell()))"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(runs) == 1
    assert len(runs.pop().strip()) == 64


def test_the_time_that_files_bear_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    before = fingerprint("a")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    assert fingerprint("a") != before


def test_files_are_the_same_whether_made_or_kept(tmp_path: Path) -> None:
    store, made = Store(tmp_path / "store"), []

    def build_into(name: str) -> dict[str, bytes]:
        with OutputFolder(tmp_path / name) as folder:

            def make() -> dict[str, bytes]:
                made.append(name)
                folder.path("a", "txt", "text", part="p", key="parts.p").write_bytes(b"text")
                return {"more": b"kept too"}

            assert kept(store, KEY, folder, make) == {"more": b"kept too"}
        return snapshot(tmp_path / name)

    assert build_into("first") == build_into("second")
    assert made == ["first"]


def placed_stack() -> Stack:
    """Two placed plates and the drilled casting with a body under them: everything that a build keeps."""
    from tests.unit.test_export_build import small_stack

    stack = small_stack()
    other = replace(sample.counterbore_and_pocket(), places=(Frame((0.0, 0.0, 40.0)),))
    return replace(stack, parts=(*stack.parts, other))


@pytest.mark.kernel
def test_a_build_from_the_store_is_the_same_to_the_byte(tmp_path: Path) -> None:
    stack, store = placed_stack(), Store(tmp_path / "store")
    plain = build(stack, tmp_path / "plain", spec_folder=tmp_path)
    cold = build(stack, tmp_path / "cold", spec_folder=tmp_path, store=store)
    warm = build(stack, tmp_path / "warm", spec_folder=tmp_path, store=store)
    assert snapshot(tmp_path / "cold") == snapshot(tmp_path / "plain")
    assert snapshot(tmp_path / "warm") == snapshot(tmp_path / "plain")
    for one in (cold, warm):
        assert (one.parts, one.stack, one.skins, one.bodies) == (plain.parts, plain.stack, plain.skins, plain.bodies)
    assert set(warm.skins) == {"one_hole", "drilled_casting", "counterbore_and_pocket"}
    assert set(warm.bodies) == {"log"}


def noted(part: Part) -> Part:
    return replace(part, note="deburr")


def wider(part: Part) -> Part:
    assert isinstance(part.stock, PlateStock)
    return replace(part, stock=replace(part.stock, region=Region.of(Loop.rectangle(100, 61))))


def of_steel(part: Part) -> Part:
    return replace(part, material=material("S235"))


@pytest.mark.kernel
@pytest.mark.parametrize(("change", "made"), [(noted, []), (wider, ["one_hole"]), (of_steel, ["one_hole"])])
def test_only_the_solid_that_changed_is_made_again(
    change: Callable[[Part], Part], made: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stack, store = placed_stack(), Store(tmp_path / "store")
    build(stack, tmp_path / "out", spec_folder=tmp_path, store=store)
    changed = replace(stack, parts=(change(stack.parts[0]), *stack.parts[1:]))
    seen: list[str] = []

    def stated(part: Part) -> object:
        seen.append(part.name)
        return solid_of(part)

    solid_of = making.solid_of
    monkeypatch.setattr(making, "solid_of", stated)
    result = build(changed, tmp_path / "out", spec_folder=tmp_path, store=store)
    assert seen == made
    monkeypatch.setattr(making, "solid_of", solid_of)
    build(changed, tmp_path / "plain", spec_folder=tmp_path)
    assert snapshot(tmp_path / "out") == snapshot(tmp_path / "plain"), "the stack is put together from kept solids"
    assert isinstance(result, BuildResult)


@pytest.mark.kernel
def test_a_body_whose_file_changed_is_read_again(tmp_path: Path) -> None:
    from platemaker.export import write_step
    from platemaker.parts import Body, Envelope, EnvelopeKind
    from platemaker.solids import solid_of

    store = Store(tmp_path / "store")
    file = tmp_path / "log.step"
    body = Body("log", "log", None, Envelope(EnvelopeKind.STEP, (0.0, 0.0, 0.0), file="log.step"), Frame())
    stack = replace(placed_stack(), bodies=(body,))
    heights = []
    for thickness in (10.0, 25.0):
        plate = sample.plate("log", sample.plain_plate().stock.region.outer, thickness)
        write_step(plate, solid_of(plate), file)
        result = build(stack, tmp_path / "out", spec_folder=tmp_path, store=store)
        heights.append(max(result.bodies["log"].corners[2::3]))
    assert heights == [10.0, 25.0]


@pytest.mark.kernel
def test_an_unchanged_build_loads_no_kernel(tmp_path: Path) -> None:
    code = """
import sys
from pathlib import Path
from platemaker.export import Store, build
from tests.unit.test_export_store import placed_stack
out = Path(sys.argv[1])
build(placed_stack(), out / "out", spec_folder=out, store=Store(out / "store"))
print("cadquery" in sys.modules)
"""
    runs = [
        subprocess.run([sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=True).stdout
        for _ in range(2)
    ]
    assert runs == ["True\n", "False\n"]


@pytest.mark.kernel
def test_a_build_killed_at_any_moment_poisons_nothing(tmp_path: Path) -> None:
    """The process is ended by the system without warning, a little later each time."""
    code = """
import os, sys
from pathlib import Path
from platemaker.export import Store, build
from tests.unit.test_export_store import placed_stack
out, writes = Path(sys.argv[1]), int(sys.argv[2])
put = Store.put
def count(store, key, pieces, left=[writes]):
    left[0] -= 1
    if left[0] == 0:
        path = store.folder / key[:2] / ".new-half"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"platemaker store 1" + bytes(100))
        os.kill(os.getpid(), 9)
    put(store, key, pieces)
Store.put = count
build(placed_stack(), out / "out", spec_folder=out, store=Store(out / "store"))
"""
    for writes in (1, 4):
        done = subprocess.run([sys.executable, "-c", code, str(tmp_path), str(writes)], check=False)
        assert done.returncode == -9
        assert not (tmp_path / "out").exists()
    build(placed_stack(), tmp_path / "out", spec_folder=tmp_path, store=Store(tmp_path / "store"))
    build(placed_stack(), tmp_path / "plain", spec_folder=tmp_path)
    assert digests(tmp_path / "out") == digests(tmp_path / "plain")


def digests(folder: Path) -> dict[str, str]:
    return {name: hashlib.sha256(data).hexdigest() for name, data in snapshot(folder).items()}
