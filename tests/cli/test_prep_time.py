"""`prep` with the time one has: said, put on record, changed, refused."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import pytest

from tests.cli.program import Program
from tests.two_shops import COMBINATION, METRIC

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@pytest.fixture
def kiln(program: Program) -> Program:
    """The program at a metric shop; in all there are 52 minutes of work."""
    program.write("shop.toml", METRIC)
    return program


def pieces(told: dict[str, list[dict[str, str]]]) -> list[str]:
    return [one["target"] for one in told["plan"]]


def test_a_day_begun_for_half_an_hour_is_the_one_that_was_looked_at(kiln: Program) -> None:
    """Not one held to the second: that had no more room for the wax, and ended sooner."""
    looked_at = kiln("prep", "--for", "30min", "--json").json
    begun = kiln("prep", "--for", "30min", "--begin", "--json").json
    assert pieces(looked_at) == pieces(begun) == pieces(kiln("prep", "--json").json)
    assert begun["work_minutes"] == 30
    assert begun["later_minutes"] == 0
    assert [one["target"] for one in begun["not_in_time"]] == ["saw.fence", "hone"]


def test_the_time_that_is_shown_is_the_one_that_was_said(kiln: Program) -> None:
    """A day in progress may run over a little, but the time until is what one said."""
    before = datetime.now(UTC).astimezone()
    lines = kiln("prep", "--begin", "--for", "2 h").out.splitlines()
    after = datetime.now(UTC).astimezone()
    ends = {f"{one.hour}:{one:%M}" for one in (before, after) for one in _rounded(one)}
    until = lines[1].split("until ")[1].rstrip(".")
    assert until.split()[-1] in ends  # late in the evening it is tomorrow's, and says so


def _rounded(now: datetime) -> list[datetime]:
    return [now + timedelta(hours=2, seconds=one) for one in (0, 30)]


def test_another_time_is_put_on_record_and_one_that_is_looked_at_is_not(kiln: Program) -> None:
    kiln("prep", "--begin")
    assert len(pieces(kiln("prep", "--for", "5 min", "--json").json)) == 1
    assert len(pieces(kiln("prep", "--json").json)) == 7
    changed = kiln("prep", "--change-time", "--for", "5 min", "--json").json
    assert pieces(changed) == pieces(kiln("prep", "--json").json) == ["saw.arbor"]
    assert len(pieces(kiln("prep", "--change-time", "--any-hours", "--json").json)) == 7


def test_the_same_uid_for_another_time_is_refused(kiln: Program) -> None:
    """So long from now counts from the first try; days are not minutes."""
    uid = ("--uid", "0123456789abcdef0123456789abcdef")
    assert kiln("prep", "--begin", "--for", "5 min", *uid).code == 0
    assert kiln("prep", "--begin", "--for", "5 min", *uid).code == 0
    for other in (("--for", "2 days"), ("--any-hours",), ("--until", "24:00"), ()):
        assert kiln("prep", "--begin", *other, *uid).code == 2
    assert len(pieces(kiln("prep", "--json").json)) == 1
    other_uid = ("--uid", "fedcba9876543210fedcba9876543210")
    assert kiln("prep", "--change-time", "--for", "2 days", *other_uid).code == 0
    assert kiln("prep", "--change-time", "--for", "2 days", *other_uid).code == 0
    assert kiln("prep", "--change-time", "--for", "3 days", *other_uid).code == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--change-time", "--for", "5min"), "--change-time needs a prep day in progress"),
        (("--begin", "--for", "0"), '"0": it must be more than 0'),
        (("--until", "99pm"), '"99pm": there is no time 99:00 pm: from 1 to 12'),
        (("--until", "45 min"), '"45 min": write a time of today such as "until 17:00"'),
        (("--for", "15 days"), '"15 days": whole days, from 1 to 14'),
        (("--for", "\x1b[31m"), "invisible or control character U+001B"),
        (("--for", "1h", "--until", "17:00"), "not allowed with argument --for"),
        (("--end", "--for", "1h"), "--end takes no time"),
        (("--end", "--any-hours"), "--end takes no time"),
        (("--begin", "--change-time", "--for", "1h"), "only one of --begin"),
    ],
)
def test_what_cannot_be_meant_is_one_sentence(
    kiln: Program, words: tuple[str, ...], said: str
) -> None:
    told = kiln("prep", *words)
    assert told.code == 2
    assert said in told.err
    assert told.err.count("\n") == 1


def test_change_time_needs_a_time(kiln: Program) -> None:
    kiln("prep", "--begin")
    told = kiln("prep", "--change-time")
    assert (told.code, told.out) == (2, "")
    assert "--change-time needs --for, --until or --any-hours" in told.err


@pytest.mark.parametrize(
    ("minutes", "fence", "why"),
    [(12, 12, "no time is left for it in the next 28 days"), (11, 12, "takes longer in one go")],
)
def test_what_fits_on_no_day_says_why(program: Program, minutes: int, fence: int, why: str) -> None:
    """Four openings of 12 minutes in four weeks take no 12 more; of 11 they never do."""
    day = DAYS[(datetime.now(UTC).astimezone().weekday() + 2) % 7]
    hours = f'unit = "mm"\nhours = "{day} 9:00 to 9:{minutes}"'
    program.write("shop.toml", METRIC.replace('unit = "mm"', hours, 1))
    told = program("prep", "--json").json
    risks = {one["target"]: (one["minutes"], one["risk"]) for one in told["not_in_time"]}
    assert risks["saw.fence"][0] == fence
    assert risks["saw.fence"][1].startswith(why)


def test_what_comes_on_another_day_stands_in_its_column(program: Program) -> None:
    """Open on one day of the week, a quarter of an hour: some of it is weeks away."""
    day = DAYS[(datetime.now(UTC).astimezone().weekday() + 2) % 7]
    hours = f'unit = "mm"\nhours = "{day} 9:00 to 9:20"'
    program.write("shop.toml", METRIC.replace('unit = "mm"', hours, 1))
    lines = program("prep").out.splitlines()
    assert lines[1] == f"Closed until {day} 9:00."
    rows = [one for one in lines if "  Sliding saw" in one or "  Thicknesser" in one]
    assert len({one.index("Sliding" if "Sliding" in one else "Thick") for one in rows}) == 1
    assert [one[:5].strip() for one in rows][:2] == ["next", ""]


def test_what_a_day_leaves_till_it_opens_is_told_once(program: Program) -> None:
    """Where why a thing is done says already what is at risk till then, that is not repeated."""
    day = DAYS[(datetime.now(UTC).astimezone().weekday() + 2) % 7]
    hours = f'unit = "mm"\nhours = "{day} 9:00 to 12:00"'
    program.write("shop.toml", METRIC.replace('unit = "mm"', hours, 1))
    program("prep", "--begin")
    rows = [one for one in program("prep").out.splitlines() if f"{day} " in one and "(" in one]
    told = [row.partition("(")[2].rstrip(")").split("; ") for row in rows]
    assert told
    said = [[re.sub("^(till then )?(stays )?", "", one) for one in row] for row in told]
    assert all(len(row) == len({*row}) for row in said)


def test_no_order_is_called_shortest_where_not_all_of_it_fits(kiln: Program) -> None:
    """It stood at 0 minutes there, though null is what the fields say."""
    assert kiln("prep", "--json").json["shortest_minutes"] > 0
    assert kiln("prep", "--for", "30 min", "--json").json["shortest_minutes"] is None


def test_data_and_lines_begin_at_the_same_moment(program: Program) -> None:
    """With a change-over before it; `start` stays what it was: when the work itself begins."""
    program.write("shop.toml", COMBINATION)
    changed = 0
    for one in program("prep", "--json").json["plan"]:
        start, work = (datetime.fromisoformat(one[each]) for each in ("begins", "start"))
        before = one["change_minutes"] and one["change_minutes"] + one["idle_minutes"]
        assert work - start == timedelta(minutes=before)
        assert datetime.fromisoformat(one["end"]) - work == timedelta(minutes=one["minutes"])
        changed += bool(before)
    assert changed
