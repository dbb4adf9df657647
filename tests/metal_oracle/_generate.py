"""Random specs, cheap and the same for the same seed: cuts that come near each other, as false passes hide there."""

from __future__ import annotations

import math
import random
from typing import Any

from tests.metal_oracle._ledger import MET, Ledger
from tests.metal_oracle._reading import Spec, flat_of, parts_of
from tests.metal_oracle._sizes import PORTS, SIZES

METALS = ("6061-T6", "6061-T6", "S235", "A356-T6", "grey cast iron")
SECTIONS = ("holes", "bores", "openings", "pockets", "slots", "reliefs")
TRIES = 12
"""How often a cut is drawn again that overlaps another, or opens a face that it must not."""


def spec_of(seed: int) -> Spec:
    """The random part number `seed`: mostly plates; bars, round bars, brackets, drilled castings, drain plates."""
    rng = random.Random(f"metal {seed}")
    kinds = (
        _plate,
        _plate,
        _plate,
        _bored_plate,
        _bored_plate,
        _bored_plate,
        _rail,
        _round_rail,
        _bracket,
        _casting,
        _joint_plate,
        _drain_plate,
    )
    return kinds[seed % len(kinds)](rng)


def _r(rng: random.Random, low: float, high: float, digits: int = 3) -> float:
    return round(rng.uniform(low, high), digits)


def _project(part: Spec, name: str = "p", **more: Any) -> Spec:
    return {"project": "metal", "units": "mm", **more, "parts": {name: part}}


def _blank(rng: random.Random, *, smooth: bool = True) -> tuple[Spec, float, float, float]:
    """A plate without cuts, its half sizes and thickness."""
    w, h, t = _r(rng, 60, 160, 2), _r(rng, 50, 120, 2), rng.choice([10.0, 12.0, 12.7, 16.0, 20.0, 25.4, _r(rng, 8, 32)])
    draw = rng.random()
    if draw < 0.2:
        outline: Spec = {"circle": max(w, h)}
        w = h = max(w, h) * 0.8
    elif draw < 0.55 and smooth:
        outline = {"rectangle": [w, h], "corner_radius": rng.choice([3.0, 5.0, 8.0])}
    elif draw < 0.7 and smooth:
        outline = {
            "loop": [[-w / 2, -h / 2, 4], [w / 2, -h / 2], [w / 2, h / 5, 3], [w / 6, h / 2, 6], [-w / 2, h / 2]]
        }
    else:
        outline = {"rectangle": [w, h]}
    part: Spec = {"kind": "plate", "material": rng.choice(METALS), "thickness": t, "outline": outline}
    if rng.random() < 0.25:
        part["limits"] = {"minimum_wall": _r(rng, 0.5, 6, 2), "minimum_floor": _r(rng, 0.5, 6, 2)}
    return part, w / 2, h / 2, t


# Single cuts: a section of the spec, and the model


def _hole(rng: random.Random, at: list[float], t: float) -> tuple[str, Spec]:
    side = rng.choice(["above", "below"])
    word = rng.choice(
        ["diameter", "diameter", "clear", "tapped", "tapped", "counterbored", "counterbored", "counterbored"]
    )
    hole: Spec = {"at": at, "side": side}
    if word == "diameter":
        hole["diameter"] = _r(rng, 2, 14)
        if rng.random() < 0.6:
            hole["depth"] = _r(rng, 0.2 * t, 0.85 * t)
    else:
        sizes = [name for name, one in SIZES.items() if one.deep < 0.9 * t]
        hole[word] = rng.choice(sizes or ["M4"])
        one = SIZES[hole[word]]
        if word == "counterbored" and one.deep >= 0.95 * t:
            hole = {"at": at, "side": side, "clear": hole[word]}
        elif word == "tapped" and rng.random() < 0.6:
            room = t - 3 * one.pitch - 0.5
            if room > 2:
                hole["depth"] = _r(rng, 1.5, room, 2)
        elif word == "counterbored" and rng.random() < 0.2 and one.deep + 1 < 0.85 * t:
            hole["depth"] = _r(rng, one.deep + 0.5, 0.9 * t)
        elif word == "clear" and rng.random() < 0.3:
            hole["depth"] = _r(rng, 0.3 * t, 0.85 * t)
        if (
            word in hole and word == "counterbored" and round(at[0]) % 3 == 0
        ):  # draws nothing: old seeds stay as they are
            hole["countersunk"] = hole.pop("counterbored")
    return "holes", hole


def _shape(rng: random.Random, at: list[float], *, smooth: bool = False) -> Spec:
    draw, turn = rng.random(), rng.choice([0, 0, 90, 30, _r(rng, 0, 180, 1)])
    size = [_r(rng, 8, 40, 2), _r(rng, 8, 30, 2)]
    if draw < 0.25:
        return {"circle": size[0], "at": at}
    if draw < 0.4:
        return {"slot": [max(size) + 2, min(size)], "at": at, "turn": turn}
    if draw < 0.5 and not smooth:
        return {
            "loop": [[0, 0, 1.5], [size[0], 0, 2], [size[0], size[1] / 2, 2], [size[0] / 2, size[1], 1]],
            "at": at,
            "turn": turn,
        }
    radius = round(min(size) * rng.choice([0.1, 0.2, 0.3]), 2) if smooth or rng.random() < 0.8 else 0
    return {"rectangle": size, "corner_radius": radius, "at": at, "turn": turn}


def _pocket(rng: random.Random, at: list[float], t: float) -> tuple[str, Spec]:
    return "pockets", {
        "shape": _shape(rng, at),
        "depth": _r(rng, 0.1 * t, 0.85 * t),
        "side": rng.choice(["above", "below"]),
    }


def _opening(rng: random.Random, at: list[float], t: float) -> tuple[str, Spec]:
    mouthed = rng.random() < 0.7
    opening: Spec = {"shape": _shape(rng, at, smooth=mouthed), "mouth": rng.choice(["above", "below"])}
    if mouthed and rng.random() < 0.5:
        opening["mouth_radius"] = _r(rng, 0.5, 0.6 * t)
    elif mouthed:
        angle = _r(rng, 10, 70, 1)
        opening["mouth_chamfer"] = min(_r(rng, 0.5, 8), round(0.8 * t * math.tan(math.radians(angle)), 3))
        opening["mouth_angle"] = angle
    else:
        opening.pop("mouth")
    return "openings", opening


def _slot(rng: random.Random, at: list[float], t: float) -> tuple[str, Spec]:
    width = _r(rng, 4, 12)
    slot: Spec = {
        "at": at,
        "slot": [_r(rng, width + 2, width + 24), width],
        "turn": rng.choice([0, 90, _r(rng, 0, 180, 1)]),
    }
    if rng.random() < 0.6:
        slot |= {"depth": _r(rng, 0.15 * t, 0.85 * t), "side": rng.choice(["above", "below"])}
    return "slots", slot


def _relief(rng: random.Random, at: list[float], t: float) -> tuple[str, Spec]:
    return "reliefs", {
        "at": at,
        "diameter": _r(rng, 8, 24),
        "depth": _r(rng, 0.15 * t, 0.7 * t),
        "side": rng.choice(["above", "below"]),
    }


def _bore(rng: random.Random, at: list[float], t: float, half: tuple[float, float], *, edges: bool) -> tuple[str, Spec]:
    """From a face, or from the middle of an edge of a rectangle."""
    bore: Spec = {}
    if rng.random() < 0.25:
        bore["tapped"] = rng.choice(["M4", "M5", "M6", "M8"])
    else:
        bore["diameter"] = _r(rng, 2, 10)
    if edges and rng.random() < 0.4:
        across = rng.random() < 0.5
        sign = rng.choice([-1.0, 1.0])
        z = round(t * rng.uniform(0.25, 0.75), 3)
        off = _r(rng, -0.4, 0.4) * (half[1] if across else half[0])
        bore["at"] = (
            [round(sign * half[0], 6), round(off, 3), z] if across else [round(off, 3), round(sign * half[1], 6), z]
        )
        lean, turn = rng.choice([0.0, 0.0, _r(rng, -0.5, 0.5)]), rng.choice([0.0, 0.0, _r(rng, -0.6, 0.6)])
        bore["towards"] = [-sign, turn, lean] if across else [turn, -sign, lean]
        bore["depth"] = _r(rng, 8, 1.2 * max(half))
    else:
        top = rng.random() < 0.5
        bore["at"] = [*at, t if top else 0.0]
        lean, turn = math.radians(rng.choice([0.0, _r(rng, 1, 60), _r(rng, 20, 70)])), math.tau * rng.random()
        way = [
            round(math.sin(lean) * math.cos(turn), 6),
            round(math.sin(lean) * math.sin(turn), 6),
            round(math.cos(lean), 6),
        ]
        bore["towards"] = [*way[:2], -way[2] if top else way[2]]
        deep = t / math.cos(lean)
        bore["depth"] = round(deep * rng.uniform(0.3, 0.9) if rng.random() < 0.5 else deep * rng.uniform(1.05, 1.6), 3)
    return "bores", bore


# Parts


def _filled(rng: random.Random, spec: Spec, name: str, draws: list[Any], keep: str = "p") -> Spec:
    """Cuts added one by one; a cut that overlaps another, or leaves the blank, is drawn again, now and then kept."""
    part = spec["parts"][keep]
    for number, draw in enumerate(draws):
        for _ in range(TRIES):
            section, model = draw()
            made = [word for group in SECTIONS for word in part.get(group, {})]
            if made and section in ("holes", "bores") and part["kind"] == "plate" and rng.random() < 0.1:
                model = {**model, "into": [rng.choice(made)]}
            trial = {
                **spec,
                "parts": {
                    **spec["parts"],
                    keep: {**part, section: {**part.get(section, {}), f"{name}{number}": model}},
                },
            }
            if _apart(trial, f"{name}{number}") or (rng.random() < 0.004 and part["kind"] != "bracket"):
                spec, part = trial, trial["parts"][keep]
                break
    return spec


def _apart(spec: Spec, name: str) -> bool:
    part = parts_of(spec)[0]
    ledger = Ledger(part)
    model = spec["parts"][part.name]
    if part.bent:
        leg = next(one[name]["leg"] for one in (model.get("holes", {}), model.get("pockets", {})) if name in one)
        first, last = flat_of(model)[1][leg - 1]
        low, high = ledger.reach(name)
        if low < first + 0.01 or high > last - 0.01:
            return False
    for key in ledger.keys:
        if name in key and ledger.bound(key) <= 1.0:
            row = ledger.row(key)
            if row is not None and (row.value if row.beside is None else row.beside) <= MET:
                return False
    return True


def _near(rng: random.Random, half: tuple[float, float], taken: list[list[float]]) -> list[float]:
    """A place in the blank, mostly near one that is taken."""
    if taken and rng.random() < 0.7:
        x, y = rng.choice(taken)
        reach, turn = rng.uniform(5, 26), math.tau * rng.random()
        at = [x + reach * math.cos(turn), y + reach * math.sin(turn)]
    else:
        at = [rng.uniform(-0.92, 0.92) * half[0], rng.uniform(-0.92, 0.92) * half[1]]
    at = [round(max(-0.95 * half[i], min(0.95 * half[i], at[i])), 3) for i in (0, 1)]
    taken.append(at)
    return at


def _plate(rng: random.Random) -> Spec:
    part, *half, t = _blank(rng)
    box, taken = (half[0], half[1]), []  # type: ignore[var-annotated]
    kinds = [_hole, _hole, _hole, _pocket, _pocket, _opening, _slot, _relief]
    chosen = [rng.choice(kinds) for _ in range(rng.randint(3, 7))]
    draws = [lambda make=make: make(rng, _near(rng, box, taken), t) for make in chosen]
    return _filled(rng, _project(part), "c", draws)


def _bored_plate(rng: random.Random) -> Spec:
    part, *half, t = _blank(rng, smooth=False)
    edges = "rectangle" in part["outline"]
    box, taken = (half[0], half[1]), []  # type: ignore[var-annotated]
    chosen = [rng.choice([_hole, _hole, _pocket, _opening, _slot, _relief]) for _ in range(rng.randint(1, 3))]
    draws = [lambda make=make: make(rng, _near(rng, box, taken), t) for make in chosen]
    draws += [lambda: _bore(rng, _near(rng, box, taken), t, box, edges=edges) for _ in range(rng.randint(1, 3))]
    rng.shuffle(draws)
    return _filled(rng, _project(part), "c", draws)


def _rail(rng: random.Random, *, rounded: bool = False) -> Spec:
    across, high = _r(rng, 18, 44, 2), _r(rng, 18, 44, 2)
    across = high if rounded else across
    passage = _r(rng, 5, 0.5 * min(across, high), 2)
    row = [0.0]
    for _ in range(rng.randint(0, 2)):
        row.append(round(row[-1] + rng.uniform(14, 60), 2))
    wide = _r(rng, 3, min(12.0, 0.6 * across), 2)
    length = round(row[-1] + rng.uniform(30, 120), 2)
    part: Spec = {
        "kind": "rail", "material": "6061-T6", "stock": {"round": high} if rounded else {"bar": [across, high]}, "length": length,
        "joint": "j", "passage": passage, "cross_bore": {"diameter": wide}, "marks": {"f": {"text": "FRONT", "at": [0, 0]}},
    }  # fmt: skip
    if rng.random() < 0.5:
        seat = round(wide + rng.uniform(1, 4), 2)
        part["cross_bore"]["seat"] = {"diameter": min(seat, round(0.8 * across, 2)), "depth": _r(rng, 0.5, 0.3 * high)}
        if part["cross_bore"]["seat"]["diameter"] <= wide:
            part["cross_bore"].pop("seat")
    threads = [name for name, one in SIZES.items() if one.tap_drill >= passage and one.major < 0.8 * min(across, high)]
    if threads and rng.random() < 0.5:
        part["ends"] = {"thread": rng.choice(threads), "depth": _r(rng, 5, min(0.4 * length, 20))}
    spec = _project(part, joints={"j": {"spots": {"row": row, "at": [round(-row[-1] / 2, 2), 0]}}})
    box, taken = (length / 2, across / 2), [[x - row[-1] / 2, 0.0] for x in row]

    def hole() -> tuple[str, Spec]:
        section, model = _hole(rng, _near(rng, box, taken), high)
        if rounded:  # the widest step, off the middle, has to stay within the round: else it is a notch, and refused
            if "countersunk" in model:  # no cone across a round side
                model["counterbored"] = model.pop("countersunk")
            wide = SIZES[model["counterbored"]].wide if "counterbored" in model else model.get("diameter", 13.5)
            room = high / 2 - wide / 2 - 0.05
            model["at"][1] = round(max(-room, min(room, model["at"][1])), 3) if room > 0 else 0.0
        if rng.random() < 0.15:
            model["into"] = ["passage"]
        return section, model

    return _filled(rng, spec, "h", [hole for _ in range(rng.randint(1, 4))])


def _round_rail(rng: random.Random) -> Spec:
    return _rail(rng, rounded=True)


def _bracket(rng: random.Random) -> Spec:
    t, width = rng.choice([3.0, 5.0, 6.0, 8.0, 10.0]), _r(rng, 25, 60, 2)
    legs = [_r(rng, 40, 90, 2) for _ in range(rng.randint(1, 3))]
    part: Spec = {
        "kind": "bracket",
        "material": rng.choice(["6061-T6", "S235"]),
        "width": width,
        "thickness": t,
        "legs": legs,
    }
    if len(legs) > 1:
        part["bends"] = [
            {"angle": rng.choice([90, 45, -90, 30]), "radius": round(t * rng.choice([1, 1.5]), 2)} for _ in legs[1:]
        ]
    taken: list[list[float]] = []

    def one() -> tuple[str, Spec]:
        leg = rng.randrange(len(legs))
        at = _near(rng, (legs[leg] / 2, width / 2), taken)
        if rng.random() < 0.55:
            section, model = _hole(rng, [round(at[0] + legs[leg] / 2, 3), at[1]], t)
            model.pop("side")
            return section, {"leg": leg + 1, **model}
        section, model = _pocket(rng, [round(at[0] + legs[leg] / 2, 3), at[1]], t)
        if rng.random() < 0.4:
            model.pop("depth")
        return section, {"leg": leg + 1, **model}

    return _filled(rng, _project(part), "c", [one for _ in range(rng.randint(2, 5))])


def _casting(rng: random.Random) -> Spec:
    """A row of bosses and the casting that takes them, its bores slanted, with and without spotfaces, blind and through."""
    outside, thick, angle = _r(rng, 12, 30, 2), _r(rng, 10, 40, 2), rng.choice([30, 45, 60, 75, 90, _r(rng, 20, 89, 1)])
    row = [0.0]
    for _ in range(rng.randint(1, 3)):
        row.append(round(row[-1] + outside + rng.uniform(0.5, 30), 2))
    bore = _r(rng, 4, 0.7 * outside, 2)
    boss: Spec = {"outside_diameter": outside, "length": _r(rng, 20, 60, 2), "bore": bore}
    if rng.random() < 0.5:
        boss["seat"] = {"diameter": round(min(outside - 1, bore + rng.uniform(1, 6)), 2), "depth": _r(rng, 2, 8)}
        if boss["seat"]["diameter"] <= bore:
            boss.pop("seat")
    y = 4 * thick if angle < 45 else 2.5 * thick
    casting: Spec = {
        "material": rng.choice(["A356-T6", "grey cast iron"]), "thickness": thick, "bore": outside,
        "flat": {"rectangle": [round(row[-1] + outside + rng.uniform(2, 40), 2), round(y + outside + rng.uniform(0, 30), 2)]},
    }  # fmt: skip
    lean = math.radians(angle)
    if rng.random() < 0.4:
        casting["depth"] = round(thick / math.sin(lean) * rng.uniform(0.4, 0.85), 2)
    if rng.random() < 0.5:
        deep = casting.get("depth", thick / math.sin(lean)) * rng.uniform(0.1, 0.7)
        casting["spotface"] = {"diameter": round(outside + rng.uniform(1, 8), 2), "depth": round(deep, 2)}
    part: Spec = {
        "kind": "boss_row",
        "joint": "j",
        "material": "6061-T6",
        "angle": angle,
        "boss": boss,
        "casting": casting,
    }
    bodies = {"e": {"material": "A356-T6", "envelope": {"box": [10, 10, 10]}, "place": {"at": [0, -900, -900]}}}
    return _project(
        part, bodies=bodies, joints={"j": {"spots": {"row": row, "at": [round(-row[-1] / 2, 2), round(0.2 * y, 2)]}}}
    )


def _joint_plate(rng: random.Random) -> Spec:
    """A plate with joints on its faces: clear, tapped and counterbored holes in patterns, a matched opening, O-ring grooves."""
    part, *half, t = _blank(rng, smooth=False)
    box, taken = (half[0], half[1]), []  # type: ignore[var-annotated]
    joints: Spec = {}
    bodies: Spec = {}
    for word, side, face in (("low", "below", "above"), ("up", "above", "below")):
        if word == "up" and rng.random() < 0.5:
            continue
        size = rng.choice(["M4", "M5", "M6", "M8"])
        room = 2 * min(half) * rng.uniform(0.5, 0.8)
        pattern: Spec = rng.choice(
            [
                {"circle": round(room, 2), "count": rng.choice([3, 4, 6]), "start": _r(rng, 0, 90, 1)},
                {"rectangle": [round(room, 2), round(0.8 * room, 2)]},
                {"points": {"a": [round(-room / 2, 2), 0], "b": [round(room / 2, 2), 3]}},
            ]
        )
        joints[word] = {
            "bolts": {"pattern": pattern, "thread": size},
            "opening": {"circle": _r(rng, 0.2 * room, 0.5 * room, 2)},
        }
        role = rng.choice(["clear", "tapped", "counterbored"])
        if role == "counterbored" and SIZES[size].deep > 0.8 * t:
            role = "clear"
        mount: Spec = {"holes": role}
        if role == "tapped" and t - 3 * SIZES[size].pitch > 5 and rng.random() < 0.7:
            mount["thread_depth"] = _r(rng, 3, t - 3 * SIZES[size].pitch - 1, 2)
        if rng.random() < 0.3:
            mount |= {"at": [_r(rng, -3, 3), _r(rng, -3, 3)], "turn": _r(rng, 0, 90, 1)}
        part[side] = {word: mount}
        bodies[f"body_{word}"] = {
            "material": "A356-T6", "envelope": {"box": [200, 200, 40]}, "place": {"at": [0, 0, -40.0 if word == "low" else t]},
            "joints": {word: {"face": face, "holes": "clear" if role == "tapped" else "tapped"}},
        }  # fmt: skip
    if rng.random() < 0.7:
        part["opening"] = {"match": "low"}
    if rng.random() < 0.4:
        ring, port = rng.choice([("AS568-222", 30.0), ("AS568-228", 48.0)])
        if joints["low"]["bolts"]["pattern"].get("circle", 0) > port + 24 and t > 6:
            joints["low"] |= {"opening": {"circle": _r(rng, port - 6, port, 2)}, "seal": {"o_ring": ring}}
    chosen = [rng.choice([_hole, _pocket, _slot, _relief]) for _ in range(rng.randint(1, 3))]
    draws = [lambda make=make: make(rng, _near(rng, box, taken), t) for make in chosen]
    return _filled(rng, _project(part, bodies=bodies, joints=joints), "c", draws)


def _drain_plate(rng: random.Random) -> Spec:
    part, *half, t = _blank(rng)
    box, taken = (half[0], half[1]), []  # type: ignore[var-annotated]
    drain: Spec = {"at": _near(rng, (0.6 * half[0], 0.6 * half[1]), taken), "side": rng.choice(["above", "below"])}
    if rng.random() < 0.5:
        drain["pipe_thread"] = rng.choice(["1/8 NPT", "1/4 NPT", "3/8 NPT"])
    else:
        drain["port"] = rng.choice(["-4", "-6"])
        if rng.random() < 0.7:
            bore = _r(rng, 4, 9)
            if t > PORTS[drain["port"]][3]:
                drain["bore"] = bore
    part |= {"kind": "drain_plate", "drain": drain}
    chosen = [rng.choice([_hole, _hole, _pocket, _slot, _relief]) for _ in range(rng.randint(2, 4))]
    draws = [lambda make=make: make(rng, _near(rng, box, taken), t) for make in chosen]
    return _filled(rng, _project(part), "c", draws)
