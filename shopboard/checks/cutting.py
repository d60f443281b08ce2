"""What is usual where pieces are cut for a test: how well they repeat."""

from __future__ import annotations

SEATING_MM = 0.02
"""Standard uncertainty with which a board seats against a fence and a cut closes, at the ends of
what is read: common practice, no source. A test cut repeats no better than this."""
