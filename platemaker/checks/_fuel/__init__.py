"""Fuel: rails and their brackets, injectors and their bosses."""
