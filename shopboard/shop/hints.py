"""What a word was probably meant to be, and what stands in the file, in plain words."""

from __future__ import annotations

from collections.abc import Iterable


def closest(word: str, known: Iterable[str]) -> str:
    """Give the known word that is most like another one, or "" when none is near."""
    import difflib

    lower = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word.lower()[:60], lower, n=1, cutoff=0.6)
    return lower[found[0]] if found else ""


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Give ``did you mean "..."?``, or "" when nothing is near."""
    meant = closest(word, known)
    return f'did you mean "{meant}"?' if meant else ""


def type_name(raw: object) -> str:
    """Name what stands in the file, in plain words."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, str):
        return "text"
    if isinstance(raw, int | float):
        return "a number"
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, dict):
        return "a table"
    return "a date or time"
