"""Limits for a part: the spec's own, else the catalog's for the material's family."""

from __future__ import annotations

from platemaker.catalog import LimitName, limit_unit, limits
from platemaker.checks._finding import Limit, Sense
from platemaker.errors import CatalogError
from platemaker.parts import Part


def limit_for(part: Part, name: LimitName) -> Limit | None:
    """The limit `name` for a part, with its source; None when neither the spec nor the catalog has one."""
    try:
        row = limits(part.material.family).get(name)
    except CatalogError:
        row = None
    own, reason = part.limits.get(name.value), part.limit_reasons.get(name.value)
    why = f", because {reason}" if reason else ""
    if row is None:
        source = f"the spec, {part.key}.limits.{name.value}{why}"
        return None if own is None else Limit(own, limit_unit(name), source)
    above = row.fail_below is None and row.caution_below is None
    sense = Sense.AT_MOST if above else Sense.AT_LEAST
    if own is not None:
        return Limit(own, row.unit, f"the spec, limits.{name.value}{why}", sense=sense)
    hard, soft = (row.fail_above, row.caution_above) if above else (row.fail_below, row.caution_below)
    if hard is None:
        return None
    return Limit(hard, row.unit, row.source or "common practice, no source", soft, sense)
