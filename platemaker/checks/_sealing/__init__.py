"""Seals: gaskets, O-rings, and the plates that press on them."""
