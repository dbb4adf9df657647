"""The build's folder: cut files by the export room, reports by the report room, swapped in together."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from pathlib import Path

from platemaker.cli._flow import Checked
from platemaker.export import BuildResult, OutputFolder, Progress, build, write_bolt_list, write_torque_table
from platemaker.report import render_html, render_json, render_markdown


def build_files(done: Checked, out: Path, only: Collection[str] | None, progress: Progress) -> BuildResult:
    """Write everything for `done` to a folder below `out`, all at once or not at all; `only` goes into its name."""
    name = "-".join([done.stack.name, *sorted(set(only or ()))])

    def reports(folder: OutputFolder, result: BuildResult) -> None:
        for suffix, what, text in _reports(done, proved_volumes(result)):
            folder.path("report", suffix, what).write_text(text, encoding="utf-8", newline="\n")
        if not only and any(joint.bolts for joint in done.stack.joints):
            write_bolt_list(done.stack, folder.path("bolts", "csv", "bolts to buy"))
            if done.stack.design is not None:
                write_torque_table(done.stack, folder.path("torques", "csv", "tightening torques"))

    return build(
        done.stack, out / name, spec_folder=done.spec.folder, only=only or None, progress=progress, extra=reports
    )


def proved_volumes(result: BuildResult) -> dict[str, float]:
    """The volumes of the parts that were built, mm3."""
    return {part.part: part.solid.volume for part in result.parts}


def _reports(done: Checked, volumes: dict[str, float]) -> Iterator[tuple[str, str, str]]:
    about = (done.stack, done.findings, done.meta(volumes))
    yield "json", "findings and parts, for programs", render_json(*about)
    yield "md", "check report, plain text", render_markdown(*about)
    yield "html", "check report with pictures", render_html(*about)
