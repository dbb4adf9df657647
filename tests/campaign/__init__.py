"""Mutated specs and readings, and what must hold whatever they say: `python -m pytest tests/campaign -m slow`."""
