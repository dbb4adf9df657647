"""Marching a field in pseudo time until its loss stands, on one mesh. Runs in a child process only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from platemaker.fields._facets import Field
from platemaker.fields._flow import Flow

if TYPE_CHECKING:
    from platemaker.fields._pressure import Pressure

COURANT = 0.8
WINDOW = 100
"""Steps over which a loss is averaged; two windows that follow are compared."""
STANDS = 0.01
"""Change of the loss, from window to window, at which it stands."""
REFRESH = 20
"""Steps after which time steps are chosen again."""
CAPPED = 2.0
"""Largest speed at the start over that at the entry: the first field has none of its corners' infinite speeds."""
SOFT, FADES = 0.005, 20.0
"""Added eddy viscosity at the start over the entry's hydraulic diameter, and the steps in which it fades to a third."""
MOST_FAULTS = 8
"""How often a field that grows out of bounds is taken up again from where it was sound, with shorter steps."""
BOUND = 1e4
"""Loss over the entry's dynamic pressure beyond which a field is out of bounds."""
FASTER = 2.5
"""How many times the largest speed of the last sound field is out of bounds."""

Progress = Callable[[int, float], None]


@dataclass
class March:
    """The state of a march: field, pressure, eddy viscosity and the pressure's force of the last step."""

    flow: Flow
    pressure: Pressure
    speed: Field
    values: Field
    eddy: Field
    drive: Field
    steps: Field
    courant: float = COURANT / 2
    losses: list[float] = field(default_factory=list)
    mean: Field | None = None

    @property
    def residual(self) -> float:
        """Change of the mean loss from the last but one window to the last, as a share, 1 at most."""
        if len(self.losses) < 2 * WINDOW:
            return 1.0
        before, last = np.mean(self.losses[-2 * WINDOW : -WINDOW]), np.mean(self.losses[-WINDOW:])
        change = abs(float(last) - float(before)) / max(abs(float(last)), 1e-9)
        return min(change, 1.0) if np.isfinite(change) else 1.0

    @property
    def renewal(self) -> float:
        """Steps in which as much air flows in as the volume holds."""
        return float((self.flow.cells.volume / self.steps).sum() / self.flow.inflow)

    @property
    def loss(self) -> float:
        """Mean loss of the last window."""
        return float(np.mean(self.losses[-WINDOW:]))

    def refresh(self) -> None:
        """Choose time steps again."""
        self.steps = self.flow.steps(self.speed, self.eddy, self.courant)
        self.pressure.set_steps(self.steps)

    def step(self) -> None:
        """One step by the midpoint rule, the pressure of the last step in its first half."""
        flow, speed = self.flow, self.speed
        half = speed - flow.unmass(flow.force(speed, self.eddy) + self.drive, self.steps) / 2
        momentum = flow.mass(speed, self.steps) - flow.force(half, self.eddy)
        self.speed, self.values = self.pressure.project(momentum)
        self.drive = momentum - flow.mass(self.speed, self.steps)
        soft = SOFT * flow.setting.width * np.exp(-len(self.losses) / FADES)
        self.eddy = 0.8 * self.eddy + 0.2 * (flow.eddy(self.speed) + soft)
        self.losses.append(flow.loss(self.speed, self.values))

    def sound(self, before: Field) -> bool:
        """Whether the field is within bounds; `before` is one that was."""
        most = FASTER * np.abs(before).max()
        return bool(np.isfinite(self.losses[-1]) and abs(self.losses[-1]) < BOUND and np.abs(self.speed).max() < most)


def started(flow: Flow, pressure: Pressure, guess: Field | None) -> March:
    """A march from a guess of the speeds at the corners, without one from the flow without inertia."""
    count = len(flow.cells.volume)
    eddy = np.full(count, flow.least + SOFT * flow.setting.width)
    speed = guess if guess is not None else np.zeros((4 * count, 3))
    march = March(flow, pressure, speed, np.zeros(count), eddy, np.zeros((4 * count, 3)), np.ones(count))
    march.refresh()
    march.speed, march.values = pressure.project(flow.mass(march.speed, march.steps))
    size = np.linalg.norm(march.speed, axis=1, keepdims=True)
    march.speed = march.speed * np.minimum(1.0, CAPPED * max(1.0, _fast(guess)) / np.maximum(size, 1e-9))
    march.eddy = flow.eddy(march.speed) + SOFT * flow.setting.width
    march.refresh()
    momentum = flow.mass(march.speed, march.steps) - flow.force(march.speed, march.eddy)
    march.speed, march.values = pressure.project(momentum)
    march.drive = momentum - flow.mass(march.speed, march.steps)
    return march


def _fast(guess: Field | None) -> float:
    return float(np.linalg.norm(guess, axis=1).max()) / 2 if guess is not None else 1.0


def marched(march: March, most: int, progress: Progress) -> bool:
    """March until the loss stands or `most` steps are made; says whether it stands. The mean field is kept.

    A field that grows out of bounds is taken up again, with shorter steps; too often, and it does not stand.
    """
    saved, faults, cap = _saved(march), 0, COURANT
    while len(march.losses) < most:
        march.step()
        if not march.sound(saved[0]):
            faults += 1
            if faults > MOST_FAULTS:
                return False
            march.speed, march.values, march.eddy, march.drive = saved[:4]
            march.losses = list(saved[4])
            march.courant, cap = march.courant * 0.6, cap * 0.8
            march.refresh()
            continue
        march.mean = march.speed if march.mean is None else march.mean + (march.speed - march.mean) / WINDOW
        if len(march.losses) % REFRESH == 0:
            saved = _saved(march)
            march.courant = min(cap, march.courant * 1.15)
            march.refresh()
            progress(len(march.losses), march.losses[-1])
            if len(march.losses) > march.renewal and march.residual < STANDS:
                return True
    return march.residual < 2 * STANDS


def _saved(march: March) -> tuple[Field, Field, Field, Field, list[float]]:
    return march.speed, march.values, march.eddy, march.drive, list(march.losses)
