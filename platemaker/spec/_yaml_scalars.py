"""Plain scalars by the core schema of YAML 1.2.

Source: YAML 1.2.2 (2021), section 10.3.2, tag resolution. So `no`, `on` and `12:30` are text, `010` is ten, `0o10` is
eight and `1e-3` is a number. Dates are text. What is not finite is refused, for no length or pressure is.
"""

from __future__ import annotations

import math
import re
from typing import TypeAlias

Scalar: TypeAlias = str | int | float | bool | None

_WORDS: dict[str, Scalar] = dict.fromkeys(("", "~", "null", "Null", "NULL"))
_WORDS |= dict.fromkeys(("true", "True", "TRUE"), True)
_WORDS |= dict.fromkeys(("false", "False", "FALSE"), False)
_BASES = ((re.compile(r"[-+]?[0-9]+"), 10), (re.compile(r"0o[0-7]+"), 8), (re.compile(r"0x[0-9a-fA-F]+"), 16))
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")
_STARTS = frozenset("+-.0123456789")
"""What a number begins with; most plain scalars are words."""
_LONGEST_NUMBER = 40


def resolve(text: str) -> Scalar:
    """The value of a plain scalar. Raises ValueError for infinity, not-a-number and endless digits.

    >>> [resolve(text) for text in ("no", "010", "0o10", "1e-3", "12:30", "~", "True")]
    ['no', 10, 8, 0.001, '12:30', None, True]
    """
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in _STARTS:
        return text
    if _NOT_FINITE.fullmatch(text):
        raise ValueError("not a finite number")  # noqa: EM101 - the caller adds the place
    base = next((base for form, base in _BASES if form.fullmatch(text)), None)
    if base is None and not _FLOAT.fullmatch(text):
        return text
    if len(text) > _LONGEST_NUMBER:
        message = f"a number of more than {_LONGEST_NUMBER} characters"
        raise ValueError(message)
    if base is not None:
        return int(text, base)
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("a number too large")  # noqa: EM101 - the caller adds the place
    return number
