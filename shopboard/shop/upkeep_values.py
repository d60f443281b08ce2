"""Kinds of values of tasks and cutters: when something is due, a step, how long an edge lasts."""

from __future__ import annotations

import re
from typing import Literal, cast, get_args

from shopboard.metrology.duration import parse_minutes
from shopboard.metrology.quantity import QuantityError, parse_length
from shopboard.shop.allowed import NUMBER, Allowed, any_case, one_word, typed
from shopboard.shop.kinds import (
    FLAG,
    LONGEST_WORDS,
    NAME,
    WORDS,
    as_text,
    choice,
    list_of,
    text,
    whole,
    word_of,
)
from shopboard.shop.machine import (
    HAPPENINGS,
    CutterKind,
    CutterLeaves,
    CutterMove,
    Leaves,
    Life,
    TaskStep,
)
from shopboard.shop.measures import DAYS, length
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser, Table, read_below, reads

STEP = "[[machine.task.steps]]"
"""Header of a step that is written as a table; it may stand in a line: { do = "Blade off" }."""

STEP_SCHEMA = "#/$defs/machine.task.steps"
"""Where the schema of the shop file says what such a table is."""

LONGEST_RUN = 10_000
"""Hours of running, or projects, between two times of a task."""

LONGEST_WAIT = 7 * 24 * 60
"""Minutes that a task may have to be left alone."""

_COUNTED = re.compile(r"(\d{1,6}(?:\.\d+)?)\s*(hour|h|project|cut)s?", re.IGNORECASE)
_RULE = r"(\d{1,6}(?:\.\d+)?)\s*(hour|hr|h|project|cut)s?"  # made when a shop file needs it
_NO_WAIT = r"\bwait\W*(?:(?:for|about|another|at least)\s+)?(?:\d|an hour|a minute|half|five|ten)"
"""Speaks of a time, but is not written as a wait."""
_WAIT = r"(?:(.+?)[,;:.]?\s+)?wait\s+(?=[\d.])(.+?)\.?"

LONGEST_KIND = 24
"""Characters of a kind of cutter in the shop's own words: it stands before "change"."""


def _read_kind(raw: object, spot: Spot) -> str:
    return text(LONGEST_KIND).read(raw, spot)


def _any_kind() -> Allowed:
    known = one_word(get_args(CutterKind))
    words = f"{known.words}, or words of your own, which need like"
    schema = text(LONGEST_KIND).allowed().schema
    return Allowed(words, known.example, schema, get_args(CutterKind), "like")


CUTTER_KIND = Parser(_read_kind, "blade", _any_kind)
"""A kind of cutter, by the program's words or the shop's own."""
CUTTER_LEAVES = cast(Parser[CutterLeaves], choice(*get_args(CutterLeaves)))
CUTTER_LIKE = cast(Parser[CutterKind], choice(*get_args(CutterKind)))

Rule = tuple[Literal["days", "minutes", "projects"], float]


def _read_rule(raw: object, spot: Spot) -> Rule:
    wanted = 'a rule such as "4 weeks", "40 hours" or "2 projects"'
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        hint = f'did you mean "{shorten(raw)} days" or "{shorten(raw)} hours"?'
        spot.refuse(f"{shorten(raw)} of what?", f"write {wanted}", hint)
    words = as_text(raw, spot, wanted)
    if any(unit in words.lower() for unit in ("day", "week", "month", "year")):
        return "days", DAYS.read(words, spot)
    counted = re.fullmatch(_RULE, words, re.IGNORECASE)
    if counted is None:
        spot.refuse(f"{shorten(words)} is not a rule", f"write {wanted}")
    amount, unit = float(counted[1]), counted[2].lower()
    if unit == "cut":
        spot.refuse("cuts make no task due", f"write {wanted}", "a cutter can last so many cuts")
    if not 0 < amount <= LONGEST_RUN:
        spot.refuse(f"{shorten(words)} is out of range", f"more than 0, up to {LONGEST_RUN:,}")
    if unit == "project":
        if amount != int(amount):
            spot.refuse(f"{shorten(words)} is not a whole number of projects", f"write {wanted}")
        return "projects", amount
    return "minutes", amount * 60


def _rule_allowed() -> Allowed:
    units = "|".join(map(any_case, ("day", "week", "month", "year", "hour", "hr", "h", "project")))
    words = "a time up to 10 years, hours of running up to 10,000 h, or projects"
    return typed(words, '"4 weeks"', rf"^\s*\d+(\.\d+)?\s*({units})[sS]?\s*$")


RULES = list_of(Parser[Rule](_read_rule, ("days", 1), _rule_allowed), least=1)
"""When a task is due: one rule or several, whichever comes first."""


def _wait(typed: str, spot: Spot, words: str, wanted: str) -> float:
    """Read how long something is left alone, minutes."""
    try:
        minutes = parse_minutes(typed, "min")
    except QuantityError as error:
        spot.refuse(f"{shorten(typed)} is not a wait: {error}", wanted)
    if not any(letter.isalpha() for letter in typed):
        meant = f'did you mean "{words} min"?'
        spot.warn(f"a wait of {typed} without a unit", "it is taken as minutes", meant)
    return minutes


def _read_wait(raw: object, spot: Spot) -> float:
    wanted = 'write "10 min" or "2 h"'
    plain = isinstance(raw, int | float) and not isinstance(raw, bool)
    words = shorten(raw) if plain else as_text(raw, spot, 'a wait such as "10 min"')
    minutes = _wait(words, spot, words, wanted)
    if minutes > LONGEST_WAIT:
        spot.refuse(f"{shorten(words)} is too long a wait", "up to 168 h")
    return minutes


WAIT = Parser(
    _read_wait,
    0.0,
    lambda: Allowed(
        "a time up to 168 h; a bare number is minutes",
        '"10 min"',
        {"type": ["string", "number"], "exclusiveMinimum": 0, "pattern": NUMBER},
    ),
)
_LEAVES = cast(Parser[Leaves | None], choice(*get_args(Leaves)))
_MOVE = cast(Parser[CutterMove], choice(*get_args(CutterMove)))


@reads(STEP)
def read_step_table(t: Table) -> TaskStep:
    """Read a step that says more than its words."""
    words, wait = t.take("do", WORDS), t.take("wait", WAIT, 0.0)
    return TaskStep(
        words=words,
        wait_minutes=wait,
        at_most_minutes=_read_at_most(t, wait),
        cutter=t.take("cutter", _MOVE, "stays"),
        leaves=t.take("leaves", _LEAVES, None),
        off_machine=t.take("off_machine", FLAG, False),
        may_end_alone=_read_may_end_alone(t),
    )


def _read_at_most(t: Table, wait: float) -> float | None:
    """Read how long a wait may last at the longest; it is no shorter than the wait."""
    most = t.take("at_most", WAIT, None)
    if most is None:
        return None
    if "wait" not in t.raw:
        t.refuse("at_most", "at_most without a wait", 'write wait = "10 min" beside it')
    elif 0 < most < wait:  # 0: what stands there is refused already
        t.refuse("at_most", "at_most is shorter than the wait", "a time as long as wait, or longer")
    return most


def _read_may_end_alone(t: Table) -> bool:
    """Read whether a wait may end when nobody is there; without a wait nothing ends."""
    may = t.take("may_end_alone", FLAG, False)
    if may and "wait" not in t.raw:
        t.refuse("may_end_alone", "may_end_alone without a wait", 'write wait = "8 h" beside it')
    return may


def _read_step(raw: object, spot: Spot) -> TaskStep:
    if isinstance(raw, dict):
        return read_below(Table(raw, spot.path, STEP, spot.report), read_step_table)
    words = as_text(raw, spot, 'a step such as "Soak, wait 10 min"')
    if len(words) > LONGEST_WORDS:
        spot.refuse(f"{len(words)} characters", f"at most {LONGEST_WORDS}")
    wait = re.fullmatch(_WAIT, words, re.IGNORECASE)
    if wait is None:
        if re.search(_NO_WAIT, words, re.IGNORECASE):
            wanted = 'a clock runs for a wait that ends the step, as "Soak, wait 10 min"'
            spot.warn(f"no clock runs for {shorten(words)}", wanted)
        return TaskStep(words)
    minutes = _wait(wait[2], spot, f"wait {wait[2]}", 'write "Soak, wait 10 min"')
    if minutes > LONGEST_WAIT:
        spot.refuse(f"{shorten(words)} waits too long", "up to 168 h")
    return TaskStep(wait[1] or "Wait", minutes)


def _step_allowed() -> Allowed:
    words = 'words, at most 120 characters, or { do = "...", ... }'
    told = {"type": "string", "minLength": 1, "maxLength": LONGEST_WORDS}
    return Allowed(words, '"Soak, wait 10 min"', {"anyOf": [told, {"$ref": STEP_SCHEMA}]})


STEPS = list_of(Parser(_read_step, TaskStep(""), _step_allowed), least=1)
AFTER = list_of(word_of(HAPPENINGS), least=1)


def _read_life(raw: object, spot: Spot) -> Life:
    wanted = 'a use such as "20 hours", "400 cuts", "2000 ft", "600 m" or "3 projects"'
    words = as_text(raw, spot, wanted)
    counted = _COUNTED.fullmatch(words)
    if counted is None:
        try:
            mm = parse_length(words, None).mm
        except QuantityError:
            spot.refuse(f"{shorten(words)} is not an amount of use", f"write {wanted}")
        if not 0 < mm <= 1e9:
            spot.refuse(f"{shorten(words)} is out of range", f"write {wanted}")
        return Life(mm, "mm", words)
    amount, unit = float(counted[1]), counted[2].lower()
    if not 0 < amount <= 1e6:
        spot.refuse(f"{shorten(words)} is out of range", f"write {wanted}")
    if unit == "project":
        return Life(amount, "projects", words)
    if unit == "cut":
        return Life(amount, "cuts", words)
    return Life(amount * 60, "minutes", words)


LIFE = Parser(
    _read_life,
    Life(60, "minutes", "1 hour"),
    lambda: typed(
        "hours of running, cuts, a length cut, or projects", '"20 hours"', r"\d.*[A-Za-z\"']"
    ),
)


def _read_cost(raw: object, spot: Spot) -> float:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        spot.refuse(f"{shorten(raw)} is not an amount of money", "write a bare number: 18.50")
    if not 0 <= raw <= 1e6:
        spot.refuse(f"{shorten(raw)} is out of range", "from 0 to 1,000,000")
    return float(raw)


COST = Parser(
    _read_cost,
    0.0,
    lambda: Allowed(
        "a bare number, up to 1,000,000",
        "18.50",
        {"type": "number", "minimum": 0, "maximum": 1e6},
    ),
)
EDGES = whole(1, 4)
KNIVES = whole(1, 200)
EACH = list_of(NAME, least=1)
SHARPENINGS = whole(0, 1000)
BLADE_WIDTH = length(0.3, 20, "[0.087 in|2.2 mm]")
