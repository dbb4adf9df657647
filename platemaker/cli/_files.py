"""The build's folder: cut files by the export room, reports by the report room, swapped in together."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from pydantic import TypeAdapter

from platemaker.checks import AirReport, PocketAccount, airflow, pocket_accounts, preload_budgets
from platemaker.cli._flow import Checked
from platemaker.export import (
    BuildResult,
    Nesting,
    OutputFolder,
    Progress,
    Store,
    build,
    fingerprint,
    kept,
    write_belt_sheet,
    write_bolt_list,
    write_nests,
    write_torque_table,
)
from platemaker.parts import PackageFile, Stack, in_plan
from platemaker.report import render_html, render_json, render_markdown, stack_meshes

POCKETS = "pockets"
ACCOUNTS = TypeAdapter(tuple[PocketAccount, ...])


def build_files(
    done: Checked,
    out: Path,
    only: Collection[str] | None,
    progress: Progress,
    store: Store | None = None,
    nesting: Nesting | None = None,
) -> BuildResult:
    """Write everything for `done` to a folder below `out`, all at once or not at all; `only` goes into its name.

    What `store` holds is not made again. The sheets of `nesting` are written where they are asked for.
    """
    name = "-".join([done.stack.name, *sorted(set(only or ()))])

    def reports(folder: OutputFolder, result: BuildResult) -> None:
        if nesting is not None:
            key = fingerprint("sheets", nesting.sheets)
            kept(store, key, folder, lambda: write_nests(nesting, folder))
        result = replace(result, files=folder.made)
        meta = done.meta(proved_volumes(result))
        key = fingerprint("reports", meta, done.findings, sorted(set(only or ())), result.files)
        kept(store, key, folder, lambda: _write_reports(done, result, folder, store, whole=not only))

    result = build(
        done.stack,
        out / name,
        spec_folder=done.spec.folder,
        only=only or None,
        progress=progress,
        extra=reports,
        store=store,
        findings=done.findings,
    )
    if store:
        store.trim()
    return result


def proved_volumes(result: BuildResult) -> dict[str, float]:
    """The volumes of the parts that were built, mm3."""
    return {part.part: part.solid.volume for part in result.parts}


def _write_reports(
    done: Checked, result: BuildResult, folder: OutputFolder, store: Store | None, *, whole: bool
) -> Mapping[str, bytes]:
    for suffix, what, text in _reports(done, result, tuple(_accounts(done, folder, store))):
        folder.path(PackageFile.REPORT, suffix, what).write_text(text, encoding="utf-8", newline="\n")
    if whole and any(joint.bolts for joint in done.stack.joints):
        write_bolt_list(done.stack, folder.path(PackageFile.BOLTS, "csv", "bolts to buy"))
        if done.stack.design is not None:
            write_torque_table(done.stack, folder.path(PackageFile.TORQUES, "csv", "tightening torques"))
    if whole and done.stack.belt is not None:
        write_belt_sheet(done.stack, folder.path(PackageFile.BELT, "pdf", "belt in its plane"))
    return {}


def _reports(done: Checked, result: BuildResult, pockets: tuple[PocketAccount, ...]) -> Iterator[tuple[str, str, str]]:
    about = (done.stack, done.findings, done.meta(proved_volumes(result)))
    air = airflow(done.stack)
    yield (
        "json",
        "findings and parts, for programs",
        render_json(*about, pockets=pockets, chambers=done.chambers, files=result.files),
    )
    yield "md", "check report, plain text", render_markdown(*about, pockets=pockets, files=result.files)
    meshes = stack_meshes(done.stack, result)
    flow = air if isinstance(air, AirReport) else None
    preloads = preload_budgets(done.stack)
    page = render_html(*about, meshes, pockets=pockets, air=flow, preloads=preloads, files=result.files)
    yield "html", "check report with pictures", page


def _accounts(done: Checked, folder: OutputFolder, store: Store | None) -> Iterator[PocketAccount]:
    """What limits the opened-out figures, calculated again for the figures that changed."""
    for part in done.stack.parts:
        opened = [(profile.name, profile.opened) for profile in in_plan(part).profiles if profile.opened]
        if opened:
            calculate = partial(_calculated, replace(done.stack, parts=(part,)))
            pieces = kept(store, fingerprint(POCKETS, part.name, opened), folder, calculate)
            yield from ACCOUNTS.validate_json(pieces[POCKETS])


def _calculated(stack: Stack) -> Mapping[str, bytes]:
    return {POCKETS: ACCOUNTS.dump_json(pocket_accounts(stack))}
