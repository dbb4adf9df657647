"""Cures: which key of the spec to change to what so that an item is settled, proved by the checks themselves."""
