"""Drawings of set-ups, each from the geometry of its point and the answers so far."""
