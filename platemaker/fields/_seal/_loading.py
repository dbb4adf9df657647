"""The cases of a joint in their order: tightened, settled, hot and cold, then pressures and loads, and what is read.

The sheet is closed the first time when the bolts are tightened to the low end; from there on it springs back along its
recovery. Loads act on the joint with the least bolt force that is left, and bolts stretch under them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from platemaker.fields._seal._contact import State
from platemaker.fields._seal._film import Points
from platemaker.fields._seal._joint import JointModel
from platemaker.fields._seal._leak import leak_path, least_barrier

Progress = Callable[[float], None]
FEW = 1e-9
NO_FILM: dict[str, Any] = {"pressure": [], "closure": []}


def loaded(model: JointModel, progress: Progress, *, films: bool = True) -> dict[str, Any]:
    """All cases on one mesh, as plain records; with `films` pressure and closure of every cell are among them."""
    case, solids, contact = model.case, model.solids, model.contact
    ends, count, none = case["ends"], len(case["bolts"]), np.zeros(3 * solids.count)
    names = [name for name in ("hot", "cold") if ends[name] is not None]
    whole = 3 + len(names) + 2 * (1 + len(case["pressures"]))
    found: list[dict[str, Any]] = []

    def kept(name: str, state: State, pull: float, **more: Any) -> State:
        read = _read(model, state, pull)
        found.append({"name": name, **read, **(_film(state) if films else NO_FILM), **more})
        progress(0.4 + 0.6 * min(len(found) / whole, 1.0))
        return state

    def tightened(force: float, start: State | None, most: Points | None) -> State:
        return contact.settled(none, np.full(count, force), start=start, most=most)

    low = kept("bolted up, low", tightened(ends["tightened"], None, None), 0.0)
    kept("bolted up, high", tightened(ends["most"], low, None), 0.0)
    most = np.maximum(low.closure, 0.0)
    states = {"settled": kept("settled", tightened(ends["settled"], low, most), 0.0)}
    for name in names:
        states[name] = kept(name, tightened(ends[name], states["settled"], most), 0.0)
    forces = {name: ends[name] for name in states}
    base = states[min(forces, key=lambda name: forces[name])]
    pressures = [{"name": "no pressure", "sealed": 0.0, "pulling": 0.0}] if case["pushes"] else []
    for pressure in [*case["pressures"], *pressures]:
        outside = pressure["pulling"] * model.pressing
        pull = pressure["pulling"] * model.pressed_area
        alone = contact.settled(outside, base.bolts, start=base, most=most, tightened=base)
        if pressure["sealed"] > 0:
            kept(pressure["name"], alone, pull, sealed=pressure["sealed"], before=base.bolts.tolist())
        if case["pushes"]:
            push = _worst(model, alone)
            state = contact.settled(outside + model.pushed(push), base.bolts, start=alone, most=most, tightened=base)
            kept(
                pressure["name"], state, pull + push["pull"], sealed=pressure["sealed"],
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


def _worst(model: JointModel, state: State) -> dict[str, Any]:
    """The combination of loads whose leak meets the least pressure, by adding up what each does to the state."""
    changes = np.column_stack([model.contact.answers(forces, state) for forces in model.pushing.T])
    film, best, least = model.film, None, np.inf
    for push in model.case["pushes"]:
        change = changes @ np.array([push["pull"], push["along_y"], push["along_x"]])
        pressed = np.maximum(state.pressure + change, 0.0)
        barrier = least_barrier(film.spread(pressed), film.inside, film.outside)
        mean = float(pressed.min())
        value = (np.inf if barrier is None else barrier) + FEW * mean
        if value < least:
            best, least = push, value
    chosen: dict[str, Any] = best or model.case["pushes"][0]
    return chosen


def _film(state: State) -> dict[str, Any]:
    return {
        "pressure": [round(float(one), 5) for one in state.pressure],
        "closure": [round(float(one), 7) for one in state.closure],
    }


def _read(model: JointModel, state: State, pull: float) -> dict[str, Any]:
    """What is read off a state that balances; `pull` is what acts on the joint from outside, N."""
    film, area = model.film, model.film.area
    pressed = film.spread(state.pressure)
    leak = leak_path(pressed, film.inside, film.outside)
    touching = state.pressure > 0
    held, bolts = float(area @ state.pressure), float(state.bolts.sum())
    return {
        "bolts": state.bolts.tolist(),
        "balance": abs(held + pull - bolts) / bolts,
        "contact": float(area @ touching / area.sum()),
        "bow": float(np.ptp(state.closure)),
        "steps": state.steps,
        "leak": None if leak is None else leak.pressure,
        "path": [] if leak is None else film.middles(*np.array(leak.path).T).round(3).tolist(),
        "at": None if leak is None else film.middles(*leak.at).round(3).tolist()[0],
    }
