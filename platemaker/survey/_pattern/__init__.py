"""Patterns of surveyed holes and ports: placed on each other, and the drawings that they do not contradict."""
