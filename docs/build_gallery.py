"""Write docs/gallery.md and docs/pictures from the examples. Run at the project's root.

With `--page` the report page is photographed in Chromium, too.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from platemaker.checks import Finding, check_stack, pocket_accounts
from platemaker.parts import Stack
from platemaker.report import render_table, worded
from platemaker.resolved import assemble
from platemaker.spec import load_project
from platemaker.views import Sheet, plan_svg

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
PAGE = "report_page.png"
HEAD = """# Gallery

Each example as a spec, its pictures and an excerpt of its report. This page and its pictures are written by
`docs/build_gallery.py` from the folders in `part_specs`; the pictures open by themselves, light or dark as the reader's
screen is.
"""


@dataclass(frozen=True)
class Picture:
    """A plan of a part: with its walls, or with what limits one of its milled figures."""

    part: str
    limiters_of: str = ""

    def name(self, project: str) -> str:
        """The picture's file."""
        return "_".join([project, self.part, *([self.limiters_of] if self.limiters_of else [])]) + ".svg"


@dataclass(frozen=True)
class Example:
    """A project of `part_specs`: the words before it, the files of its spec and the pictures that are shown."""

    project: str
    words: str
    files: tuple[str, ...]
    pictures: tuple[Picture, ...]


EXAMPLES = (
    Example(
        "pump_engine",
        (
            "A belt-driven blower on the intake log of a four-cylinder irrigation-pump engine: two plates, a fuel rail "
            "over a row of slanted injector bosses, two brackets, and an oil drain that shares bolts with the mount."
        ),
        ("plates.yaml", "fuel.yaml"),
        (Picture("lower_plate"), Picture("blower_plate"), Picture("blower_plate", "pocket"), Picture("oil_return")),
    ),
    Example(
        "four_ports",
        (
            "A blower on the four-port flange of a cylinder head: a plenum in the upper plate, and in the lower one an "
            "opening for each port. The joint has them by name; gasket, walls, lands and the share of the air follow."
        ),
        ("project.yaml",),
        (Picture("port_plate"), Picture("plenum_plate")),
    ),
    Example(
        "standard_faces",
        "An adapter between two published mounting patterns, so that every hole can be held against its standard.",
        ("project.yaml",),
        (Picture("adapter"),),
    ),
)


def stack_of(example: Example) -> Stack:
    """The example, assembled."""
    return assemble(load_project(ROOT / "part_specs" / example.project))


def pictures() -> dict[str, str]:
    """Every picture by its file's name."""
    found = {}
    for example in EXAMPLES:
        stack = stack_of(example)
        findings = check_stack(stack)
        for one in example.pictures:
            sheet = Sheet(one.name(example.project).removesuffix(".svg"), alone=True)
            shown = () if one.limiters_of else findings
            found[one.name(example.project)] = plan_svg(
                stack.part(one.part), shown, unit=stack.unit, limiters_of=one.limiters_of, sheet=sheet
            )
    return found


def gallery() -> str:
    """The whole page."""
    return "\n".join([HEAD, *(block for example in EXAMPLES for block in blocks_of(example))])


def blocks_of(example: Example) -> list[str]:
    """What stands on one example."""
    stack = stack_of(example)
    findings = check_stack(stack)
    blocks = [f"## {stack.title}\n", f"{example.words}\n"]
    blocks += [
        f"![{caption(one)}](pictures/{one.name(example.project)})\n\n{caption(one)}\n" for one in example.pictures
    ]
    stated = [worded(limit.words).of(stack.unit) for account in pocket_accounts(stack) for limit in account.limits[:6]]
    if stated:
        blocks.append(
            "What keeps the pocket from being larger, largest first:\n\n"
            + "\n".join(f"- {one}" for one in stated)
            + "\n"
        )
    blocks.append(f"From the report:\n\n```text\n{excerpt(findings, stack.unit)}```\n")
    for name in example.files:
        text = (ROOT / "part_specs" / example.project / name).read_text(encoding="utf-8")
        blocks.append(f"`part_specs/{example.project}/{name}`:\n\n```yaml\n{text}```\n")
    return blocks


def caption(picture: Picture) -> str:
    """A picture in words."""
    if picture.limiters_of:
        return f"`{picture.part}`: what limits its {picture.limiters_of}, each limit in its own colour and line"
    return f"`{picture.part}`, seen from above, with its tightest walls"


def excerpt(findings: tuple[Finding, ...], unit: str) -> str:
    """The worst findings as the terminal shows them, and the counts."""
    return render_table(findings[:8], unit) if findings else ""


def photograph(target: Path) -> None:
    """The report page of the first example in Chromium, as a picture."""
    from selenium import webdriver  # noqa: PLC0415 - only asked for now and then

    options = webdriver.ChromeOptions()
    for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=1280,1500"):
        options.add_argument(flag)
    with tempfile.TemporaryDirectory() as out:
        project = EXAMPLES[0].project
        command = [sys.executable, "-m", "platemaker.cli", "build", f"part_specs/{project}", "--out", out]
        subprocess.run(command, cwd=ROOT, check=False, capture_output=True)  # noqa: S603 - our own command
        driver = webdriver.Chrome(options, webdriver.ChromeService(executable_path=shutil.which("chromedriver")))
        try:
            driver.get((Path(out) / project / "report.html").as_uri())
            driver.execute_script("document.getElementById('stack').scrollIntoView()")
            driver.execute_script(
                "const p = document.getElementById('pull'); p.value = 55; p.dispatchEvent(new Event('input'))"
            )
            driver.execute_async_script("requestAnimationFrame(() => requestAnimationFrame(arguments[0]))")
            driver.save_screenshot(str(target))
        finally:
            driver.quit()


def main() -> None:
    """Write the page and its pictures."""
    (DOCS / "pictures").mkdir(exist_ok=True)
    for name, text in pictures().items():
        (DOCS / "pictures" / name).write_text(text, encoding="utf-8", newline="\n")
    (DOCS / "gallery.md").write_text(gallery(), encoding="utf-8", newline="\n")
    if "--page" in sys.argv[1:]:
        photograph(DOCS / "pictures" / PAGE)


if __name__ == "__main__":
    main()
