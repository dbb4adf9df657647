"""The build's folder: cut files by the export room, reports by the report room, swapped in together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path

from msgspec import Struct, json

from platemaker.checks import AirReport, PocketAccount, Verdict, airflow, pocket_accounts, preload_budgets
from platemaker.export import (
    BuildResult,
    Cover,
    FilmShown,
    FolderFiles,
    Nesting,
    OutputFolder,
    Progress,
    Shop,
    SolidProcess,
    Store,
    announced,
    build,
    fingerprint,
    kept,
    pdf_record,
    write_belt_sheet,
    write_bolt_list,
    write_covers,
    write_fitting_sheet,
    write_nests,
    write_torque_table,
)
from platemaker.parts import PackageFile, Stack, in_plan
from platemaker.project._checked import Checked
from platemaker.project._releases import Since, changes_since, file_release, refuse_release
from platemaker.records import replace
from platemaker.report import (
    Draft,
    about_film,
    draft_html,
    draft_json,
    draft_markdown,
    sentence,
    stack_meshes,
    stands,
)
from platemaker.resolved import resolved_stack

POCKETS = "pockets"
REPORTS = {
    "json": "findings and parts, for programs",
    "md": "check report, plain text, every finding",
    "html": "check report with pictures",
}
ACCOUNTS = json.Decoder(tuple[PocketAccount, ...])


def build_files(
    done: Checked,
    out: Path,
    progress: Progress | None = None,
    store: Store | None = None,
    nesting: Nesting | None = None,
    shops: Sequence[Shop] = (),
    release: str | None = None,
    beside: SolidProcess | None = None,
) -> BuildResult:
    """Write everything for `done` to a folder below `out`, all at once or not at all; parts chosen go into its name.

    What `store` holds is not made again, what `beside` was asked for is made there. The sheets of `nesting` are written
    where they are asked for, and a ZIP for each of `shops`. With `release` the package is filed under that revision,
    the spec's present one. Raises SpecError for another one, OutputError for what cannot be released or written.
    """
    if release is not None:
        refuse_release(done, out, release)
    since = changes_since(done, out)
    name = "-".join([done.stack.name, *done.chosen])
    whole = _OfTheWhole(done, store, nesting, shops, since)
    result = build(
        done.stack,
        out / name,
        spec_folder=done.spec.folder,
        only=done.chosen or None,
        progress=progress,
        before=whole.lists,
        meanwhile=whole.draft,
        extra=whole.reports,
        store=store,
        beside=beside,
        findings=done.findings,
        changes={part.name: words for part in done.stack.parts if (words := since.of_part(part.name))},
        since=since.release,
    )
    if store:
        store.trim()
    if release is not None:
        file_release(done, result.folder, out, release)
    return result


class _OfTheWhole(Struct):
    """The files that are of no single part."""

    done: Checked
    store: Store | None
    nesting: Nesting | None
    shops: Sequence[Shop]
    since: Since
    listed: FolderFiles | None = None
    pockets: tuple[PocketAccount, ...] = ()
    drafts: Mapping[str, Draft] | None = None

    def lists(self, folder: OutputFolder) -> None:
        """Write what needs no solid, to be joined when the reports are written."""
        done, files = self.done, folder.aside()
        bodies = [body.envelope.size for body in done.stack.bodies if body.envelope is not None]
        key = fingerprint("lists", done.meta({}), done.chosen, done.fields.said, bodies)
        kept(self.store, key, files, lambda: _write_lists(done, files))
        self.listed, self.pockets = files, tuple(_accounts(done, files, self.store))

    def draft(self, result: BuildResult) -> None:
        """Prepare the reports, all but what they say of files."""
        self.drafts = _drafts(self.done, result, self.pockets)

    def reports(self, folder: OutputFolder, result: BuildResult) -> None:
        """Write what is made from all other files."""
        done, nesting = self.done, self.nesting
        if nesting is not None:
            key = fingerprint("sheets", nesting.sheets)
            kept(self.store, key, folder, lambda: write_nests(nesting, folder))
        paths = announced(folder, self.shops)
        if self.listed is not None:
            folder.join(self.listed)
        result = replace(result, files=folder.made)
        meta = done.meta(result.volumes)
        key = fingerprint("reports", meta, done.findings, list(done.chosen), result.files, done.cures, done.fields.said)
        kept(self.store, key, folder, lambda: self._write_reports(folder, result))
        write_covers(done.stack, result.volumes, cover_of(done, self.since), folder, paths)

    def _write_reports(self, folder: OutputFolder, result: BuildResult) -> Mapping[str, bytes]:
        drafts = self.drafts or _drafts(self.done, result, self.pockets)
        paths = {suffix: folder.path(PackageFile.REPORT, suffix, what) for suffix, what in REPORTS.items()}
        for suffix, path in paths.items():
            path.write_text(drafts[suffix](folder.made), encoding="utf-8", newline="\n")
        return {}


def cover_of(done: Checked, since: Since) -> Cover:
    """What the cover says of the checks: what is open, a warning where anything fails; and what changed."""
    fails = sum(item.verdict is Verdict.FAIL for item in done.items)
    asked = (Verdict.FAIL, Verdict.CAUTION, Verdict.NOT_CHECKED)
    unit = done.stack.unit
    questions = tuple((one.verdict.value, sentence(one).of(unit)) for one in done.items if one.verdict in asked)
    warning = f"NOT RELEASED: {fails} {'item fails' if fails == 1 else 'items fail'}" if fails else ""
    return Cover(warning=warning, questions=questions, since=since.release, changes=since.lines)


def _write_lists(done: Checked, folder: FolderFiles) -> Mapping[str, bytes]:
    whole = not done.chosen
    if whole and any(joint.bolts for joint in done.stack.joints):
        write_bolt_list(done.stack, folder.path(PackageFile.BOLTS, "csv", "bolts to buy"))
        if done.stack.design is not None:
            write_torque_table(done.stack, folder.path(PackageFile.TORQUES, "csv", "tightening torques"))
    belt = resolved_stack(done.stack).belt
    if whole and belt is not None:
        path = folder.path(PackageFile.BELT, "pdf", "belt in its plane")
        folder.read_back(path, pdf_record(write_belt_sheet(done.stack, belt, path)))
    if whole and any(joint.bolts for joint in done.stack.joints):
        sheet = folder.path(PackageFile.FITTING, "pdf", "fitter's sheet: order, torques, bill of materials")
        films = [FilmShown(one, (*about_film(one), stands(one))) for one in done.fields.films.values()]
        folder.read_back(sheet, pdf_record(write_fitting_sheet(done.stack, sheet, films)))
    return {}


def _drafts(done: Checked, result: BuildResult, pockets: tuple[PocketAccount, ...]) -> dict[str, Draft]:
    """The reports by their suffix."""
    about = (done.stack, done.findings, done.meta(result.volumes))
    air = airflow(done.stack)
    films, flow, items, chambers = done.fields.films, done.fields.flow, done.items, done.chambers
    report = air if isinstance(air, AirReport) else None
    meshes, preloads = stack_meshes(done.stack, result, flow, report), preload_budgets(done.stack)
    return {
        "json": draft_json(*about, pockets=pockets, chambers=chambers, films=films, flow=flow, items=items),
        "md": draft_markdown(*about, pockets=pockets, items=items),
        "html": draft_html(
            *about, meshes, pockets=pockets, air=report, preloads=preloads, films=films, flow=flow, items=items
        ),
    }


def _accounts(done: Checked, folder: FolderFiles, store: Store | None) -> Iterator[PocketAccount]:
    """What limits the opened-out figures, calculated again for the figures that changed."""
    for part in done.stack.parts:
        opened = [(profile.name, profile.opened) for profile in in_plan(part).profiles if profile.opened]
        if opened:
            calculate = partial(_calculated, replace(done.stack, parts=(part,)))
            pieces = kept(store, fingerprint(POCKETS, part.name, opened), folder, calculate)
            yield from ACCOUNTS.decode(pieces[POCKETS])


def _calculated(stack: Stack) -> Mapping[str, bytes]:
    return {POCKETS: json.encode(pocket_accounts(stack))}
