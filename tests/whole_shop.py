"""A shop that holds every setting somewhere: most tests try the program on it."""

from __future__ import annotations

from pathlib import Path

WHOLE_SHOP = Path(__file__).with_name("whole_shop.toml")
