"""A project: loaded, changed, checked, built, studied, compared. Building and studying load their rooms on use."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platemaker.checks import chamber_accounts, check_stack
from platemaker.errors import SpecError
from platemaker.parts import Stack
from platemaker.project._checked import Changes, Checked, Fields
from platemaker.records import Record
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, validate

if TYPE_CHECKING:
    from platemaker.export import BuildResult, Store
    from platemaker.parts import AsBuilt
    from platemaker.study import Advice, Comparison, Keys, Study, Value


class Project(Record):
    """A project as its spec states it; `changes` are the values that differ from its files. It never changes itself.

    >>> from platemaker.project import load
    >>> project = load("part_specs/standard_faces")
    >>> [part.name for part in project.stack.parts]
    ['adapter']
    """

    spec: ProjectSpec
    changes: Changes = ()

    @cached_property
    def stack(self) -> Stack:
        """The parts and bodies in their places, assembled on first use. Raises SpecError or SpecErrors."""
        return assemble(self.spec)

    def value(self, key: str) -> Any:
        """What the spec states at `key`, as it is written; None where it leaves the key to its default.

        A key is a path such as `parts.lid.pocket.wall`; the first word may be left out. Raises SpecError for an unknown
        key, with the nearest one.

        >>> from platemaker.project import load
        >>> load("part_specs/standard_faces").value("adapter.thicknes")
        Traceback (most recent call last):
        platemaker.errors.SpecError: unknown key path, met 'adapter.thicknes'; ...
        """
        from platemaker.study import value_at  # noqa: PLC0415 - `check` has no need of it

        return value_at(self.spec.data, self._keys.find(key).path)

    def with_value(self, key: str, value: Value) -> Project:
        """The same project with `value` at `key`, as the spec would state it; the files stay as they are.

        A bare number is in the project's unit, or say it: `"1/2 in"`. Raises SpecError for an unknown key, and
        SpecErrors for a value that the spec does not allow.

        >>> from platemaker.project import load
        >>> thin = load("part_specs/standard_faces").with_value("adapter.thickness", "1/2 in")
        >>> thin.stack.part("adapter").plate.thickness
        12.7
        """
        from platemaker.study import with_value  # noqa: PLC0415 - `check` has no need of it

        path = self._keys.find(key).path
        spec = validate(self.spec.folder, self.spec.sources, with_value(self.spec.data, path, value))
        kept = tuple(change for change in self.changes if change[0] != path)
        return Project(spec, (*kept, (path, value)))

    def check(
        self, *, samples: int | None = None, as_built: Iterable[str | Path] = (), store: Store | None = None
    ) -> Checked:
        """Run every check. With first-article sheets `as_built`, filled in, the parts are checked as they were cut.

        `samples` are those for the chance that bolts start, 1000 to 1000000. A `store` gives the fields, such as
        films, that were calculated for exactly this state. Raises SpecError or SpecErrors.

        >>> from platemaker.project import load
        >>> load("part_specs/standard_faces").check().passed
        True
        """
        if sheets := tuple(as_built):
            from platemaker.checks import check_as_built  # noqa: PLC0415 - only readings of finished parts need them

            read = _read(self.stack, sheets)
            return Checked(self.spec, self.changes, self.stack, check_as_built(self.stack, read, samples))
        chambers = chamber_accounts(self.stack)
        fields = Fields()
        if store is not None:
            from platemaker.project._flow import stored_flow  # noqa: PLC0415 - they need the room of export
            from platemaker.project._seal import stored_films  # noqa: PLC0415

            fields = Fields(stored_films(self.stack, store, self.spec.data), stored_flow(self.stack, store))
        findings = check_stack(self.stack, samples, fields.films, fields.flow)
        return Checked(self.spec, self.changes, self.stack, findings, chambers, fields=fields)

    def build(self, out: str | Path = "exports", *, only: Sequence[str] = ()) -> BuildResult:
        """Check, then make the parts and write their files and the reports to `out`/PROJECT, all or nothing.

        With `only` these parts alone, to `out`/PROJECT-PART. Raises ProofError for a part that does not come out as
        specified, OutputError for a folder that cannot be written, SpecError as `check` does and for a name in `only`
        that no part has.

        >>> from tempfile import mkdtemp
        >>> from platemaker.project import load
        >>> built = load("part_specs/standard_faces").build(mkdtemp(), only=["adapter"])
        >>> (built.folder / "adapter.step").exists()
        True
        """
        from platemaker.project._files import build_files  # noqa: PLC0415 - only a build needs the room of export

        return build_files(self.check().only(*only), Path(out))

    def study(
        self, *vary: str, shows: Sequence[str] = (), cores: int | None = 1, seek: str | None = None,
        keeps: Sequence[str] = (),
    ) -> Study:  # fmt: skip
        """Vary one or two keys, `"lid.pocket.wall=3..8/0.5"`, and compare what comes of each variant.

        `shows` are ids of checks whose worst margin is read off too. With `seek`, `"least mass"`, up to five keys are
        searched for the variant that gives it and holds what `keeps` says, `"no fails"`. With `cores` above 1, or None
        for as many as help, a script must call this under its `if __name__ == "__main__":`.

        >>> from platemaker.project import load
        >>> done = load("part_specs/standard_faces").study("adapter.thickness=8,12")
        >>> [(row.choices[0].text, row.fails > 0) for row in done.rows]
        [('8', True), ('12', False)]
        """
        from platemaker.study import study  # noqa: PLC0415 - `check` has no need of it

        return study(self.spec.folder, vary, shows=shows, cores=cores, changes=self.changes, seek=seek, keeps=keeps)

    def advise(self) -> Advice:
        """What to change so that each fail and caution goes; nothing is written.

        >>> from platemaker.project import load
        >>> thin = load("part_specs/standard_faces").with_value("adapter.thickness", 8)
        >>> found = thin.advise()
        >>> any(one.cure.key == "parts.adapter.thickness" for one in found.numbered)
        True
        """
        from platemaker.study import advise  # noqa: PLC0415 - `check` has no need of it

        return advise(self.spec)

    def compare(self, other: Project) -> Comparison:
        """What differs in `other`: what moved, changed size, appeared, vanished, and the margins of the checks.

        >>> from platemaker.project import load
        >>> before = load("part_specs/standard_faces")
        >>> found = before.compare(before.with_value("adapter.edge_break", 1))
        >>> [(one.name, one.before, one.after) for one in found.differences if one.fact == "edge break"]
        [('adapter', 0.5, 1.0)]
        """
        from platemaker.study import compared, snapshot_of  # noqa: PLC0415 - `check` has no need of it

        return compared(*(snapshot_of(one.stack, one.check().findings, one.spec) for one in (self, other)))

    @cached_property
    def _keys(self) -> Keys:
        from platemaker.study import Keys  # noqa: PLC0415 - `check` has no need of it

        return Keys(self.spec.data)


def _read(stack: Stack, paths: Iterable[str | Path]) -> list[AsBuilt]:
    """First-article sheets, each held to the blank one of its part. Raises SpecError for two of one part."""
    from platemaker.export import blank_sheet  # noqa: PLC0415 - only readings of finished parts need them
    from platemaker.parts import held_to, read_as_built  # noqa: PLC0415

    found: dict[str, AsBuilt] = {}
    for path in paths:
        sheet = read_as_built(Path(path), stack)
        if sheet.part in found:
            problem = f"{sheet.file} is a second sheet of {sheet.part}, beside {found[sheet.part].file}"
            raise SpecError(problem, allowed="one sheet of a part; check the next piece by itself")
        found[sheet.part] = held_to(sheet, blank_sheet(stack, stack.part(sheet.part)))
    return list(found.values())
