"""Sentences from their templates: the one place where quantities get digits, units and inches."""

from __future__ import annotations

from platemaker.records import Record
from platemaker.report._areas import CUBIC_INCH, SQUARE_INCH
from platemaker.report._templates import TEMPLATES
from platemaker.units import JOINED, MM_PER_INCH, Gap, NamedQuantity, Words
from platemaker.views import Shown

_INCHES = {"mm": (MM_PER_INCH, "in", 4), "mm2": (SQUARE_INCH, "in²", 3), "mm3": (CUBIC_INCH, "in³", 3)}
"""By unit: how much one of its inches is, how that is written, and with how many decimals in a sentence."""


def worded(words: Words) -> Shown:
    """A sentence as text; in an inch project lengths, areas and volumes have their inches behind them.

    A gap of a template may have the format of its numbers, before it what stands between several: `{size: x |.1f}`,
    or `[]` for those of a place as a spec has it.

    >>> from platemaker.units import joined, said
    >>> worded(joined(said("breaks_through", depth=(12.7, "mm")), "cut it again")).inch
    'breaks through by 12.700 mm (0.5000 in); cut it again'
    """
    if isinstance(words, str):
        return Shown(words, words)
    template = "{all}" if words.name == JOINED else TEMPLATES[words.name]
    gaps = ({name: _Filled(gap, inch) for name, gap in words.gaps} for inch in (False, True))
    return Shown(*(template.format_map(filled) for filled in gaps))


def given_words(one: NamedQuantity) -> Shown:
    """A quantity that a sum was made from: its value, its unit and how it was obtained.

    >>> given_words(NamedQuantity("e", 25.4, "mm", "at the root"))
    Shown(metric='25.4 mm, at the root', inch='1 in, at the root')
    >>> given_words(NamedQuantity("recess", (12.7, 25.4), "mm")).inch, given_words(NamedQuantity("C", 7.0, "-")).metric
    ('0.5, 1 in', '7')
    """
    per, inch, _ = _INCHES.get(one.unit, (1.0, one.unit, 0))
    sizes = ((1.0, one.unit), (per, inch.replace("²", "2").replace("³", "3")))
    how = worded(one.how)
    texts = (f"{_amount(one, '', 'z.6g', size)} {unit.removeprefix('-')}".strip() for size, unit in sizes)
    return Shown(*(", ".join(filter(None, pair)) for pair in zip(texts, (how.metric, how.inch), strict=True)))


class _Filled(Record):
    """What stands in a gap, for `format`."""

    gap: Gap
    inch: bool

    def __format__(self, form: str) -> str:
        one = self.gap
        if not isinstance(one, NamedQuantity):
            texts = map(worded, one if isinstance(one, tuple) else (one,))
            return (form or "; ").join(text.inch if self.inch else text.metric for text in texts)
        between, _, digits = form.rpartition("|")
        text = f"{_amount(one, between, digits)} {one.unit}".rstrip()
        if not self.inch or one.unit not in _INCHES:
            return text
        per, unit, decimals = _INCHES[one.unit]
        sign = "+" if "+" in digits else ""
        return f"{text} ({_amount(one, between, f'{sign}z.{decimals}f', per)} {unit})"


def _amount(one: NamedQuantity, between: str, form: str, per: float = 1.0) -> str:
    values = one.value if isinstance(one.value, tuple) else (one.value,)
    texts = (value if isinstance(value, str) else f"{value / per:{form}}" for value in values)
    return f"[{', '.join(texts)}]" if between == "[]" else (between or ", ").join(texts)
