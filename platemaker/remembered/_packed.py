"""Records as bytes for another process: their fields alone, without what was worked out of them and is kept with them.

What is kept may hold the identities of records, which mean nothing elsewhere.
"""

from __future__ import annotations

import copyreg
import io
import pickle
from dataclasses import fields
from typing import Any


def packed(value: object) -> bytes:
    """The value with all that it holds, in the form that `pickle.loads` reads."""
    held = io.BytesIO()
    _Records(held, pickle.HIGHEST_PROTOCOL).dump(value)
    return held.getvalue()


class _Records(pickle.Pickler):
    def reducer_override(self, value: Any) -> Any:
        kind = type(value)
        if not hasattr(kind, "__dataclass_fields__") or not hasattr(value, "__dict__"):
            return NotImplemented
        held = vars(value)
        return copyreg.__newobj__, (kind,), {one.name: held[one.name] for one in fields(kind)}  # type: ignore[attr-defined]
