"""Changes that were tried on a joint's film: what a leak meets before and after, and what gets worse."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from platemaker.fields import SealAnswer
from platemaker.records import Record
from platemaker.report._items import Cure
from platemaker.report._said import worded
from platemaker.report._seal_text import seal_json


class FilmCure(Record):
    """A change, in words and as keys, and the joint's film `after` it; None where there is none, for its `fault`.

    `breaks` says that a check fails with it that did not.
    """

    words: str
    cure: Cure
    after: SealAnswer | None
    fault: str = ""
    breaks: bool = False


class FilmCures(Record):
    """What was tried on a joint, of so many changes `asked`, all on the coarser mesh, `before` too.

    `answer` is the film as it stands, on both meshes; `left_out` says which kinds of change have nothing to try.
    """

    answer: SealAnswer
    before: SealAnswer
    tried: tuple[FilmCure, ...]
    left_out: tuple[str, ...]
    asked: int

    @property
    def interrupted(self) -> bool:
        """Whether some changes were not come to."""
        return len(self.tried) < self.asked

    @property
    def ranked(self) -> tuple[FilmCure, ...]:
        """Those that break nothing first, then what does most for the worst case; what has no film last."""

        def order(one: FilmCure) -> tuple[bool, bool, float]:
            return one.after is None, one.breaks, -_spare(one.after) if one.after else 0.0

        return tuple(sorted(self.tried, key=order))

    @property
    def best(self) -> FilmCure | None:
        """What does most of those that break nothing, if it does anything."""
        first = next(iter(self.ranked), None)
        if first is None or first.after is None or first.breaks or _spare(first.after) <= _spare(self.before):
            return None
        return first


def _spare(answer: SealAnswer) -> float:
    return answer.spare(answer.worst)


def cures_text(found: FilmCures) -> str:
    """What the terminal shows."""
    said = cures_json(found)
    lines = [*said["about"], _line(said["as_it_stands"])]
    for one in said["tried"]:
        lines.append(_line(one["film"]) if one["film"] else f"{'':17}{one['change']}: {one['fault']}")
        lines += [f"{'':19}{key}" for key in keys_of(one)]
        if one["film"]:
            lines.append(f"{'':19}{one['says']}")
    return "\n  ".join([*lines, *said["not_tried"], *said["left"], said["verdict"]])


def _line(film: Mapping[str, Any]) -> str:
    return f"{film['times']:>15}  {film['change']}: {film['met']}"


def keys_of(tried: Mapping[str, Any]) -> list[str]:
    """What a change sets, a line for each key."""
    return [f"{one['key']} from {one['was']} to {one['to']}" for one in tried["keys"]]


def _about(found: FilmCures) -> list[str]:
    worst, cells = found.answer.worst, found.before.field.finest.cells
    return [
        f"changes tried on {found.answer.joint}, each on the coarser mesh ({cells} cells as it stands) in all cases",
        f"there two meshes differ by {found.answer.field.doubt(worst):.2f} MPa as it stands; given is each worst case",
    ]


def _times(answer: SealAnswer) -> str:
    """How many times what is needed a leak meets."""
    if answer.worst.leak is None:
        return "no way out"
    return f"{_spare(answer):.2f} times" + (" LEAKS" if answer.holds(answer.worst) is False else "")


def seal_records(answers: Sequence[SealAnswer], cures: Sequence[FilmCures] = ()) -> list[dict[str, Any]]:
    """Films in plain records, each with the changes that were tried on it."""
    tried = {one.answer.joint: {"cures": cures_json(one)} for one in cures}
    return [{**seal_json(one), **tried.get(one.joint, {})} for one in answers]


def cures_json(found: FilmCures) -> dict[str, Any]:
    """The same in plain records, in MPa, with the words that terminal and page show."""
    best = found.best
    return {
        "about": _about(found),
        "as_it_stands": _record("as it stands", found.before),
        "difference_of_meshes": found.answer.field.doubt(found.answer.worst),
        "tried": [
            {
                "change": one.words,
                "keys": [{"key": key, "was": was, "to": to} for key, was, to in one.cure.changes],
                "film": _record(one.words, one.after) if one.after else None,
                "fault": one.fault or None,
                "says": worded(one.cure.effects).metric or "no check gets worse",
                "worsens": [worded(text).metric for text in one.cure.worsens],
                "fails": one.breaks,
            }
            for one in found.ranked
        ],
        "not_tried": list(found.left_out),
        "interrupted": found.interrupted,
        "left": [f"interrupted: {found.asked - len(found.tried)} of {found.asked} changes were not tried"]
        if found.interrupted
        else [],
        "best": best.words if best else None,
        "verdict": f"does most and fails nothing: {best.words}; put it into the spec and run seal again for both meshes"
        if best
        else "nothing that was tried presses the worst case better without a new fail",
    }


def _record(words: str, answer: SealAnswer) -> dict[str, Any]:
    worst = answer.worst
    return {
        "change": words,
        "times": _times(answer),
        "met": ", ".join(filter(None, (worst.words, answer.met(worst)))),
        "case": worst.words, "leak": worst.leak, "needed": answer.needed(worst), "seals": answer.holds(worst),
        "cells": answer.field.finest.cells,
        "cases": [{"case": one.words, "leak": one.leak, "needed": answer.needed(one)} for one in answer.field.cases],
    }  # fmt: skip
