"""Holes for fittings, oil drains and oil feed."""
