"""How the hours of a shop are read: ``Mon to Fri 8:00 to 12:00 and 13:00 to 17:00``."""

from __future__ import annotations

import re

from shopboard.shop.allowed import typed
from shopboard.shop.hints import did_you_mean
from shopboard.shop.hours import OpenHours
from shopboard.shop.kinds import as_text, list_of
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

DAYS_OF_WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_TIME = r"(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm)?"
_SPAN = re.compile(rf"{_TIME}\s*(?:to|-|–)\s*{_TIME}", re.IGNORECASE | re.ASCII)
_WANTED = 'hours such as "8:00 to 17:00" or "Mon to Fri 8:00 to 12:00 and 13:00 to 17:00"'
_DAY = 24 * 60


def _read_hours(raw: object, spot: Spot) -> OpenHours:
    words = as_text(raw, spot, _WANTED)
    first = re.search(r"\d", words)
    if first is None:
        spot.refuse(f"{shorten(words)} has no hours in it", f"write {_WANTED}")
    days = _days(words[: first.start()], spot)
    rest, spans = words[first.start() :], list[tuple[int, int]]()
    for part in re.split(r"\s+and\s+", rest.strip(), flags=re.IGNORECASE):
        found = _SPAN.fullmatch(part)
        if found is None:
            spot.refuse(f"{shorten(part)} is not from one time to another", f"write {_WANTED}")
        begin = _minutes(found[1], found[2], found[3], spot)
        end = _minutes(found[4], found[5], found[6], spot)
        if end <= begin:
            late = found[6] is None and begin < end + 12 * 60 < _DAY
            hint = f'did you mean "{_clock(begin)} to {_clock(end + 12 * 60)}"?' if late else ""
            spot.refuse(f"{shorten(part)} ends before it begins", "from earlier to later", hint)
        if spans and begin <= spans[-1][1]:
            what = f"{shorten(part)} begins before the hours before it are over"
            spot.refuse(what, "a pause lies between them")
        spans.append((begin, end))
    return OpenHours((*spans,), days)


def _days(words: str, spot: Spot) -> tuple[int, ...]:
    """Read days of the week: ``Mon to Wed and Fri``; nothing: none are named."""
    names = re.findall(r"[^\s,:]+", words)
    found: list[int] = []
    upto = False
    for at, name in enumerate(names):
        if name.lower() in ("to", "-", "–") and found and names[at + 1 :]:
            upto = True
        elif name.lower() != "and" or not found:
            day = _day(name, spot)
            if upto:  # past Sunday it goes on with Monday
                found += [(found[-1] + one) % 7 for one in range(1, (day - found[-1]) % 7)]
            found.append(day)
            upto = False
    if len({*found}) < len(found):
        spot.refuse(f"{shorten(words.strip())} names a day twice", "each day once")
    return tuple(sorted(found))


def _day(name: str, spot: Spot) -> int:
    wanted = name.lower().rstrip(".")
    found = [at for at, day in enumerate(DAYS_OF_WEEK) if day.lower().startswith(wanted)]
    if len(name) < 3 or not found:
        shorts = [day[:3] for day in DAYS_OF_WEEK]
        hint = did_you_mean(name.capitalize(), [*DAYS_OF_WEEK, *shorts])
        spot.refuse(f"{shorten(name)} is no day of the week", f"allowed: {', '.join(shorts)}", hint)
    return found[0]


def _minutes(hour: str, minute: str | None, half: str | None, spot: Spot) -> int:
    """Give a time of the day, minutes from midnight; 24:00 is its end."""
    hours, minutes = int(hour), int(minute or 0)
    if half is not None:
        if not 1 <= hours <= 12:
            spot.refuse(f"there is no time {hours} {half}", "from 1 to 12 with am or pm")
        hours = hours % 12 + (12 if half.lower() == "pm" else 0)
    if minutes > 59 or hours * 60 + minutes > _DAY:
        spot.refuse(f"there is no time {hour}:{minutes:02}", "from 0:00 to 24:00")
    return hours * 60 + minutes


def _clock(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02}"


_ONE = Parser(
    _read_hours,
    OpenHours(()),
    lambda: typed(
        "from when to when, with a pause between two such hours, for all days or those named",
        '"Mon to Fri 8:00 to 12:00 and 13:00 to 17:00"',
        r"\d.*\d",
    ),
)
_SEVERAL = list_of(_ONE, least=1)


def _read_week(raw: object, spot: Spot) -> tuple[OpenHours, ...]:
    found = _SEVERAL.read(raw, spot)
    told: set[int | None] = set()
    for at, one in enumerate(found):
        days: tuple[int | None, ...] = one.days or (None,)
        again = [day for day in days if day in told] if one.spans else []
        if again:
            which = " and ".join("" if day is None else DAYS_OF_WEEK[day] for day in again)
            words = f"the hours of {which or 'all days that are not named'} are told twice"
            spot.inside(at).refuse(words, "one line for each day")
        told.update(days)
    return found


HOURS = Parser[tuple[OpenHours, ...]](_read_week, (), _SEVERAL.allowed)
"""When somebody is in the shop."""
