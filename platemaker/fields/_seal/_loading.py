"""The cases of a joint in their order: tightened, settled, hot and cold, then pressures and loads, and what is read.

The sheet is closed the first time when the bolts are tightened to the low end; from there on it springs back along its
recovery. Loads act on the joint with the least bolt force that is left, and bolts stretch under them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np

from platemaker.fields._seal._contact import Balance
from platemaker.fields._seal._film import Points
from platemaker.fields._seal._joint import MeshedJoint
from platemaker.fields._seal._leak import leak_path, least_barrier
from platemaker.fields._seal._solids import NotSettledError

Progress = Callable[[float], None]
FEW = 1e-9
NO_FILM: dict[str, Any] = {"pressure": [], "closure": []}


def loaded(model: MeshedJoint, progress: Progress, *, films: bool = True) -> dict[str, Any]:
    """All cases on one mesh, as plain records; with `films` pressure and closure of every cell are among them."""
    case, solids, contact = model.case, model.solids, model.contact
    ends, count, none = case["ends"], len(case["bolts"]), np.zeros(3 * solids.count)
    names = [name for name in ("hot", "cold") if ends[name] is not None]
    whole = 3 + len(names) + 2 * (1 + len(case["pressures"]))
    found: list[dict[str, Any]] = []

    def kept(name: str, state: Balance, pull: Points, **more: Any) -> Balance:
        read = _read(model, state, pull)
        found.append({"name": name, **read, **(_film(state) if films else NO_FILM), **more})
        progress(0.4 + 0.6 * min(len(found) / whole, 1.0))
        return state

    def tightened(name: str, force: float, start: Balance | None, most: Points | None) -> Balance:
        with _named(name):
            state = contact.settled(none, np.full(count, force), start=start, most=most)
            _thick_enough(case["thick"], state)
        return kept(name, state, np.zeros(3))

    low = tightened("bolted up, low", ends["tightened"], None, None)
    tightened("bolted up, high", ends["most"], low, None)
    most = np.maximum(low.closure, 0.0)
    states = {"settled": tightened("settled", ends["settled"], low, most)}
    for name in names:
        states[name] = tightened(name, ends[name], states["settled"], most)
    forces = {name: ends[name] for name in states}
    base = states[min(forces, key=lambda name: forces[name])]
    pressures = [{"name": "no pressure", "sealed": 0.0, "pulling": 0.0}] if case["pushes"] else []
    for pressure in [*case["pressures"], *pressures]:
        outside = pressure["pulling"] * model.pressing
        pull = pressure["pulling"] * model.pressed_totals
        with _named(pressure["name"]):
            alone = contact.settled(outside, base.bolts, start=base, most=most, tightened=base)
        if pressure["sealed"] > 0:
            kept(pressure["name"], alone, pull, sealed=pressure["sealed"], before=base.bolts.tolist())
        if case["pushes"]:
            push = _worst(model, alone)
            whole_push = outside + model.pushed(push)
            with _named(f"{pressure['name']}, {push['words']}"):
                state = contact.settled(whole_push, base.bolts, start=alone, most=most, tightened=base)
            kept(
                pressure["name"], state, pull + model.push_totals(push), sealed=pressure["sealed"],
                before=base.bolts.tolist(), push=push["words"],
            )  # fmt: skip
    film = model.film
    return {
        "size": model.size,
        "cells": solids.cells,
        "unknowns": 3 * solids.count,
        "solves": contact.solves,
        "volumes": list(solids.volume),
        "land": float(film.area.sum()),
        "start": film.start,
        "pitch": film.pitch,
        "shape": film.land.shape,
        "cells_of_land": np.flatnonzero(film.land > 0).tolist(),
        "cases": found,
    }


@contextmanager
def _named(case: str) -> Iterator[None]:
    """Name the case that no number can be given for."""
    try:
        yield
    except NotSettledError as fault:
        message = f"{case}: {fault}"
        raise NotSettledError(message) from fault


def _thick_enough(thick: float | None, state: Balance) -> None:
    """Raises NotSettledError where a sheet would be closed by all of its thickness: its curve says nothing there."""
    most = float(state.closure.max())
    if thick is not None and most >= thick:
        message = f"the gasket of {thick:g} mm would be closed by {most:.2f} mm: its curve ends before"
        raise NotSettledError(message)


def _worst(model: MeshedJoint, state: Balance) -> dict[str, Any]:
    """The combination of loads whose leak meets the least pressure, by adding up what each does to the state."""
    changes = np.column_stack([model.contact.answers(forces, state) for forces in model.pushing.T])
    film, best, least = model.film, None, np.inf
    for push in model.case["pushes"]:
        change = changes @ model.push_totals(push)
        pressed = np.maximum(state.pressure + change, 0.0)
        barrier = least_barrier(film.spread(pressed), film.inside, film.outside)
        mean = float(pressed.min())
        value = (np.inf if barrier is None else barrier) + FEW * mean
        if value < least:
            best, least = push, value
    chosen: dict[str, Any] = best or model.case["pushes"][0]
    return chosen


def _film(state: Balance) -> dict[str, Any]:
    return {
        "pressure": [round(float(one), 5) for one in state.pressure],
        "closure": [round(float(one), 7) for one in state.closure],
    }


def _read(model: MeshedJoint, state: Balance, pull: Points) -> dict[str, Any]:
    """What is read off a state that balances; `pull` is what acts from outside, N, and its moments by Y and X, N mm."""
    film, area = model.film, model.film.area
    pressed = film.spread(state.pressure)
    leak = leak_path(pressed, film.inside, film.outside)
    touching = state.pressure > 0
    return {
        "bolts": state.bolts.tolist(),
        "balance": _missed(model, state, pull),
        "contact": float(area @ touching / area.sum()),
        "bow": float(np.ptp(state.closure)),
        "steps": state.steps,
        "leak": None if leak is None else leak.pressure,
        "path": [] if leak is None else film.middles(*np.array(leak.path).T).round(3).tolist(),
        "at": None if leak is None else film.middles(*leak.at).round(3).tolist()[0],
    }


def _missed(model: MeshedJoint, state: Balance, pull: Points) -> float:
    """What forces and moments miss of balance: the largest share of the bolts' force, of moments at the land's rim."""
    x, y = model.film.points.T
    at = np.array([bolt["at"] for bolt in model.case["bolts"]])
    pressed = model.film.area * state.pressure
    held = np.array([pressed.sum(), pressed @ y, pressed @ x])
    bolts = np.array([state.bolts.sum(), state.bolts @ at[:, 1], state.bolts @ at[:, 0]])
    missed = np.abs(held + pull - bolts)
    middle = np.array([np.ptp(y), np.ptp(x)]) / 2
    return float(max(missed[0], *(missed[1:] / middle)) / bolts[0])
