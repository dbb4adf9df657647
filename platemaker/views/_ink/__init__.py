"""Ink on paper: letters, strokes, sheets, and what paints them."""
