"""A joint's film in every case with one scale of pressure, bolts and the leak's way on it; beside it the faces' bow."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from platemaker.export import OutputFolder
from platemaker.fields import FilmCase, FilmMesh, SealAnswer, film_grid, slanted
from platemaker.report._field_picture import middles, png_of
from platemaker.report._film_cures import FilmCures, seal_records
from platemaker.views import MAP, OPEN, round_step

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

WAY, DARK = "#e0301e", "#1c2126"
"""The leak's way, and outlines. The way is not known by its colour alone: it is dashed."""
COLUMNS = 3
EQUAL = 5
"""About how many lines of equal pressure a case has."""


def write_seal(answers: Sequence[SealAnswer], target: Path, cures: Sequence[FilmCures] = ()) -> Path:
    """Write numbers and a picture of each joint to the folder `target`, all at once. Raises OutputError."""
    with OutputFolder(target) as folder:
        stated = json.dumps(seal_records(answers, cures), indent=1, ensure_ascii=False) + "\n"
        folder.path("seal", "json", "the films' numbers, for programs").write_text(stated, encoding="utf-8")
        for one in answers:
            path = folder.path(f"{one.joint}_film", "png", f"pressure between the faces of {one.joint}")
            path.write_bytes(film_picture(one))
    return folder.target


def film_picture(answer: SealAnswer) -> bytes:
    """PNG of the film in every case, and of the bow as bolted up."""
    from matplotlib.figure import Figure  # noqa: PLC0415 - half a second

    cases, mesh = answer.field.cases, answer.field.finest
    most = max(max(case.pressure) for case in cases)
    rows = math.ceil((len(cases) + 1) / COLUMNS)
    shape = mesh.shape[0] / mesh.shape[1]
    figure = Figure(
        figsize=(12.0, rows * (12.0 / COLUMNS * shape + 0.75) + 0.9), layout="constrained", facecolor="white"
    )
    axes = figure.subplots(rows, COLUMNS, squeeze=False).ravel()
    shown: Any = None
    for axis, case in zip(axes, cases, strict=False):
        shown = _film(axis, answer, mesh, case, most)
    _bow(axes[len(cases)], mesh, cases[0])
    for axis in axes[len(cases) + 1 :]:
        axis.axis("off")
    label = (
        "pressure between the faces, MPa; grey: they do not touch; dashed: the way of a leak, ring: where it meets most"
    )
    bar = figure.colorbar(shown, ax=list(axes), location="bottom", shrink=0.6, aspect=50, panchor=False)
    bar.ax.set_title(label, fontsize=8)
    bar.ax.tick_params(labelsize=8)
    return png_of(figure, 110)


def _film(axes: Axes, answer: SealAnswer, mesh: FilmMesh, case: FilmCase, most: float) -> Any:
    """One film with bolts and the leak's way."""
    (x0, y0), (rows, columns) = mesh.start, mesh.shape
    box = (x0, x0 + columns * mesh.pitch, y0, y0 + rows * mesh.pitch)
    pressed = film_grid(mesh, case.pressure)
    axes.imshow(np.where(pressed <= 0, 1.0, np.nan), origin="lower", extent=box, cmap=_plain(OPEN), vmin=0, vmax=1)
    shown = axes.imshow(
        np.ma.masked_invalid(np.where(pressed > 0, pressed, np.nan)), origin="lower", extent=box, cmap=MAP,
        vmin=0.0, vmax=most,
    )  # fmt: skip
    _lines(axes, box, pressed)
    joint = answer.given.joint.joint
    for bolt in answer.given.bolts:
        x, y = joint.spots[bolt.spot]
        axes.plot(x, y, marker="o", ms=5, mfc="white", mec=DARK, mew=0.8)
        axes.annotate(
            bolt.spot, (x, y), xytext=(4, 3), textcoords="offset points", fontsize=6.5, color=DARK, path_effects=_rim()
        )
    if case.path:
        for colour, wide in (("white", 2.6), (WAY, 1.4)):
            axes.plot(*zip(*case.path, strict=True), color=colour, lw=wide, ls=(0, (3, 1.5)))
    if case.at is not None:
        axes.plot(*case.at, marker="o", ms=8, mfc="none", mec=WAY, mew=1.4)
    axes.set_title(f"{_short(case.words)}\n{answer.met(case)}", loc="left", fontsize=8)
    axes.tick_params(labelsize=6)
    return shown


def _lines(axes: Axes, box: tuple[float, float, float, float], pressed: NDArray[np.float64]) -> None:
    """Lines of equal pressure at round steps of the case's own range, which one scale for all cases may hide."""
    low, high = np.nanmin(pressed), np.nanmax(pressed)
    step = round_step((high - low) / EQUAL)
    levels = np.arange(math.ceil(low / step), math.floor(high / step) + 1) * step
    if not len(levels) or min(pressed.shape) < 2:
        return
    (x0, x1, y0, y1), (rows, columns) = box, pressed.shape
    x, y = middles(x0, x1, columns), middles(y0, y1, rows)
    drawn = axes.contour(x, y, np.ma.masked_invalid(pressed), levels=levels, colors="white", linewidths=0.6)
    for text in axes.clabel(drawn, fontsize=6, fmt="%g", colors=DARK):
        text.set_path_effects(_rim())


def _rim() -> list[Any]:
    """White round letters, so that they are read on any colour."""
    from matplotlib.patheffects import withStroke  # noqa: PLC0415

    return [withStroke(linewidth=1.6, foreground="white")]


def _plain(colour: str) -> Any:
    from matplotlib.colors import ListedColormap  # noqa: PLC0415

    return ListedColormap([colour])


def _short(words: str, most: int = 62) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"


def _bow(axes: Axes, mesh: FilmMesh, case: FilmCase) -> None:
    """How far the faces come together, drawn as a sheet seen at a slant, magnified by a round number."""
    shown = slanted(mesh, case)
    for line in shown.lines:
        axes.plot(*line.T, color="#20507a", lw=0.7)
    axes.set_aspect("equal")
    axes.set_anchor("NW")
    axes.axis("off")
    title = f"gap between the faces, {case.name}, {shown.magnified} times as high"
    axes.set_title(f"{title}\nup: further apart; {shown.span * 1000:.0f} um in all", loc="left", fontsize=8)
