"""Ports that do not line up."""
