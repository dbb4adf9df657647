"""A joint's film in words and as JSON."""

from __future__ import annotations

from typing import Any

from platemaker.fields import FilmCase, SealAnswer


def seal_text(answer: SealAnswer) -> str:
    """What the terminal shows."""
    joint, *about = about_film(answer)
    took = f"{answer.field.seconds:.0f} s" + (", from the store" if answer.kept else "")
    rest = [*about, took, *_table(answer), *_worst(answer), stands(answer)]
    return "\n".join([f"{answer.joint}: {joint}", *(f"  {line}" for line in rest)])


def about_film(answer: SealAnswer) -> list[str]:
    """What a film is of: faces, gasket, bolts; its meshes; what is taken as rigid and what is not known."""
    given, field = answer.given, answer.field
    sheet, ring, ends = given.joint.joint.gasket, given.joint.joint.seal, given.ends
    between = f"{sheet.material} {sheet.thickness:g} mm" if sheet else "bare faces"
    between += f", O-ring {ring.ring.dash}" if ring else ""
    bolts = f"{len(given.bolts)} bolts of {ends.tightened / 1000:.1f} to {ends.most / 1000:.1f} kN"
    cells = " and ".join(str(one.cells) for one in field.meshes)
    return [
        f"{' and '.join(side.owner for side in given.joint.sides)}, {between}, {bolts}",
        f"land {field.finest.land / 100:.0f} cm2; {cells} cells; forces balance to {field.balance:.1g}",
        *(f"{name} is taken as rigid: state its flange_thickness to let it bend" for name in given.rigid),
        *(f"not known: {fault}" for fault in given.faults),
    ]


def _worst(answer: SealAnswer) -> list[str]:
    """Where a leak gets out most easily, and what bolts lose there."""
    worst = answer.worst
    if worst.leak is None:
        return _lost(answer, worst)
    return [f"a leak gets out most easily under {worst.words}: {answer.way_out(worst)}", *_lost(answer, worst)]


def _table(answer: SealAnswer) -> list[str]:
    rows = ["leak meets  of two meshes  needs   land pressed  bow      case"]
    for case in answer.field.cases:
        leak, needed = case.leak, answer.needed(case) if case.sealed > 0 else None
        held = answer.holds(case)
        rows.append(
            f"{'no way' if leak is None else f'{leak:6.2f}':>6} MPa  "
            f"{'' if leak is None else f'+-{answer.field.doubt(case):.2f}':>8} MPa   "
            f"{'' if needed is None else f'{needed:5.2f}':>5}   {case.contact:8.0%}     {case.bow * 1000:5.0f} um  "
            f"{case.words}" + ("" if held is None else "" if held else "  LEAKS")
        )
    return rows


def _lost(answer: SealAnswer, case: FilmCase) -> list[str]:
    if not case.before:
        return []
    place, lost = case.loses
    before, after = case.before[place], case.bolts[place]
    name = answer.given.bolts[place].spot
    way = f"loses most, {lost / 1000:.2f}" if lost > 0 else f"gains least, {-lost / 1000:.2f}"
    return [f"bolt {name} {way} kN of {before / 1000:.2f}, {after / 1000:.2f} are left"]


def stands(answer: SealAnswer) -> str:
    """Whether a joint seals by its film, in words."""
    cases = [case for case in answer.field.cases if case.sealed > 0]
    if answer.given.joint.joint.seal is not None:
        return "the O-ring seals by its squeeze (PM926): the film shows where faces part, no verdict"
    if answer.given.factor is None:
        return "nothing says what bare faces need to seal: no verdict"
    if answer.given.faults:
        return "no verdict: see what is not known"
    leaks = [case.words for case in cases if answer.holds(case) is False]
    if leaks:
        return f"leaks under {'; '.join(leaks)}"
    return "seals in every case" if answer.passed else "no verdict"


def seal_json(answer: SealAnswer, *, timed: bool = True) -> dict[str, Any]:
    """The same in plain records, in MPa, mm and N; with the time it took where it is `timed`."""
    field = answer.field
    return {
        "joint": answer.joint,
        "sides": [side.owner for side in answer.given.joint.sides],
        "rigid": list(answer.given.rigid),
        "not_known": list(answer.given.faults),
        "seals": answer.passed if answer.given.factor is not None and not answer.given.faults else None,
        **({"seconds": field.seconds} if timed else {}),
        "balance": field.balance,
        "meshes": [
            {"size": one.size, "cells": one.cells, "unknowns": one.unknowns, "pitch": one.pitch} for one in field.meshes
        ],
        "land": field.finest.land,
        "cases": [_case(answer, case) for case in field.cases],
    }


def _case(answer: SealAnswer, case: FilmCase) -> dict[str, Any]:
    spots = [bolt.spot for bolt in answer.given.bolts]
    return {
        "name": case.name,
        "loads": case.push,
        "sealed": case.sealed,
        "leak": {
            "pressure": case.leak, "difference": answer.field.doubt(case), "at": case.at,
            "between": list(answer.between(case)), "way_out": answer.way_out(case),
        },
        "needed": answer.needed(case) if case.sealed > 0 else None,
        "seals": answer.holds(case),
        "contact": case.contact,
        "bow": case.bow,
        "bolts": dict(zip(spots, case.bolts, strict=True)),
        "bolts_before": dict(zip(spots, case.before, strict=True)) if case.before else None,
    }  # fmt: skip
