"""When somebody is in the shop, as the shop file says it. Pure; minutes from midnight."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple


class OpenHours(NamedTuple):
    """The hours of some days of the week."""

    spans: tuple[tuple[int, int], ...]
    """From when to when, one after the other; between two of them is a pause."""
    days: tuple[int, ...] = ()
    """Days of the week, Monday is 0; empty: all that no other says anything of."""


def spans_on(hours: tuple[OpenHours, ...], weekday: int) -> tuple[tuple[int, int], ...]:
    """Give the hours of a day of the week; empty: the shop is closed all day."""
    named = next((one for one in hours if weekday in one.days), None)
    found = named or next((one for one in hours if not one.days), None)
    return found.spans if found is not None else ()
