"""How the hours of a shop are read: ``Mon to Fri 8:00 to 12:00 and 13:00 to 17:00``."""

from __future__ import annotations

import re
from collections.abc import Sequence

from shopboard.shop.allowed import typed
from shopboard.shop.hints import did_you_mean
from shopboard.shop.hours import OpenHours, clock_words, minutes_of_day
from shopboard.shop.kinds import as_text, list_of
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

DAYS_OF_WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

_TIME = r"(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm)?"
_SPAN = re.compile(rf"(pause\s+)?{_TIME}\s*(?:to|-|–)\s*{_TIME}", re.IGNORECASE | re.ASCII)
_NEXT = re.compile(r"\s*,\s*(?:and\s+)?|\s+and\s+", re.IGNORECASE)
_WANTED = 'hours such as "8:00 to 17:00" or "Mon to Fri 8:00 to 12:00 and 13:00 to 17:00"'
_ONE_LINE = 'one line for each day, as in "8:00 to 12:00 and 13:00 to 17:00"'
_BY_THEMSELVES = (
    'the hours of other days stand by themselves: "Mon to Thu 8:00 to 17:00", "Sat 9:00 to 13:00"'
)
_DAY = 24 * 60
_ONWARD = "from earlier to later"
_PAST_MIDNIGHT = f'{_ONWARD}; past midnight as in "0:00 to 2:00 and 22:00 to 24:00"'


def _read_hours(raw: object, spot: Spot) -> OpenHours:
    words = as_text(raw, spot, _WANTED)
    first = re.search(r"\d", words)
    if first is None:
        spot.refuse(f"{shorten(words)} has no hours in it", f"write {_WANTED}")
    days = _days(words[: first.start()], spot)
    rest, spans = words[first.start() :], list[tuple[int, int]]()
    for part in _NEXT.split(rest.strip()):
        found = _SPAN.fullmatch(part)
        if found is None:
            if spans and _names_days(part):
                spot.refuse(f"{shorten(part)} is of other days", _BY_THEMSELVES)
            spot.refuse(f"{shorten(part)} is not from one time to another", f"write {_WANTED}")
        begin, end = _minutes(found.group(2, 3, 4), spot), _minutes(found.group(5, 6, 7), spot)
        if end <= begin:
            hint = _half_a_day_on(begin, end, found.group(4, 7))
            what = f"{shorten(part)} ends before it begins"
            spot.refuse(what, _ONWARD if hint else _PAST_MIDNIGHT, hint)
        if found.group(1):
            if not spans or not spans[-1][0] < begin < end < spans[-1][1]:
                what = f"{shorten(part)} does not lie within the hours before it"
                spot.refuse(what, 'a pause as in "8:00 to 17:00, pause 12:00 to 13:00"')
            spans[-1:] = [(spans[-1][0], begin), (end, spans[-1][1])]
            continue
        if spans and begin < spans[-1][1]:
            what = f"{shorten(part)} begins before the hours before it are over"
            hint = _half_a_day_on(begin, end, found.group(4, 7), spans[-1][1])
            spot.refuse(what, "each begins when those before it are over, or later", hint)
        if spans and begin == spans[-1][1]:  # no pause lies between them
            begin = spans.pop()[0]
        spans.append((begin, end))
    return OpenHours((*spans,), days)


def _days(words: str, spot: Spot) -> tuple[int, ...]:
    """Read days of the week: ``Mon to Wed and Fri``; nothing: none are named."""
    names = re.findall(r"[-–]|[^-–\s,:]+", words)
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
    if len(wanted) < 3 or not found:
        shorts = [day[:3] for day in DAYS_OF_WEEK]
        hint = did_you_mean(name.capitalize(), [*DAYS_OF_WEEK, *shorts])
        spot.refuse(f"{shorten(name)} is no day of the week", f"allowed: {', '.join(shorts)}", hint)
    return found[0]


def _names_days(part: str) -> bool:
    """Tell whether hours begin with a day of the week."""
    first = re.match(r"[^\W\d_]{3,}", part)
    return first is not None and any(
        day.lower().startswith(first[0].lower()) for day in DAYS_OF_WEEK
    )


def _minutes(told: Sequence[str | None], spot: Spot) -> int:
    """Give a time of the day, minutes from midnight; 24:00 is its end."""
    hour, minute, half = int(told[0] or 0), int(told[1] or 0), (told[2] or "").lower()
    found = minutes_of_day(hour, minute, half)
    if found is None:
        words = f"{hour}:{minute:02}" if told[1] or not half else f"{hour}"
        allowed = "from 1 to 12 with am or pm" if half else "from 0:00 to 24:00"
        spot.refuse(f"there is no time {f'{words} {half}'.strip()}", allowed)
    return found


def _half_a_day_on(begin: int, end: int, halves: Sequence[str | None], before: int = 0) -> str:
    """Ask whether the afternoon was meant: ``8 to 5``, or ``1 to 5`` after a pause."""
    half_a_day = 12 * 60
    if begin <= before and halves[0] is None:
        begin += half_a_day
    if end <= begin and halves[1] is None:
        end += half_a_day
    meant = before < begin < end <= _DAY
    return f'did you mean "{clock_words(begin)} to {clock_words(end)}"?' if meant else ""


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
        days: tuple[int | None, ...] = (one.days or (None,)) if one.spans else ()  # refused: none
        again = [day for day in days if day in told]
        if again:
            which = " and ".join("" if day is None else DAYS_OF_WEEK[day] for day in again)
            words = f"the hours of {which or 'all days that are not named'} are told twice"
            spot.inside(at).refuse(words, _ONE_LINE)
        told.update(days)
    return found


HOURS = Parser[tuple[OpenHours, ...]](_read_week, (), _SEVERAL.allowed)
"""When somebody is in the shop."""
