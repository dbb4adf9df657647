"""Names of cuts: each stands once in a part, and what a cut is bored into is there and is not bored into it."""

from __future__ import annotations

from platemaker.errors import SpecError, nearest_word
from platemaker.parts._records._part import Part
from platemaker.spec import ProjectSpec


def refuse_unclear_names(part: Part, spec: ProjectSpec) -> None:
    """Raise SpecError for two cuts of one name, and for cuts bored into none, into themselves or in a circle."""
    _refuse_twins(part, spec)
    _refuse_unknown_into(part, spec)
    _refuse_circles(part, spec)


def _refuse_twins(part: Part, spec: ProjectSpec) -> None:
    seen: dict[str, str] = {}
    for cut in part.cuts:
        key = cut.key or part.key
        if cut.name in seen:
            problem = f"'{part.name}' has two cuts called '{cut.name}', the other from {seen[cut.name]}"
            raise SpecError(problem, where=spec.where(*key.split(".")), allowed="names that differ")
        seen[cut.name] = key


def _refuse_unknown_into(part: Part, spec: ProjectSpec) -> None:
    names = sorted(cut.name for cut in part.cuts)
    for cut in part.cuts:
        for other in cut.into:
            if other not in names or other == cut.name:
                known = [name for name in names if name != cut.name]
                problem = f"'{part.name}' has no other cut called '{other}'"
                where = spec.where(*(cut.key or part.key).split("."))
                near = nearest_word(other, known)
                raise SpecError(problem, where=where, met=other, allowed=", ".join(known) or "none", nearest=near)


def _refuse_circles(part: Part, spec: ProjectSpec) -> None:
    into = {cut.name: cut.into for cut in part.cuts}
    for cut in part.cuts:
        way, waiting = [cut.name], list(cut.into)
        while waiting:
            name = waiting.pop()
            if name == cut.name:
                problem = f"'{cut.name}' of {part.name} is bored into '{way[-1]}', which is bored into it"
                where = spec.where(*(cut.key or part.key).split("."))
                raise SpecError(problem, where=where, allowed="`into` on the one that is bored later")
            if name not in way:
                way.append(name)
                waiting += into[name]
