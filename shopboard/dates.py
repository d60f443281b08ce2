"""Dates and ages in words, in local time."""

from __future__ import annotations

from datetime import datetime


def day(when: datetime) -> str:
    """Write a day in local time: ``Tue 3 Nov 2026``."""
    local = when.astimezone()
    return f"{local:%a} {local.day} {local:%b %Y}"


def ago(when: datetime, now: datetime) -> str:
    """Write an age in words, never negative: ``12 days ago``."""
    seconds = max(0.0, (now - when).total_seconds())
    if seconds < 60:
        return "just now"
    if seconds < 3600:
        return _count(seconds // 60, "minute")
    if seconds < 48 * 3600:
        return _count(seconds // 3600, "hour")
    return _count(seconds // 86400, "day")


def _count(number: float, what: str) -> str:
    return f"{number:.0f} {what}{'' if number == 1 else 's'} ago"
