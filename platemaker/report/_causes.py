"""Which findings have one cause: the same check on like features, or checks that follow from one number."""

from __future__ import annotations

import re
from collections.abc import Hashable, Mapping

from platemaker.checks import Finding
from platemaker.parts import Stack
from platemaker.report._said import worded

CHAINS: Mapping[str, tuple[str, ...]] = {
    "engagement": ("PM302", "PM905", "PM906"),
    "clamp": ("PM901", "PM908", "PM912"),
    "bolt load": ("PM902", "PM903"),
    "spacing": ("PM922", "PM923", "PM924", "PM931", "PM932", "PM933"),
    "bolt position": ("PM306", "PM801", "PM802"),
    "bracket": ("PM711", "PM712", "PM713"),
    "injector length": ("PM706", "PM707"),
    "tight fit": ("PM941", "PM942"),
    "loose fit": ("PM943", "PM944", "PM945"),
    "boost": ("PM910", "PM954"),
    "air loss": ("PM952", "PM953"),
    "rail thread": ("PM963", "PM964"),
}
"""Checks that follow from one number: of a joint's bolts, of a bracket's legs, of a fit."""

_OF_A_PART = frozenset({"bracket", "injector length", "tight fit", "loose fit", "rail thread"})
_CHAIN_OF = {check: name for name, checks in CHAINS.items() for check in checks}
_NUMBERED = re.compile(r"(?<![A-Za-z0-9-])\d+(?:-\d+)?\b|_\d+\b")
"""The number of one bolt, hole, leg or pair among several: `log_top_3`, `5-6`, `leg 2`."""


class Causes:
    """What distinguishes causes, for one stack."""

    def __init__(self, stack: Stack) -> None:
        self._keys = {part.name: {cut.name: cut.key for cut in part.cuts} for part in stack.parts}
        self._kinds = {part.name: part.kind.value for part in stack.parts}

    def key(self, found: Finding) -> Hashable:
        """Equal for findings of one check on like features: cuts of one line of the spec, or numbered alike.

        Checks of one chain have one cause where they are of one joint, which they name first, or of one part.
        """
        chain = _CHAIN_OF.get(found.check)
        if chain in _OF_A_PART:
            return found.verdict, chain, found.part
        if chain is not None and found.features:
            return found.verdict, chain, _plain(found.features[0])
        return found.verdict, found.check, found.part, tuple(self._like(found, one) for one in found.features)

    def sums(self, found: Finding) -> Hashable:
        """Equal for findings of one check whose every number is the same, on parts of one kind: twins."""
        if found.measured is None:
            return None
        kind = self._kinds.get(found.part, found.part)
        numbers = tuple(round(one.value, 6) if isinstance(one.value, float) else one.value for one in found.inputs)
        advice = (found.title, worded(found.note).metric, found.because)
        return found.verdict, found.check, advice, kind, round(found.measured, 6), found.required, numbers

    def _like(self, found: Finding, feature: str) -> str:
        name, _, rest = feature.partition(" ")
        key = self._keys.get(found.part, {}).get(name)
        return _plain(f"{key or name} {rest}")


def _plain(text: str) -> str:
    """A feature without its number among several.

    >>> _plain("log_top_3 counterbore"), _plain("5-6"), _plain("M8 AS568-203")
    ('log_top* counterbore', '*', 'M8 AS568-203')
    """
    return _NUMBERED.sub("*", text)
