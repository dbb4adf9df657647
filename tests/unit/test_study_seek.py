"""Searches: what is sought and kept, that the winner is the best of all, and that it is written with all else kept."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.study import folder_of, plot_study, render_study, study, study_json, write_study
from platemaker.study._outcomes import AREA, MASS, STANDING, WALL, WorstFinding, shown_outcome
from platemaker.study._seek import Search, aim_of, keep_of
from platemaker.study._values import Choice
from platemaker.study._variant import VariantRow
from platemaker.study._vary import Vary
from tests.cli_runner import run
from tests.study_projects import project

KEYS = ("lid.thickness=5,6,8,12", "lid.pocket.depth=3,4,5")


@pytest.fixture
def lid(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return project(tmp_path / "lid")


def test_winner_is_the_best_of_all_that_hold(lid: Path) -> None:
    done = study(lid, KEYS, seek="least mass", keeps=["no fails"], cores=1)
    assert (done.asked, done.sought and done.sought.exhaustive) == (12, True)
    plain = study(lid, KEYS, cores=1).rows
    held = [row for row in plain if not row.fault and row.fails == 0]
    best = min(held, key=lambda row: row.outcomes["mass"] or 0.0)
    assert done.winner is not None
    assert done.winner.number == best.number
    assert 0 < len(held) < len(plain), "some must fail, or nothing was kept"


def test_rules_narrow_the_search(lid: Path) -> None:
    free = study(lid, KEYS, seek="least mass", cores=1).winner
    held = study(lid, KEYS, seek="least mass", keeps=["mass at least 0.2"], cores=1)
    assert free is not None
    assert held.winner is not None
    assert (free.outcomes["mass"] or 0.0) < 0.2 <= (held.winner.outcomes["mass"] or 0.0)
    none = study(lid, KEYS, seek="least mass", keeps=["mass at most 0.001"], cores=1)
    assert none.winner is None
    assert "no combination tried holds what is to be kept" in render_study(none)


@pytest.mark.parametrize(
    ("seek", "keep", "message"),
    [
        ("less mass", "no fails", r"not something to seek, met 'less mass'; allowed: least or most, and area, .*mass"),
        ("least mas", "no fails", r"the study has no outcome 'mas'.*mass"),
        (
            "least mass",
            "no faults",
            r"not something to keep, met 'no faults'; allowed: no fails, no cautions, or OUTCOME",
        ),
        ("least mass", "wal at least 5", r"the study has no outcome 'wal'"),
    ],
)
def test_what_is_not_understood_is_refused(lid: Path, seek: str, keep: str, message: str) -> None:
    with pytest.raises(SpecError, match=message):
        study(lid, KEYS, seek=seek, keeps=[keep], cores=1)


def test_rules_without_an_aim_are_refused(lid: Path) -> None:
    with pytest.raises(SpecError, match="something to keep, and nothing to seek"):
        study(lid, KEYS, keeps=["no fails"], cores=1)


def test_six_keys_are_too_many(lid: Path) -> None:
    with pytest.raises(SpecError, match="6 keys to vary; allowed: 1 to 5"):
        study(lid, [f"a{n}=1" for n in range(6)], seek="least mass", cores=1)


def bowl(counts: tuple[int, ...], low: tuple[int, ...]) -> tuple[Search, list[int]]:
    """A search over whole numbers whose mass is least at `low`; every third value of the first key cannot be."""
    varies = [Vary(None, tuple(Choice(str(k), k) for k in range(count))) for count in counts]  # type: ignore[arg-type]
    asked: list[int] = []

    def ask(variants: list[tuple[int, tuple[Choice, ...]]]) -> list[VariantRow]:
        rows = []
        for number, choices in variants:
            asked.append(number)
            at = [int(choice.value) for choice in choices]
            mass = float(sum((a - b) ** 2 for a, b in zip(at, low, strict=True)))
            rows.append(VariantRow(number, choices, fault="no" if at[0] % 3 == 2 else "", outcomes={"mass": mass}))
        return rows

    return Search(varies, aim_of("least mass", STANDING), [keep_of("no fails", STANDING)], ask, None), asked  # type: ignore[arg-type]


def test_search_finds_the_lowest_place_without_trying_all() -> None:
    search, asked = bowl((9, 9, 9, 9, 9), (4, 7, 1, 6, 3))
    search.evolve()
    assert search.best == (4, 7, 1, 6, 3)
    assert len(asked) == len(set(asked)) == len(search.tried) < 9**5 / 50
    assert not search.sought.exhaustive


def test_search_is_the_same_each_time() -> None:
    runs = [bowl((9, 9, 9), (4, 7, 1)) for _ in range(2)]
    for search, _ in runs:
        search.evolve()
    assert runs[0][1] == runs[1][1]


def test_numbers_count_the_combinations_in_order() -> None:
    search, _ = bowl((3, 2, 4), (0, 0, 0))
    assert [search.number(place) for place in product(range(3), range(2), range(4))] == list(range(1, 25))


def test_aims_and_rules_as_they_are_written() -> None:
    assert (aim_of("most  area", STANDING).outcome, aim_of("least mass", STANDING).outcome) == (AREA, MASS)
    rule = keep_of("wall at  least 5", STANDING)
    assert (rule.outcome, rule.most, rule.limit) == (WALL.name, False, 5.0)
    row = VariantRow(1, (), fails=2, cautions=1, outcomes={"wall": 4.5})
    assert [keep_of(text, STANDING).short(row) for text in ("no fails", "no cautions", "wall at least 5")] == [
        2,
        3,
        0.5,
    ]
    assert keep_of("mass at most 1", STANDING).short(row) == float("inf")  # not known is not held


def test_a_limit_to_keep_is_in_the_unit_of_the_table() -> None:
    """A wall of 6.35 mm is a quarter of an inch; what agrees to 1e-6 is equal, as in a check."""
    row = VariantRow(1, (), outcomes={"wall": 6.35}, shown={"PM1": WorstFinding("PM1:lid:a", 6.35, 1.27, "mm")})
    inch = (keep_of(text, (*STANDING, shown_outcome("PM1", "")), "in") for text in (
        "wall at least 0.25", "wall at least 0.3", "wall at most 0.2", "PM1 at least 0.05", "PM1 at least 0.06",
    ))  # fmt: skip
    assert [round(one.short(row), 6) for one in inch] == [0.0, 1.27, 1.27, 0.0, 0.254]
    assert keep_of("wall at least 6.35", STANDING).short(VariantRow(1, (), outcomes={"wall": 6.35 - 1e-12})) == 0.0


def test_a_winner_that_fails_is_said_to_fail(lid: Path) -> None:
    """Least mass with nothing to keep is the thinnest plate: 5 - 3 = 2 mm of floor, of the 3 mm that it must have."""
    free = run("study", lid, "--vary", KEYS[0], "--vary", "lid.pocket.depth=3", "--seek", "least mass")
    assert free.code == 1
    assert "lid.pocket.depth=3; it fails PM110: --keep" in " ".join(free.out.split())
    kept = run(
        "study", lid, "--vary", KEYS[0], "--vary", "lid.pocket.depth=3", "--seek", "least mass", "--keep", "no fails"
    )
    assert (kept.code, "it fails" in kept.out) == (0, False)


def test_answer_files_and_picture_state_the_winner(lid: Path) -> None:
    done = study(lid, KEYS, seek="least mass", keeps=["no fails"], cores=1)
    text = render_study(done)
    assert "least mass sought over lid.thickness and lid.pocket.depth, keeping no fails" in " ".join(text.split())
    assert "! least mass of all combinations:" in text
    stated = json.loads(study_json(done))["sought"]
    assert stated == {
        "aim": "least mass", "keep": ["no fails"], "winner": done.winner and done.winner.number, "combinations": 12,
        "exhaustive": True,
    }  # fmt: skip
    assert b"least mass" in plot_study(done, "svg")


def test_winner_is_written_and_all_else_kept(lid: Path) -> None:
    spec = lid / "project.yaml"
    before = spec.read_text("utf-8")
    answer = run(
        "study", lid, "--vary", KEYS[0], "--vary", KEYS[1], "--seek", "most mass", "--keep", "no fails", "--apply"
    )
    assert answer.code == 0, answer.err
    after = spec.read_text("utf-8")
    changed = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert 1 <= len(changed) <= 2
    assert all(a.split(":")[0] == b.split(":")[0] for a, b in changed)
    assert run("check", lid).code == 0


def test_apply_without_an_aim_is_refused(lid: Path) -> None:
    answer = run("study", lid, "--vary", KEYS[0], "--apply")
    assert (answer.code, "nothing to write" in answer.err) == (2, True)


def test_a_key_left_to_its_default_is_refused_before_the_search(lid: Path, tmp_path: Path) -> None:
    """The lid states no edge break: there is no place to write one, and no hour is spent to learn that."""
    answer = run("study", lid, "--vary", "lid.edge_break=0.2,0.5", "--seek", "least mass", "--apply")
    assert (answer.code, answer.out) == (2, "")
    assert "no value of it stands in the spec that could be written over, met 'lid.edge_break'" in answer.err
    assert not (tmp_path / "exports").exists()


def test_a_value_that_an_alias_brings_in_elsewhere_is_refused_before_the_search(tmp_path: Path) -> None:
    folder = project(
        tmp_path,
        **{
            "thickness: 12": "thickness: &plate 12",
            "thickness: 12\n    outline: {circle": "thickness: *plate\n    outline: {circle",
        },
    )
    answer = run("study", folder, "--vary", "lid.thickness=8,10", "--seek", "least mass", "--apply")
    assert answer.code == 2
    assert answer.err.startswith(
        "project.yaml:9: parts.lid.thickness: its value cannot be changed alone: an alias brings"
    )
    assert [one.name for one in folder.iterdir()] == ["project.yaml"]


def test_earlier_studies_stay(lid: Path, tmp_path: Path) -> None:
    first, second = (study(lid, [key], cores=1) for key in ("lid.thickness=6", "lid.pocket.depth=4"))
    places = [write_study(one, folder_of(one, tmp_path)) for one in (first, second, first, second)]
    assert [place.name for place in places] == ["lid-study", "lid-study-2", "lid-study", "lid-study-2"]
    assert folder_of(first, tmp_path, "thin").name == "lid-study-thin"


def test_each_variant_names_the_checks_that_fail(lid: Path) -> None:
    done = study(lid, ["rim.bolts.pattern.rectangle[0]=80,92"], cores=1)
    assert done.rows[0].failing == ()
    assert "PM110" in done.rows[1].failing
    assert len(done.rows[1].failing) <= done.rows[1].fails
    assert "PM110" in render_study(done)
    assert json.loads(study_json(done))["variants"][1]["failing"] == list(done.rows[1].failing)


@pytest.mark.parametrize(
    "vary", ["rim.bolts.thread=M5,M6", "lid.material=6061-T6,6082-T6", "lid.pocket.cutter=8,10"], ids=str
)
def test_names_vary_as_numbers_do(lid: Path, vary: str) -> None:
    done = study(lid, [vary], cores=1)
    assert len(done.sound) == 2


def test_search_names_no_variant_of_unknown_back_end(lid: Path) -> None:
    answer = run("study", lid, "--vary", KEYS[0], "--on", "nowhere")
    assert answer.code == 2
    assert "not a back end that variants can run on" in answer.err
