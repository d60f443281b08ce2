"""A number that is typed in the place of a measure takes the unit of that."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"\s*[±+]?(?:\d+\s*/\s*\d+|\d+(?:[.,]\d*)?|[.,]\d+)\s*")
_MEASURE = re.compile(
    rf"{_NUMBER.pattern}((?:mm|cm|m|in|inch|inches|ft|thou|deg|°|tpi|psi|MPa|s)"
    r"(?:\s*/\s*(?:ft|m|in)|\s+over\s.+)?)\s*",
    re.IGNORECASE,
)


def in_same_unit(word: str, old: str) -> list[str]:
    """Give a number with the unit of what stood there; nothing where either is something else."""
    measure = _MEASURE.fullmatch(old) if _NUMBER.fullmatch(word) else None
    return [f"{word.strip()} {measure[1]}"] if measure else []
