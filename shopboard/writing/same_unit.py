"""A number that is typed in the place of a measure takes the unit of that."""

from __future__ import annotations

import re

from shopboard.metrology.limits import is_bare, unit_behind

_UNIT = re.compile(
    r"(?:mm|cm|m|[uµμ]m|in|inch|inches|ft|thou|deg|°|mrad|tpi|psi|MPa|s)"
    r"(?:\s*/\s*(?:ft|m|in)|\s+over\s.+)?",
    re.IGNORECASE,
)


def in_same_unit(word: str, old: str) -> list[str]:
    """Give a number, or two ends, with the unit of what stood there; nothing of all else."""
    unit = unit_behind(old) if is_bare(word) else ""
    return [f"{word.strip()} {unit}"] if _UNIT.fullmatch(unit) else []
