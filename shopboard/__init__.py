"""Shopboard: which machines of a one-person furniture shop are true, and the proof of it."""

__version__ = "0.1.0"
