"""Screws: holes, seats, preload, threads, inserts, and the lists of them."""
