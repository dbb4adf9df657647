"""Records that load quickly: the standard library's frozen `dataclass` and `cached_property`, with less work behind."""

from platemaker.records._records import cached_property, dataclass

__all__ = ["cached_property", "dataclass"]
