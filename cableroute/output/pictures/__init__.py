"""Drawings: one style, one way to place labels, a file for each kind of picture."""
