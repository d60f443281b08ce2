"""Flipped bits of a journal of 22,000 entries, held to the same as those of a small one."""

from __future__ import annotations

from functools import partial

from tests.campaigns.byte_damage import flips
from tests.campaigns.frame import Campaign

CAMPAIGN = Campaign(partial(flips, weeks=400), count=1_000, in_ci=0)
