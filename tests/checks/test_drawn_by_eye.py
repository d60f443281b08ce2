"""What is looked at or timed is drawn as it is asked and as it was found: knives in a seat, a run.

Where light must show, which end stands off and how far a limit is are read from the characters.
"""

from __future__ import annotations

import pytest

from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.explained import explained
from shopboard.checks.methods.seating import LOOKED_AT, METHOD, YES
from shopboard.checks.steps import Finding
from shopboard.checks.told import number_words
from shopboard.metrology.conformity import Tolerance
from tests.builders import make_job
from tests.checks.machines import measured, walked
from tests.checks.read_drawings import first, last, where
from tests.checks.tables import table_job

JOB = table_job(tolerance=YES, cutter_near=True)
GOOD = {"unplugged": "plug out", "care": "understood", **{key: "yes" for key, _, _ in LOOKED_AT}}


def asked(key: str) -> Lines:
    """The drawing of one question, as a person meets it."""
    said = {one: GOOD[one] for one in [*GOOD][: [*GOOD].index(key)]}
    step = walked("seating", JOB, said).step
    assert step is not None
    assert step.key == key
    assert len(step.diagram) < len(step.large)
    return step.diagram


def found(*wrong: str) -> tuple[Finding, Lines]:
    """The drawing of a result in which these are not as they should be."""
    step = walked("seating", JOB, {**GOOD, **dict.fromkeys(wrong, "no")}).findings[0]
    return step, step.diagram


def under_the_knife(rows: Lines) -> int:
    """How many rows lie open between knife and seat, seen from the end of the head."""
    knife = max(at for at, row in enumerate(rows) if "═" in row)
    seat = min(at for at, row in enumerate(rows) if row.startswith("▒"))
    return seat - knife - 1


def off_the_seat(rows: Lines, column: int) -> float:
    """How far the knife stands off the seat in a column, in rows, seen along its length."""
    seat = next(at for at, row in enumerate(rows) if row.count("▒") > 9)
    low = max(at for at in range(seat) if rows[at][column : column + 1] in tuple("█▄▀"))
    return seat - 1 - low + (0.5 if rows[low][column] == "▀" else 0.0)


def test_what_is_said_and_not_measured_has_no_number_beside_its_verdict() -> None:
    """Not a word "no" below "OUT": it would answer a question that nobody asked."""
    for wrong in ((), ("light",)):
        step, _ = found(*wrong)
        assert number_words(step.outcome, "mm") == ()


def test_light_is_drawn_between_knife_and_seat_and_nowhere_else() -> None:
    """The clamp lies on the knife either way; the place to look is at the foot of the gap."""
    before = asked("light")
    step, after = found("light")
    assert "light under a knife" in step.outcome.lean
    assert (under_the_knife(before), under_the_knife(after)) == (0, 1)
    for rows in (before, after):
        clamp = max(at for at, row in enumerate(rows) if "█" in row)
        knife = next(at for at, row in enumerate(rows) if "═" in row)
        assert knife == clamp + 1
        ((column, row),) = where(rows, "●")
        assert row == knife + 1
        seat = next(one for one in rows if one.startswith("▒"))
        assert column == last(seat, "▒") + 1
        assert "light" in rows[row]
    assert ("exaggerated" in before[-1], "exaggerated" in after[-1]) == (False, True)


def test_a_knife_that_is_not_on_its_pins_stands_off_at_one_end() -> None:
    """Down on the seat at every column before; then at one end, where the mark is."""
    before = asked("pins")
    step, after = found("pins")
    assert "not on its pins" in step.outcome.lean
    ends = (1, 26)
    assert [off_the_seat(before, at) for at in ends] == [0, 0]
    near, far = (off_the_seat(after, at) for at in ends)
    assert near == 0 < far
    ((column, row),) = [place for place in where(after, "●") if place[1]]
    assert off_the_seat(after, column - 1) > 0
    assert "▒" in after[row + 1]
    pins = {at for at, _ in where(before, "▲") if at > 1}
    assert {at for at, row in where(before, "●") if row} == pins  # each pin is looked at


def test_a_nick_is_drawn_in_the_edge() -> None:
    """Seen from the front the edge is above; it is whole until somebody says that it is not."""
    before = asked("edges")
    step, after = found("edges")
    assert "nicked" in step.outcome.lean
    edge = next(at for at, row in enumerate(before) if "█" in row)
    assert "▄" not in before[edge]
    ((column, row),) = [place for place in where(after, "●") if place[1]]
    assert after[edge][column] == "▄"
    assert row == edge - 1


@pytest.mark.parametrize(("key", "marked"), [
    ("clean", {"clamp", "knife", "seat"}), ("screws", {"screws"}),
])  # fmt: skip
def test_the_part_that_is_asked_about_is_marked(key: str, marked: set[str]) -> None:
    for rows in (asked(key), found(key)[1]):
        assert {row.split("●")[1].split()[0] for row in rows if "●" in row} == marked


def test_of_several_the_first_is_drawn_and_of_none_nothing() -> None:
    """A result whose knives are all seated has nothing to point at."""
    assert found("screws", "light")[1] == found("light")[1]
    assert found()[1] == ()
    done = walked("seating", JOB, {**GOOD, "light": "no", "next": "adjust"}).answered
    (put_right,) = [step for step, _ in done if step.key == "left.adjust"]
    assert put_right.diagram == found("light")[1]


def test_where_light_would_show_is_what_a_shop_file_is_told() -> None:
    assert explained("seating").drawn == METHOD.sketch(JOB, AtStep("light"), 1)


# ---------------------------------------------------------------- a time

TEN = make_job(tolerance=Tolerance(0.0, 10.0, "0 to 10 s", "time"))


def timed(at: str, time: float = 0.0, size: int = 1, low: float = 0.0) -> Lines:
    job = TEN._replace(tolerance=Tolerance(low, 10.0, "", "time"))
    return measured("timed").sketch(job, AtStep(at, 1, {"time": time}), size)


@pytest.mark.parametrize("size", [1, 2])
@pytest.mark.parametrize("time", [0.1, 2.0, 6.0, 9.0, 10.0, 12.0, 20.0, 60.0])
def test_the_limit_stands_where_it_is_on_the_scale_of_the_time(time: float, size: int) -> None:
    """Two marks: off, and at rest; from the first to the limit is limit / time of that, a cell."""
    rows = timed(FOUND, time, size)
    (off, _), (stop, _) = where(rows, "●")
    limit = rows[4 * size - 1].index("│")
    assert (limit - off) * time == pytest.approx((stop - off) * 10, abs=max(time, 10))
    assert "limit 10 s" in rows[0]
    bottom = rows[4 * size - 1]
    assert last(bottom, "▒▄") < max(stop, limit + 1)
    assert (stop > limit) is (time > 10)


def test_it_falls_from_full_speed_to_rest() -> None:
    """Full up to where it is switched off, then ever less, and nothing once the watch stops."""
    rows = timed("time")
    (off, _), (stop, _) = where(rows, "●")
    tops = [min(at for at, row in enumerate(rows[:5]) if row[column : column + 1] in tuple("▒▄═"))
            for column in range(off, stop + 1)]  # fmt: skip
    assert tops == sorted(tops)
    assert (tops[0], tops[-1]) == (0, 4)


@pytest.mark.parametrize(("at", "now"), [("run", 1), ("off", 1), ("time", 2)])
def test_what_is_done_now_is_marked(at: str, now: int) -> None:
    """At full speed; at the switch; from the switch to the standstill."""
    rows = timed(at)
    marks = where(rows, "●")
    assert len(marks) == now
    full = first(rows[0], "▄")  # where the speed begins to fall
    assert (marks[0][0] + 2 < full) is (at == "run")


def test_a_time_below_its_lower_limit_is_drawn_to_that() -> None:
    """Words and drawing speak of one limit."""
    assert "limit 4 s" in timed(FOUND, 2.0, low=4.0)[0]
    assert "limit 10 s" in timed(FOUND, 8.0, low=4.0)[0]
