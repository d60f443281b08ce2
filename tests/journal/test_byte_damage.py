"""A short slice of the campaign of flipped bits."""

from __future__ import annotations

from tests.campaigns.byte_damage import campaign


def test_no_flipped_bit_hangs_or_deceives() -> None:
    """Each command is right or names it; all are in `python -m tests.campaigns.byte_damage`."""
    tried, failed = campaign(20260601, 25)
    assert tried == 25
    assert failed == []
