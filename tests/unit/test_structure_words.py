"""Words that stop a reader: none of them in the package, its messages and data, the docs, the examples or commits.

The list was made by hand; the word behind each is what to write. Add to it whatever a reader in a shop stumbles over.
"""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from tests.package_tree import PACKAGE, ROOT

ODD = {
    r"told|tells?|telling|not told": "states; not specified; missing",
    r"reckon(?:s|ed|ing)?": "calculate",
    r"mend(?:s|ed|ing)?": "fix",
    r"anew": "again",
    r"stead": "instead of",
    r"slips? of the pen": "typing error",
    r"dear(?:er|est)": "largest",
    r"at a pinch": "minimum",
    r"used by nobody|by nobody": "unused",
    r"outlives?|outliv(?:ed|ing)": "keep running after",
    r"lest|wherein|whereof|hither|thence": "so that ... not; where; of which; here; from there",
    r"bears? (?:a|an|its|no|the) (?:\w+ )?(?:name|text|title|mark|checksum|circle|letter|word)": "has",
    r"lets? (?:through|pass)": "passes",
    r"costs most": "largest loss",
    r"(?:is|are) asked of": "applies to; demand",
    r"row turned|fitted turned": "back to front",
    r"gauge says": "GO / NO-GO result",
    r"opened[- ]out pockets?": "maximized pocket",
    r"holds the boss in": "retention force",
    r"gasket's spring": "gasket recovery",
    r"times the push": "times the ejection force",
    r"squeeze of (?:a|the) pressed": "compressive hoop stress",
    r"take no size from": "do not scale",
    r"mass of one": "mass",
    r"sizes without tolerance": "general tolerances",
    r"places of holes": "hole coordinates",
    r"(?:no|nothing|neither) (?:\w+ ){0,3}(?:is|are) known of": "the catalog has no ... for",
}
PATTERN = re.compile(r"\b(?:" + "|".join(ODD) + r")\b", re.IGNORECASE)
TEXT = {".py", ".md", ".yaml", ".csv", ".html", ".js", ".css", ".toml"}
WRITTEN = [
    *(path for path in PACKAGE.rglob("*") if path.suffix in TEXT),
    *(path for folder in ("docs", "part_specs") for path in (ROOT / folder).rglob("*") if path.suffix in TEXT),
    *ROOT.glob("*.md"),
]


def odd_in(text: str) -> list[str]:
    return [found.group() for found in PATTERN.finditer(text)]


@pytest.mark.parametrize("folder", sorted({path.parent for path in WRITTEN}), ids=lambda p: str(p.relative_to(ROOT)))
def test_no_odd_word_is_written(folder: Path) -> None:
    found = [
        f"{path.relative_to(ROOT)}:{number}: {word!r}"
        for path in WRITTEN
        if path.parent == folder
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        for word in odd_in(line)
    ]
    assert found == []


def test_no_odd_word_in_the_commits_made_since_the_list_is_here() -> None:
    """A copy without history, such as that of the gate, has no commits to look at."""
    added = git("log", "--diff-filter=A", "--format=%H", "--", str(Path(__file__).relative_to(ROOT)))
    if not added:
        pytest.skip("no history")
    subjects = git("log", "--ancestry-path", "--no-merges", "--format=%s", f"{added[-1]}..HEAD")
    assert [subject for subject in subjects if odd_in(subject)] == []


def git(*arguments: str) -> list[str]:
    done = subprocess.run(["git", *arguments], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.splitlines() if done.returncode == 0 else []


def test_the_list_finds_its_words_and_leaves_the_trades_alone() -> None:
    assert odd_in("the spec is told; it is mended") == ["told", "mended"]
    assert odd_in("the head bears on the plate; recommended; steadily; instead of a gasket; lesting") == []
