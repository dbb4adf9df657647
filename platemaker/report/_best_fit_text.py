"""One surveyed pattern placed on another, for the terminal and for programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from platemaker.report._survey_text import WIDTH
from platemaker.report._terminal import wrapped
from platemaker.units import MM_PER_INCH

if TYPE_CHECKING:
    from platemaker.survey import BestFit


def render_best_fit(
    fits: Sequence[BestFit], name: str, onto: str, better: BestFit | None = None, unit: str = "mm"
) -> str:
    """For each kind of fit the shift and turn that place `name` on `onto`, and what is left at every hole.

    `better`: a placement of another kind that fits, where these do not.
    """
    factor = MM_PER_INCH if unit == "in" else 1.0
    lines = [f"{name} placed on {onto}, by a shift and a turn alone; lengths in {unit}"]
    lines += wrapped(_matching([misfit.name for misfit in fits[0].misfits], fits[0].onto), WIDTH)
    if better is not None:
        lines += wrapped(better_in_words(better, fits[-1]), WIDTH)
    for fit in (*([better] if better is not None else []), *fits):
        lines += ["", *_fit(fit, factor)]
    return "\n".join(lines) + "\n"


def better_in_words(better: BestFit, stated: BestFit) -> str:
    """Which other placement fits, to how much, and what that means."""
    holes = [misfit.name for misfit in better.misfits]
    ways = (["mirrored"] if better.mirrored else []) + (["in another order"] if better.onto != stated.onto else [])
    much, less = (f"{fit.largest.distance:.2f} mm" for fit in (better, stated))
    words = f"fits {' and '.join(ways)} to {much}, as stated to {less}"
    why = ["you read each face from its own front"] if better.mirrored else []
    if better.onto != stated.onto:
        why.append(", ".join(f"{one} on {other}" for one, other in zip(holes, better.onto, strict=True)))
    return f"{words}: {'; '.join(why)}"


def _matching(holes: Sequence[str], target: Sequence[str]) -> str:
    """Which hole was laid on which.

    >>> _matching(["A", "B"], ["B", "A"]), _matching(["A", "B"], ["1", "2"])
    ('holes matched by name', 'holes matched by their order, for the names differ: A on 1, B on 2')
    """
    if set(holes) == set(target):
        return "holes matched by name"
    pairs = ", ".join(f"{one} on {other}" for one, other in zip(holes, target, strict=True))
    return f"holes matched by their order, for the names differ: {pairs}"


def _fit(fit: BestFit, factor: float) -> Iterator[str]:
    digits = 4 if factor > 1 else 3

    def shown(value: float, sign: str = "") -> str:
        return f"{value / factor:{sign}z.{digits}f}"

    x, y = (shown(value, "+") for value in fit.shift)
    largest = fit.largest
    middle = ", ".join(map(shown, fit.middle))
    origin = ", ".join(shown(value, "+") for value in fit.place((0.0, 0.0)))
    first = "mirrored (Y reversed), " if fit.mirrored else ""
    yield f"{first}{fit.kind.value}: turn {fit.turn:+z.4f} deg about ({middle}), then shift {x}, {y}"
    yield f"so that its origin comes to lie at ({origin})"
    yield (
        f"left: {shown(fit.root_mean_square)} root mean square, {shown(largest.distance)} at most, at {largest.name}"
    )
    yield f"{'hole':<14}{'dx':>10}{'dy':>10}{'misfit':>10}"
    for misfit in fit.misfits:
        yield f"{misfit.name:<14}{shown(misfit.dx, '+'):>10}{shown(misfit.dy, '+'):>10}{shown(misfit.distance):>10}"


def best_fit_records(fits: Sequence[BestFit]) -> list[dict[str, object]]:
    """The same for programs: mm and degrees, six decimals."""
    return [
        {
            "kind": fit.kind.value,
            "middle": [round(value, 6) for value in fit.middle],
            "shift": [round(value, 6) for value in fit.shift],
            "origin_to": [round(value, 6) for value in fit.place((0.0, 0.0))],
            "turn": round(fit.turn, 6),
            "mirrored": fit.mirrored,
            "onto": list(fit.onto),
            "root_mean_square": round(fit.root_mean_square, 6),
            "misfits": [
                {"hole": one.name, "dx": round(one.dx, 6), "dy": round(one.dy, 6), "misfit": round(one.distance, 6)}
                for one in fit.misfits
            ],
        }
        for fit in fits
    ]
