"""The picture of a point through the years: exactly on small cases, and by property."""

from __future__ import annotations

import math
import re
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.painted import Line
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.quantity import Unit
from shopboard.reports.plot import plot_lines
from shopboard.reports.plot_marks import cells
from shopboard.reports.plot_scene import SPANS, Span
from shopboard.reports.trace import Setting, Trace
from tests.in_turn import part
from tests.reports.pictures import MARKS, NOW, TEN, Seen, event, result, story

ALLOWED = re.compile(r"[ -~\u00a0-\u00ff\u2500-\u257f\u2580-\u259f]*")
"""ASCII, Latin-1, box drawing, block elements."""


def texts(lines: list[Line]) -> list[str]:
    return ["".join(text for text, _ in line).rstrip() for line in lines]


SMALL = story(
    result(1, 1461, 2, 4, sitting="a"),
    result(2, 1000, 12, 3, verdict="near", sitting="b"),
    result(3, 1000, -1, 3, run="as-left", sitting="b"),
    result(4, 400, 9, 2, void="wrong leaf"),
    result(6, 200, 18, 2, verdict="out", sitting="c"),
    events=[event(5, 300), event(7, 100, "knocked", undoes=False)],
)


def test_a_small_picture_sign_by_sign() -> None:
    """Four years of a point: set once, voided once, a blade changed, out at last."""
    assert texts(plot_lines(SMALL, "inch", NOW, (60, 20))) == [
        " thou/ft  1 Jun 2022 to 1 Jun 2026   tolerance 10 thou/ft",
        "        │░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "     +20┤░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░│░░░░░░",
        "        │░░░░░░░░░░░░░░░░│░░░░░░░░░░░░░░░░░░░░░░░░░░░▞░░░░░░",
        "        │░░░░░░░░░░░░░░░░▒░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "     +10┤────────────────║────────────────────×─────────────",
        "        ││               ║                       ┊",
        "        │█               ║                       ┊",
        "       0┤│   ·   ·   ·   █   ·   ·   ·   ·   ·   ┊   ·   ·",
        "        ││               │                       ┊",
        "        │                                        ┊",
        "     -10┤───────────────────────────────────────────────────",
        "        │░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "        └─┬─────┬─────┬──────┬─────┬─────┬──────┬─────┬─────",
        "          Jul   2023  Jul    2024  Jul   2025   Jul   2026",
        "     set                 v",
        "happened                                         A      B",
        " A blade changed   B knocked   █ true   ▒ borderline   ▞ out",
        " │ U, 95 %   ║ set: as found to as left   × withdrawn",
        " ░ out of tolerance",
    ]


def test_the_same_picture_in_ascii_alone() -> None:
    """Sign for sign in the same places."""
    drawn = plot_lines(SMALL, "inch", NOW, (60, 20))
    plain = plot_lines(SMALL, "inch", NOW, (60, 20), plain=True)
    assert all(text.isascii() for text in texts(plain))
    assert len(drawn) == len(plain)
    seen = Seen(drawn)
    for before, after in zip(seen.rows, texts(plain)[1 : seen.floor], strict=True):
        mapped = before.translate(str.maketrans("█▒▞×│┃║─░·┊", "#%/x|IH-:.'")).rstrip()
        assert after[seen.edge + 1 :] == mapped


@pytest.mark.parametrize("width", [40, 80, 160, 200])
@pytest.mark.parametrize("height", [8, 24, 48, 60])
def test_nothing_at_all_is_still_a_picture(width: int, height: int) -> None:
    """A point that was never checked: its tolerance over the time, and no mark."""
    seen = Seen(plot_lines(story(), "inch", NOW, (width, height)))
    assert len(seen.limits()) == 2
    assert not set(MARKS) & set("".join(seen.rows))


def test_one_result_alone_stands_where_it_was_found() -> None:
    """At the left end of the time since, in the row of its value."""
    seen = Seen(plot_lines(story(result(1, 30, 5)), "inch", NOW, (80, 24)))
    top, cell = seen.scale()
    (row,) = seen.marks(0)
    assert abs(top - row * cell - 5) <= cell / 2
    assert not any(seen.marks(column) for column in range(1, seen.columns))


def test_equal_values_lie_on_one_row() -> None:
    """Whatever their number; without tolerance and without uncertainty the axis has a height."""
    trace = story(*(result(n, 100 - n, 7.25) for n in range(1, 51)), tolerance=None)
    seen = Seen(plot_lines(trace, "inch", NOW, (80, 24)))
    top, cell = seen.scale()
    rows = {row for column in range(seen.columns) for row in seen.marks(column)}
    assert len(rows) == 1
    assert abs(top - rows.pop() * cell - 7.25) <= cell / 2
    assert cell < 0.2


def test_the_axis_of_time_is_true() -> None:
    """Two results within two months, one ten years later: close together, and far apart."""
    trace = story(result(1, 3700, 1), result(2, 3640, 1), result(3, 10, 1))
    seen = Seen(plot_lines(trace, "inch", NOW, (113, 24)))
    marked = [column for column in range(seen.columns) if seen.marks(column)]
    assert seen.columns == 104
    assert marked == [0, int(60 / 3700 * 104), int(3690 / 3700 * 104)]


def test_five_thousand_results_show_lowest_highest_and_reach_of_each_column() -> None:
    """Nothing is averaged away: one wild result among a hundred is seen."""
    records = [
        result(n, 5000 - n, 3 * math.sin(n) + (40 if n == 2500 else 0), 1.5, verdict="true")
        for n in range(1, 5001)
    ]
    seen = Seen(plot_lines(story(*records), "inch", NOW, (100, 40)))
    top, cell = seen.scale()
    columns: dict[int, list[float]] = {}
    for one in records:
        share = (one.when - records[0].when) / (NOW - records[0].when)
        column = min(int(share * seen.columns), seen.columns - 1)
        columns.setdefault(column, []).append(12000 * math.tan(one.error))
    for column, values in columns.items():
        rows = seen.marks(column)
        assert abs(top - rows[0] * cell - max(values)) <= cell / 2 + 1e-6
        assert abs(top - rows[-1] * cell - min(values)) <= cell / 2 + 1e-6
        drawn = [at for at, sign in enumerate(seen.column(column)) if sign in f"{MARKS}│┃"]
        assert drawn == list(range(drawn[0], drawn[-1] + 1))
        assert abs(top - drawn[0] * cell - (max(values) + 1.5)) <= cell / 2 + 1e-3
        assert abs(top - drawn[-1] * cell - (min(values) - 1.5)) <= cell / 2 + 1e-3
    assert max(columns, key=lambda n: max(columns[n])) == int(2499 / 4999 * seen.columns)


def test_results_that_share_a_column_are_joined_from_lowest_to_highest() -> None:
    """Not set between them: a thick line, and what it means."""
    trace = story(result(1, 900, 8, 1), result(2, 900, -8, 1), result(3, 900, 0, 1))
    seen = Seen(plot_lines(trace, "inch", NOW, (80, 30)))
    high, low = seen.marks(0)
    assert set(seen.column(0)[high + 1 : low]) == {"┃"}
    assert "┃ from lowest to highest" in " ".join(seen.texts)


ANGLES = st.floats(-300, 300, allow_nan=False)
SIZES = st.tuples(st.integers(40, 200), st.integers(8, 60))
VERDICTS = st.sampled_from(["true", "near", "out", "later word"])
RESULTS = st.lists(
    st.tuples(
        st.floats(0, 3653),
        ANGLES,
        st.floats(0, 30),
        VERDICTS,
        st.sampled_from([None, None, None, "wrong leaf"]),
        st.booleans(),
    ),
    max_size=30,
)
EVENTS = st.lists(
    st.tuples(st.floats(0, 3653), st.sampled_from(["blade changed", "knocked"]), st.booleans()),
    max_size=12,
)
LIMITS = st.sampled_from(
    [None, TEN, Tolerance(0, TEN.high, "0 to 10 thou/ft"), Tolerance(-0.05, 0.0, "-600 to 0")]
)


@st.composite
def traces(draw: st.DrawFn) -> Trace:
    told = sorted(draw(RESULTS), reverse=True, key=lambda one: one[0])
    records = [
        result(
            n,
            days,
            thou,
            u,
            verdict=verdict,
            void=void,
            run="as-left" if left and n > 1 else "as-found",
            sitting=f"v{n - 1 if left else n}",
        )
        for n, (days, thou, u, verdict, void, left) in enumerate(told, 1)
    ]
    records = [
        one._replace(uid=f"{records[at - 1].uid.rpartition('-')[0]}-{one.seq}")
        if one.run == "as-left"
        else one
        for at, one in enumerate(records)
    ]
    events = [event(1000 + n, *one) for n, one in enumerate(draw(EVENTS))]
    return story(*records, events=events, tolerance=draw(LIMITS))


@given(traces(), SIZES, st.sampled_from(SPANS), st.sampled_from(["inch", "mm"]), st.booleans())
@settings(max_examples=part(300), deadline=None)
def test_the_picture_fills_its_frame_and_no_more(
    trace: Trace, size: tuple[int, int], span: Span, unit: Unit, plain: bool
) -> None:
    """Any history, any size: so many lines, none wider, nothing but the signs that are allowed."""
    lines = plot_lines(trace, unit, NOW, size, span, plain=plain)
    assert len(lines) == size[1]
    for text in texts(lines):
        assert cells(text) <= size[0]
        assert text.isascii() if plain else ALLOWED.fullmatch(text)


@given(traces(), SIZES, st.sampled_from(SPANS))
@settings(max_examples=part(300), deadline=None)
def test_every_result_lies_in_the_cell_of_its_value_and_time(
    trace: Trace, size: tuple[int, int], span: Span
) -> None:
    """Within half a cell of what the labels say, read from the picture alone."""
    seen = Seen(plot_lines(trace, "inch", NOW, size, span))
    if len(seen.labels()) < 2:
        return  # too low for two round numbers: the next test has every height
    top, cell = seen.scale()
    standing = [one for one in trace.records if one.void is None]
    days = {"year": 365, "quarter": 91}.get(span)
    start = (
        NOW - timedelta(days=days)
        if days
        else min((one.when for one in standing or trace.records), default=NOW)
    )
    start = min(start, NOW - timedelta(hours=8))
    columns: dict[int, list[float]] = {}
    for one in standing:
        if one.when >= start:
            at = (one.when - start) / (NOW - start) * seen.columns
            column = min(int(at), seen.columns - 1)
            columns.setdefault(column, []).append(12000 * math.tan(one.error))
    for column in range(seen.columns):
        rows = seen.marks(column)
        values = columns.get(column, [])
        assert bool(rows) == bool(values)
        if values:
            assert abs(top - rows[0] * cell - max(values)) <= cell / 2 + 1e-6
            assert abs(top - rows[-1] * cell - min(values)) <= cell / 2 + 1e-6


@given(
    st.integers(2, 57),
    st.floats(-1e6, 1e6, allow_nan=False),
    st.floats(0, 1e6, allow_nan=False),
    st.sampled_from([0.02, 0.5, 100.0]),
)
@settings(max_examples=part(500), deadline=None)
def test_an_axis_holds_both_ends_and_says_what_is_at_its_rows(
    rows: int, low: float, span: float, least: float
) -> None:
    """At any height; a label is the value at the middle of its row, to the digits it shows."""
    from shopboard.reports.value_axis import value_axis

    axis = value_axis(low, low + span, rows, least)
    assert axis.holds(low)
    assert axis.holds(low + span)
    for value in (low, low + span, low + span / 3):
        assert abs(axis.middle(axis.row(value)) - value) <= axis.cell * (0.5 + 1e-6)
    for row in range(rows):
        label = axis.label(row, signed=True)
        if label:
            assert float(label) == pytest.approx(axis.middle(row), rel=1e-9, abs=axis.cell * 1e-6)


def test_a_limit_is_drawn_in_its_row_and_shaded_beyond() -> None:
    """One-sided, too: 0 is a limit then."""
    trace = story(result(1, 30, 5), tolerance=Tolerance(0.0, TEN.high, "0 to 10 thou/ft"))
    seen = Seen(plot_lines(trace, "inch", NOW, (80, 30)))
    top, cell = seen.scale()
    high, low = seen.limits()
    assert abs(top - high * cell - 10) <= cell / 2
    assert abs(top - low * cell - 0) <= cell / 2
    assert set(seen.rows[high]) == set(seen.rows[low]) == {"─"}
    assert all(set(row) == {"░"} for row in seen.rows[:high] + seen.rows[low + 1 :])
    assert not any("░" in row for row in seen.rows[high:low])


def test_what_was_set_and_what_happened_stand_below_their_time() -> None:
    """Which way it was set; the letter of what happened, and the words for it."""
    records = [
        result(1, 300, 9, sitting="a"),
        result(2, 300, 1, sitting="a", run="as-left"),
        result(3, 150, -9, sitting="b"),
        result(4, 150, 2, sitting="b", run="as-left"),
        result(9, 10, 2),
    ]
    events = [event(5, 100), event(6, 50, "machine moved"), event(7, 50, "knocked", undoes=False)]
    trace = story(*records, events=events)
    trace = trace._replace(settings=(*trace.settings, Setting(10, NOW - timedelta(days=5), 0.001)))
    lines = plot_lines(trace, "inch", NOW, (80, 24))
    seen = Seen(lines)

    def column(days_ago: float) -> int:
        return int((300 - days_ago) / 300 * seen.columns)

    strip = {
        name.strip(): "".join(text for text, _ in line)[seen.edge + 1 :]
        for line in lines
        for name, _ in line[:1]
    }
    assert {n: sign for n, sign in enumerate(strip["set"]) if sign != " "} == {
        column(300): "v",
        column(150): "^",
        column(5): "?",
    }
    assert {n: sign for n, sign in enumerate(strip["happened"]) if sign != " "} == {
        column(100): "A",
        column(50): "*",
    }
    words = " ".join(seen.texts[seen.floor :])
    for told in ("A blade changed", "B machine moved", "C knocked", "* several", "? set, not"):
        assert told in words
    assert set(seen.column(column(150))) >= {"║", "█"}
    assert "┊" in seen.column(column(100))


def test_verdicts_are_told_apart_without_colour() -> None:
    """By the sign of the mark, with its word below."""
    records = [result(n, 50 * n, 0, verdict=v) for n, v in enumerate(("true", "near", "out"), 1)]
    for plain in (False, True):
        lines = texts(plot_lines(story(*records), "inch", NOW, (80, 24), plain=plain))
        told = " ".join(lines)
        signs = [re.search(rf"(\S) {word}\b", told) for word in ("true", "borderline", "out")]
        assert len({one[1] for one in signs if one}) == 3


def test_what_the_picture_leaves_out_is_said() -> None:
    """A voided typing error far off, another kind of value, another tolerance, a wrong clock."""
    records = [
        result(1, 300, 1, tolerance="5 thou/ft"),
        result(2, 200, 1),
        result(3, 20000, 2, clock_ok=False),
        result(4, 150, 90000, void="typed an inch too many"),
        result(5, 100, 3, kind="length"),
    ]
    seen = Seen(plot_lines(story(*records), "inch", NOW, (80, 24)))
    told = " ".join(" ".join(seen.texts[seen.floor :]).split())
    assert "1 judged by another tolerance then" in told
    assert "1 with the clock wrong" in told
    assert "1 withdrawn, off the picture" in told
    assert "1 of another kind of value, left out" in told
    marked = [column for column in range(seen.columns) if seen.marks(column)]
    assert marked == [0, int(100 / 300 * seen.columns)]  # that of 20000 days ago beside the second


def test_older_results_than_are_kept_are_said_to_be_left_out() -> None:
    from shopboard.reports.trace import trace_of

    records = [result(n, 100 - n, 1) for n in range(1, 21)]
    trace = trace_of(records, [], [event(1, 99)], TEN, most=10)
    assert [one.seq for one in trace.records] == list(range(11, 21))
    assert trace.events == ()
    assert "older results left out" in " ".join(texts(plot_lines(trace, "inch", NOW, (80, 24))))


@pytest.mark.parametrize(("kind", "words"), [("yes or no", ("yes", "no")), ("note", ("noted",))])
def test_what_was_said_has_words_for_an_axis(kind: str, words: tuple[str, ...]) -> None:
    """A yes and a no lie on rows of their own; there is no tolerance and no uncertainty."""
    limits = Tolerance(-0.5, 0.5, "yes", kind)  # type: ignore[arg-type]
    records = [
        result(n, 100 - n, float(n == 2 and kind != "note"), 3, kind=kind)  # type: ignore[arg-type]
        for n in (1, 2, 3)
    ]
    seen = Seen(plot_lines(story(*records, tolerance=limits), "inch", NOW, (80, 24)))
    assert {text[: seen.edge].strip() for text in seen.texts[1 : seen.floor]} - {""} == set(words)
    assert "░" not in "".join(seen.rows)
    rows = {row for column in range(seen.columns) for row in seen.marks(column)}
    assert len(rows) == len(words)


@pytest.mark.parametrize(
    ("kind", "unit", "symbol", "shown"),
    [
        ("angle", "mm", "mm/m", 5 / 12),
        ("length", "inch", "thou", 5 / 25.4 * 1000),
        ("length", "mm", "mm", 5.0),
        ("stress", "inch", "psi", 5 * 145.0377377),
        ("time", "inch", "s", 5.0),
    ],
)
def test_the_axis_is_in_the_shops_unit(kind: str, unit: Unit, symbol: str, shown: float) -> None:
    """5 thou/ft, mm, MPa or s, by the factors of NIST SP 811 (from memory)."""
    trace = story(result(1, 30, 5, kind=kind), tolerance=None)  # type: ignore[arg-type]
    seen = Seen(plot_lines(trace, unit, NOW, (80, 40)))
    assert seen.texts[0].split()[0] == symbol
    top, cell = seen.scale()
    (row,) = seen.marks(0)
    assert abs(top - row * cell - shown) <= cell / 2 + 1e-9


def test_text_of_the_journal_and_the_shop_file_is_harmless_in_a_picture() -> None:
    """What happened, a tolerance and a verdict may hold anything."""
    evil = "\x1b[2J\u202e evil"
    limits = TEN._replace(typed=evil)
    trace = story(result(1, 30, 5, verdict=evil), events=[event(2, 9, evil)], tolerance=limits)
    for plain in (False, True):
        for text in texts(plot_lines(trace, "inch", NOW, (200, 24), plain=plain)):
            assert text.isprintable()


@pytest.mark.parametrize("thou", [1e300, -1e13, 1e-300])
def test_values_that_no_machine_has_break_nothing(thou: float) -> None:
    """Left out when they are too far to draw, and said so."""
    trace = story(result(1, 30, 5, kind="length"), result(2, 20, thou, kind="length"),
                  tolerance=None)  # fmt: skip
    told = " ".join(texts(plot_lines(trace, "mm", NOW, (80, 24))))
    assert ("1 too far out to draw" in told) == (abs(thou) > 1)
