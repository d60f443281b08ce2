"""How long a person works at something, as the shop file says it: ``6 min``, ``1 h 30``."""

from __future__ import annotations

import re

from shopboard.metrology.duration import parse_minutes
from shopboard.metrology.quantity import QuantityError
from shopboard.shop.allowed import NUMBER, typed
from shopboard.shop.kinds import as_text
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

LONGEST_WORK = 24 * 60.0
"""Minutes; what takes longer than a day is a slip of the unit."""


def _read_minutes(raw: object, spot: Spot) -> float:
    wanted = 'a time such as "6 min" or "1 h"'
    bare = isinstance(raw, int | float) and not isinstance(raw, bool)
    words = "" if bare else as_text(raw, spot, wanted)
    if bare or not re.search(r"[a-z:]", words, re.IGNORECASE):
        plain = bare or re.fullmatch(r"\d+(?:\.\d+)?", words)
        shown = shorten(raw).strip('"')
        hint = f'did you mean "{shown} min"?' if plain else ""
        spot.refuse(f"{shorten(raw)} without minutes or hours", f"write {wanted}", hint)
    try:
        minutes = parse_minutes(words, "min")
    except QuantityError as error:
        spot.refuse(f"{shorten(words)}: {error}", f"write {wanted}")
    if minutes > LONGEST_WORK:
        spot.refuse(f"{shorten(words)} is out of range", "up to 24 h")
    return minutes


MINUTES = Parser(_read_minutes, 1.0, lambda: typed("a time of work, up to 24 h", '"6 min"', NUMBER))
"""Hands-on time, minutes: more than 0, up to a day."""
