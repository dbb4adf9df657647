"""The build's folder: cut files by the export room, reports by the report room, swapped in together."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

from platemaker.checks import Finding
from platemaker.cli._flow import Checked
from platemaker.export import BuildResult, OutputFolder, Progress, build
from platemaker.report import Meta, render_html, render_json, render_markdown


def build_files(
    done: Checked, findings: Sequence[Finding], out: Path, only: Collection[str] | None, progress: Progress
) -> BuildResult:
    """Write everything for `done` below `out`, all at once or not at all."""
    name = "-".join([done.stack.name, *sorted(set(only or ()))])

    def reports(folder: OutputFolder, result: BuildResult) -> None:
        meta = done.meta(proved_volumes(result))
        for suffix, what, text in _pages(done, findings, meta):
            folder.path("report", suffix, what).write_text(text, encoding="utf-8", newline="\n")

    return build(
        done.stack, out / name, spec_folder=done.spec.folder, only=only or None, progress=progress, extra=reports
    )


def proved_volumes(result: BuildResult) -> dict[str, float]:
    """The volumes of the parts that were built, mm3."""
    return {part.part: part.solid.volume for part in result.parts}


def _pages(done: Checked, findings: Sequence[Finding], meta: Meta) -> list[tuple[str, str, str]]:
    return [
        ("json", "findings and parts, for programs", render_json(done.stack, findings, meta)),
        ("md", "check report, plain text", render_markdown(done.stack, findings, meta)),
        ("html", "check report with pictures", render_html(done.stack, findings, meta)),
    ]
