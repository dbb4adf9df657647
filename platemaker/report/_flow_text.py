"""A field in words and as JSON, beside the loss that `check` calculates."""

from __future__ import annotations

from typing import Any

from platemaker.fields import FAST, MODEL, FlowAnswer
from platemaker.records import asdict


def flow_text(answer: FlowAnswer) -> str:
    """What the terminal shows."""
    field, volume = answer.field, answer.volume
    first, last = volume.slabs[0], volume.slabs[-1]
    air = f"{answer.mass_flow:.4g} kg/s, {answer.speed:.1f} m/s at the entry, {answer.density:.3f} kg/m3"
    ducts = f"{first.end - first.start:.0f} mm before and {last.end - last.start:.0f} mm behind"
    reduced, low, high = (one / 1000 for one in answer.reduced)
    lines = [
        f"Air from {first.name} to {last.name}: {air}",
        f"  {volume.volume / 1000:.0f} cm3 of air with ducts of {ducts}; passage {volume.difference:+z.1%} as meshed",
        f"  check's reduced model: {reduced:.2f} kPa ({low:.2f} to {high:.2f})",
    ]
    if answer.loss is None:
        lines.append(
            f"  field: did not converge; the loss still moves by {field.residual:.1%} in {_steps(answer)} steps. "
            "No loss is given."
        )
        return "\n".join(lines)
    lines += [
        f"  field: {loss_words(answer)}, with the ducts' friction",
        f"    error in known cases on such meshes {MODEL:.0%} (docs/limits.md); {mesh_error(answer)}",
        f"    largest speed {field.fastest * answer.speed:.0f} m/s, Mach {answer.mach:.2f}"
        + ("; above Mach 0.3 the true loss is larger" if answer.mach > FAST else ""),
        f"    uniformity of the speed (1 is even): entry {field.uniformity[0]:.2f}, "
        + ", ".join(f"{name} {one:.2f}" for name, one in zip(volume.outlets, field.uniformity[1:], strict=False)),
        "    " + recirculation(answer),
        f"    residual {field.residual:.1%} after {_steps(answer)} steps; {field.seconds:.0f} s"
        + (", from the store" if answer.kept else ""),
        "  lost where:",
    ]
    lines += [f"    {loss / 1000:6.2f} kPa  {name}" for name, loss in answer.losses]
    if len(field.shares) > 1:
        lines.append("  share of the air:")
        lines += [f"    {share:6.1%}  {name}" for name, share in zip(volume.outlets, field.shares, strict=True)]
    return "\n".join(lines)


def loss_words(answer: FlowAnswer) -> str:
    """The loss with its bounds, or that there is none."""
    if answer.loss is None:
        return "did not converge, no loss"
    low, high = answer.bounds
    return f"{answer.loss / 1000:.2f} kPa ({low / 1000:.2f} to {high / 1000:.2f})"


def mesh_error(answer: FlowAnswer) -> str:
    """Error by the mesh in words."""
    grid = answer.field.grid_error
    if grid is None:
        return f"error by the mesh not known: stopped after the first, of {_cells(answer)} cells"
    return f"error by the mesh {grid:.0%}, {_cells(answer)} cells"


def recirculation(answer: FlowAnswer) -> str:
    """How far air comes back into the duct behind."""
    field = answer.field
    if not field.reach:
        return "no recirculation into the duct behind"
    return f"recirculation reaches {field.reach:.0f} mm into the duct behind, {field.back:.0%} of the air at its start"


def _steps(answer: FlowAnswer) -> str:
    return str(answer.field.grids[-1].steps)


def _cells(answer: FlowAnswer) -> str:
    return " and ".join(str(grid.cells) for grid in answer.field.grids)


def flow_json(answer: FlowAnswer, *, timed: bool = True) -> dict[str, Any]:
    """The same in plain records; pressures in kPa; with the time it took where it is `timed`.

    A field that did not converge has no loss.
    """
    field, volume = answer.field, answer.volume
    stated: dict[str, Any] = {
        "from": volume.slabs[0].name,
        "to": list(volume.outlets),
        "mass_flow": answer.mass_flow,
        "density": answer.density,
        "entry_speed": answer.speed,
        "volume": volume.volume,
        "volume_difference": volume.difference,
        "ducts": [volume.slabs[0].end - volume.slabs[0].start, volume.slabs[-1].end - volume.slabs[-1].start],
        "reduced": dict(zip(("value", "low", "high"), (one / 1000 for one in answer.reduced), strict=True)),
        "converged": field.converged,
        "stopped": field.stopped,
        "residual": field.residual,
        **({"seconds": field.seconds} if timed else {}),
        "grids": [asdict(grid) for grid in field.grids],
    }
    if answer.loss is not None:
        stated |= {
            "loss": {
                "value": answer.loss / 1000,
                "low": answer.bounds[0] / 1000,
                "high": answer.bounds[1] / 1000,
                "model_error": MODEL,
                "grid_error": field.grid_error,
            },
            "mach": answer.mach,
            "fastest": field.fastest * answer.speed,
            "uniformity": dict(zip(("entry", *volume.outlets), field.uniformity, strict=True)),
            "recirculation": {"share": field.back, "reach": field.reach},
            "shares": dict(zip(volume.outlets, field.shares, strict=True)),
            "lost": [{"name": name, "loss": loss / 1000} for name, loss in answer.losses],
        }
    return stated
