"""The hours of the shop: what a maker writes of them, and what is refused."""

from __future__ import annotations

import pytest

from shopboard.shop.hours import spans_on
from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text

FILE = '[shop]\nname = "Barn"\nunit = "mm"\nhours = {}\n\n[[machine]]\nname = "Saw"\n'


def week(hours: str) -> list[tuple[tuple[float, float], ...]]:
    """Hours of the day, from Monday on."""
    shop = read_shop_text(FILE.format(hours)).shop
    days = (spans_on(shop.hours, day) for day in range(7))
    return [tuple((begin / 60, end / 60) for begin, end in day) for day in days]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ('"8:00 to 17:00"', [((8, 17),)] * 7),
        ('"8 to 12 and 1 pm to 5:30 pm"', [((8, 12), (13, 17.5))] * 7),
        ('["Mon to Fri 8:00 to 17:00", "Sat 9-12"]', [((8, 17),)] * 5 + [((9, 12),), ()]),
        ('["8.30 to 17.00", "Sun Mon 9 to 10"]', [((9, 10),), *[((8.5, 17),)] * 5, ((9, 10),)]),
        ('"Saturday to monday and Wed 8:00 to 24:00"', [
            *[((8, 24),), (), ((8, 24),), (), (), ((8, 24),), ((8, 24),)],
        ]),
        ('"12 am to 12 pm"', [((0, 12),)] * 7),
        ('["Mon-Fri 8:00 to 17:00", "Sat – Sun 9–12"]', [((8, 17),)] * 5 + [((9, 12),)] * 2),
        ('"8:00 to 12:00 and 12:00 to 17:00"', [((8, 17),)] * 7),
        ('"8 to 12 and 12 to 13 and 14 to 17"', [((8, 13), (14, 17))] * 7),
        ('"8 to 17, pause 12 to 13"', [((8, 12), (13, 17))] * 7),
        ('"8 to 17, pause 10 to 10:30, pause 12 to 1 pm"', [((8, 10), (10.5, 12), (13, 17))] * 7),
        ('"Mon to Fri 8 to 12, 13 to 17"', [((8, 12), (13, 17))] * 5 + [()] * 2),
        ('"0:00 to 24:00"', [((0, 24),)] * 7),
        ('"0:00 to 2:00 and 22:00 to 24:00"', [((0, 2), (22, 24))] * 7),
    ],
)  # fmt: skip
def test_hours_are_read_as_they_are_said(
    typed: str, expected: list[tuple[tuple[float, float], ...]]
) -> None:
    """A day that no line names is that of the line without days, else closed."""
    assert week(typed) == expected


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ('"8 to 5"', 'ends before it begins; from earlier to later; did you mean "8:00 to 17:00"?'),
        ('"22 to 2"', 'from earlier to later; past midnight as in "0:00 to 2:00 and 22:00'),
        (
            '"8 to 12 and 1 to 5"',
            'when those before it are over, or later; did you mean "13:00 to 17:00"?',
        ),
        ('"... 8 to 12"', '"..." is no day of the week'),
        ('"Mon-Fre 8 to 12"', '"Fre" is no day of the week; allowed: Mon, Tue'),
        ('"Monn 8 to 12"', '"Monn" is no day of the week; allowed: Mon, Tue'),
        ('"8 to 12 and 11 to 13"', '"11 to 13" begins before the hours before it are over'),
        ('"22 to 24 and 0 to 2"', '"0 to 2" begins before the hours before it are over; each beg'),
        ('"8 to 12, pause 12 to 13"', '"pause 12 to 13" does not lie within the hours before it'),
        (
            '"8 to 17, pause 12 to 1"',
            'ends before it begins; from earlier to later; did you mean "1',
        ),
        ('"pause 12 to 13"', '"pause" is no day of the week'),
        ('"8 to 12,"', '"" is not from one time to another'),
        ('"Mon 8-12, 13-17, Sat 9-13"', '"Sat 9-13" is of other days'),
        ('"24:00"', '"24:00" is not from one time to another'),
        ('"24:00 to 8:00"', "ends before it begins; from earlier to later; past midnight as in"),
        (
            '["Mon 8 to 9", "Mon 9 to 10"]',
            'of Monday are told twice; one line for each day, as in "8:00 to 12:00 and',
        ),
        ('["8 to 9", "9 to 10"]', "the hours of all days that are not named are told twice"),
        ('"Mon Mon 8 to 9"', "names a day twice"),
        ('"25:00 to 26:00"', "there is no time 25:00; from 0:00 to 24:00"),
        ('"13 pm to 14 pm"', "there is no time 13 pm; from 1 to 12 with am or pm"),
        ('"Mon to Fri"', "has no hours in it"),
        ('"to Fri 8 to 9"', '"to" is no day of the week'),
        ("8", "a number where hours such as"),
        ("[]", "an empty list"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_its_place(typed: str, told: str) -> None:
    with pytest.raises(ShopFileError) as refused:
        week(typed)
    assert told in str(refused.value)


def test_a_line_that_is_refused_tells_nothing_of_other_days() -> None:
    """One mistake, one error: the second line is not told to stand there twice."""
    with pytest.raises(ShopFileError) as refused:
        week('["Mon to Fry 8 to 17", "9 to 12"]')
    assert [one.what for one in refused.value.problems if one.severity == "error"] == [
        '"Fry" is no day of the week'
    ]


def test_a_wait_that_may_end_alone_needs_a_wait() -> None:
    """Glue sets overnight; a step that nobody waits after has nothing that could end."""
    task = '\n[[machine.task]]\nname = "Jig"\nsteps = ["Plane", {{ do = "Glue"{} }}, "Clean"]\n'
    glued = task.format(', wait = "8 h", may_end_alone = true')
    step = read_shop_text(FILE.format('"8 to 17"') + glued).shop.machines[0].tasks[0].steps[1]
    assert (step.words, step.wait_minutes, step.may_end_alone) == ("Glue", 480, True)
    with pytest.raises(ShopFileError, match="may_end_alone without a wait"):
        read_shop_text(FILE.format('"8 to 17"') + task.format(", may_end_alone = true"))


def test_a_wait_may_last_no_longer_than_at_most() -> None:
    task = '\n[[machine.task]]\nname = "Jig"\nsteps = ["Off", {{ do = "Cleaner on"{} }}, "Wipe"]\n'
    soaked = task.format(', wait = "10 min", at_most = "20 min"')
    step = read_shop_text(FILE.format('"8 to 17"') + soaked).shop.machines[0].tasks[0].steps[1]
    assert (step.wait_minutes, step.at_most_minutes) == (10, 20)
    for written, told in (
        (', at_most = "20 min"', "at_most without a wait"),
        (', wait = "10 min", at_most = "5 min"', "at_most is shorter than the wait"),
        (', wait = "10 min", at_most = "soon"', '"soon" is not a wait'),
        (', wait = "10 min", at_most = "1e300 h"', '"1e300 h" is not a wait'),
        (', wait = "10 min", at_most = -3', '"-3" is not a wait'),
        (', wait = "10 min", at_most = "169 h"', "up to 168 h"),
    ):
        with pytest.raises(ShopFileError, match=told) as refused:
            read_shop_text(FILE.format('"8 to 17"') + task.format(written))
        assert sum(one.severity == "error" for one in refused.value.problems) == 1
