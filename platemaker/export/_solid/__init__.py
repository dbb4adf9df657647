"""Solids: STEP, its text, and the skin shown on a page."""
