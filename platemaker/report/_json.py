"""report.json: the same findings that the page shows, for programs. Same stack, same bytes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import msgspec

from platemaker.checks import (
    AirShares,
    ChamberAccount,
    Finding,
    PocketAccount,
    Verdict,
    air_shares,
    bolt_accounts,
    least_metal,
)
from platemaker.fields import FlowAnswer, SealAnswer
from platemaker.parts import Face, Hole, Joint, Part, Stack
from platemaker.report._belt_json import belt_record
from platemaker.report._bolts_json import bolt_record
from platemaker.report._flow_text import flow_json
from platemaker.report._items import Item, items_of, sentence
from platemaker.report._read_back import Draft, read_back_records, without_files
from platemaker.report._records import Meta, counts_of, facts_of, identified, overall
from platemaker.report._said import worded
from platemaker.report._seal_text import seal_json
from platemaker.resolved import resolved_stack
from platemaker.units import NamedQuantity, Phrase

if TYPE_CHECKING:
    from platemaker.export import Made

FORMAT = 1
"""Version of the layout of report.json; a change of meaning raises it."""

_DIGITS = 6


def draft_json(
    stack: Stack,
    findings: Sequence[Finding],
    meta: Meta,
    *,
    pockets: Sequence[PocketAccount] = (),
    chambers: Sequence[ChamberAccount] = (),
    films: Mapping[str, SealAnswer] | None = None,
    flow: FlowAnswer | None = None,
    items: Sequence[Item] | None = None,
) -> Draft:
    """The report as JSON: lengths mm, areas mm2, volumes mm3, masses kg, numbers rounded to 1e-6, keys sorted.

    `items` are the findings by their causes, put together here where they are not given; what passes is left out.
    Findings keep the order of their ids, so that two reports can be compared line by line.
    """
    named = sorted(identified(findings), key=lambda pair: pair[0])
    shares = {one.joint.name: one for one in air_shares(stack)}
    report = {
        "format": FORMAT,
        "tool": {"name": "platemaker", "version": meta.version},
        "project": {"name": stack.name, "title": stack.title, "unit": stack.unit},
        "spec": {"name": meta.spec_name, "sha256": meta.spec_hash},
        "summary": {
            "verdict": overall(findings).value,
            **{verdict.name.lower(): count for verdict, count in counts_of(findings).items()},
        },
        "items": [_item(item) for item in items or items_of(stack, findings) if item.verdict is not Verdict.PASS],
        "findings": [_finding(identity, finding) for identity, finding in named],
        "parts": [_part(part, meta, findings) for part in sorted(stack.parts, key=lambda part: part.name)],
        "pockets": [_pocket(account) for account in sorted(pockets, key=lambda one: (one.part, one.cut))],
        "chambers": [_chamber(account) for account in sorted(chambers, key=lambda one: (one.part, one.cut))],
        "films": [{**seal_json(one, timed=False), "cures": one.cures} for _, one in sorted((films or {}).items())],
        "flow": flow_json(flow, timed=False) if flow else None,
        "joints": [_joint(joint, shares.get(joint.name)) for joint in sorted(stack.joints, key=lambda one: one.name)],
        "belt": belt_record(resolved_stack(stack).belt),
        "bolts": [bolt_record(one) for one in sorted(bolt_accounts(stack), key=lambda one: one.bolt.name)],
    }
    known = {key: _rounded(value) for key, value in report.items()}

    def whole(files: Sequence[Made]) -> str:
        return _set_out({**known, "read_back": _rounded(read_back_records(files))})

    return whole


render_json = without_files(draft_json)


def _set_out(report: dict[str, object]) -> str:
    """The report as text, an entry a line."""
    # By the other library: where it has to indent, Python's own writes piece by piece, three times as long.
    plain = json.dumps(report, sort_keys=True, ensure_ascii=False, allow_nan=False)
    return msgspec.json.format(plain.encode(), indent=1).decode() + "\n"


def _item(item: Item) -> dict[str, object]:
    """An item; the share of the limit that its worst finding misses is null where the limit is 0."""
    return {
        "verdict": item.verdict.value,
        "title": item.title,
        "worst": item.identity,
        "count": len(item.named),
        "findings": [identity for identity, _ in item.named],
        "parts": item.parts,
        "features": item.features,
        "share_missing": item.share,
        "sentence": sentence(item).metric,
        "accepted": item.worst.because or None,
        "cures": [
            {
                **_change(one.key, one.was, one.to),
                "also": [_change(*more) for more in one.also],
                "clears": [worded(text).metric for text in one.clears],
                "worsens": [worded(text).metric for text in one.worsens],
            }
            for one in item.cures
        ],
    }


def _change(key: str, was: str, to: str) -> dict[str, str]:
    return {"key": key, "from": was, "to": to}


def _finding(identity: str, finding: Finding) -> dict[str, object]:
    return {
        "id": identity,
        "check": finding.check,
        "title": finding.title,
        "part": finding.part,
        "features": finding.features,
        "points": finding.points,
        "measured": finding.measured,
        "required": finding.required,
        "margin": finding.margin,
        "unit": finding.unit,
        "sense": finding.sense.value,
        "verdict": finding.verdict.value,
        "source": finding.source,
        "note": worded(finding.note).metric,
        "quantities": [_quantity(one) for one in finding.note.quantities] if isinstance(finding.note, Phrase) else [],
        "accepted": finding.because or None,
        "inputs": [_quantity(one) for one in finding.inputs],
    }


def _quantity(one: NamedQuantity) -> dict[str, object]:
    return {"symbol": one.symbol, "value": one.value, "unit": one.unit, "how": worded(one.how).metric}


def _part(part: Part, meta: Meta, findings: Sequence[Finding]) -> dict[str, object]:
    facts, least = facts_of(part, meta), least_metal(part.name, findings)
    return {
        "name": part.name,
        "title": part.title,
        "kind": part.kind.value,
        "material": part.material.name,
        "made": part.made,
        "quantity": part.quantity,
        "size": facts.size,
        "volume": facts.volume,
        "mass": facts.mass,
        "holes": [_hole(hole) for hole in part.holes],
        "note": part.note,
        "least_metal": None
        if least is None
        else {"value": least.measured, "kind": least.title, "features": least.features, "points": least.points},
    }


def _pocket(account: PocketAccount) -> dict[str, object]:
    return {
        "part": account.part,
        "cut": account.cut,
        "cutter": account.cutter,
        "area": account.area,
        "limits": [
            {
                "name": limit.name,
                "kind": limit.kind.value,
                "length": limit.length,
                "cost": limit.cost,
                "gain": limit.gain,
                "sentence": worded(limit.words).metric,
            }
            for limit in account.limits
        ],
        "cutters": [{"diameter": one.diameter, "area": one.area} for one in account.cutters],
        "left": [{"area": size, "at": point} for size, point in account.left],
    }


def _chamber(account: ChamberAccount) -> dict[str, object]:
    """A chamber on the air's way: pressures in kPa; what is not known is null."""
    chamber, flow = account.chamber, account.flow
    loss = flow and {
        "value": flow.value / 1000,
        "low": flow.low / 1000,
        "high": flow.high / 1000,
        "compressible": None if flow.compressible is None else flow.compressible / 1000,
        "unit": "kPa",
    }
    choked = flow is not None and flow.jet.choked
    return {
        "part": account.part,
        "cut": account.cut,
        "from": chamber.inflow.name,
        "to": chamber.outflow.name,
        "depth": chamber.depth,
        "throat": {
            "area": account.area,
            "share": chamber.throat.area / chamber.throat.inflow if chamber.throat and chamber.throat.inflow else None,
            "between": account.between,
            "points": account.points,
            "closed": chamber.throat.closed if chamber.throat else chamber.fault,
        },
        "loss": None if choked else loss,
        "mach": flow.jet.mach if flow else None,
        "choked": choked,
    }


def _hole(hole: Hole) -> dict[str, object]:
    return {
        "name": hole.name,
        "at": hole.at,
        "direction": hole.direction,
        "operation": hole.operation.value,
        "diameter": hole.diameter,
        "depth": hole.depth,
        "through": hole.through,
        "thread": hole.tapping.designation if hole.tapping else None,
        "joint": hole.joint,
    }


def _joint(joint: Joint, shares: AirShares | None) -> dict[str, object]:
    bolts = joint.bolts
    return {
        **({"openings": list(_openings(joint, shares))} if len(joint.ports) > 1 else {}),
        "name": joint.name,
        "spots": dict(joint.spots),
        "thread": bolts.thread.designation if bolts else None,
        "property_class": bolts.property_class if bolts else None,
        "lower": _face(joint, joint.lower),
        "upper": _face(joint, joint.upper),
        "source": joint.source,
    }


def _openings(joint: Joint, shares: AirShares | None) -> Iterator[dict[str, object]]:
    """The openings of a joint with several: the share of the air is null where it is not known, with the reason."""
    known = {way.name: way for way in shares.ways} if shares else {}
    for port in joint.ports:
        way = known.get(port.name)
        yield {
            "name": port.name,
            "area": port.region.area,
            "bounds": port.region.bounds,
            "air": {
                "share": way.share if way else None,
                "pressure_at_even_share": way.pressure / 1000 if way else None,
                "unit": "kPa",
                "not_known": "" if way else shares.fault if shares else "the joint carries no air",
            },
        }


def _face(joint: Joint, face: Face | None) -> dict[str, object] | None:
    if face is None:
        return None
    ports = {port.name: {"area": port.region.area, "bounds": port.region.bounds} for port in face.ports}
    own = (
        {"own_port": next(iter(ports.values()))}
        if len(joint.ports) == 1 and ports
        else {"own_ports": ports}
        if ports
        else {}
    )
    return {"owner": face.owner, "side": face.side.value, "role": face.role.value, **own}


def _rounded(value: object) -> object:
    if isinstance(value, float):
        return round(value, _DIGITS) + 0.0
    if isinstance(value, dict):
        return {str(key): _rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(item) for item in value]
    return value
