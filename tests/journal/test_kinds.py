"""Every kind of entry has its row, each row answers everything, and what is written is read."""

from __future__ import annotations

import ast
import json
import types
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.journal import Entry, kinds
from shopboard.journal.kinds import EntryKind
from tests.in_turn import examples

PACKAGE = Path(__file__).parents[2] / "shopboard"

ROWS = (*kinds.ALL, *kinds.BESIDE)


@pytest.mark.parametrize("row", ROWS, ids=lambda one: f"{one.name} {one.point}")
def test_a_row_answers_every_question(row: EntryKind[Any]) -> None:
    """The type checker asks for each; this holds that it can ask, and what may be answered."""
    assert EntryKind._field_defaults == {}
    hints = get_type_hints(EntryKind)
    asked = {name: hint for name, hint in hints.items() if name not in ("write", "of_body")}
    assert len(asked) >= 11
    for name, hint in asked.items():
        answer = getattr(row, name)
        allowed = get_args(hint) if get_origin(hint) is Literal else (answer,)
        assert answer in allowed
        assert isinstance(answer, bool if hint is bool else str)


def test_a_name_has_one_row() -> None:
    assert len(kinds.NAMED) == len(kinds.ALL)


@pytest.mark.parametrize("row", ROWS, ids=lambda one: f"{one.name} {one.point}")
def test_what_follows_renames_is_what_an_id_of_the_shop_file_stands_for(
    row: EntryKind[Any],
) -> None:
    assert row.follows_renames == (row.point in ("point", "task", "cutter", "any of them", "joint"))


NEW_HERE = {"journal/kinds/row.py", "journal/acts.py"}
"""Where an entry is made of what a row wrote, or of what stands on record."""


def calls(name: str) -> Iterator[tuple[str, ast.Call]]:
    """Give each call of something in the package, with its file."""
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if name.strip(".") not in text:
            continue
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Call) and ast.unparse(node.func).endswith(name):
                yield path.relative_to(PACKAGE).as_posix(), node


def test_nothing_is_written_but_by_a_row() -> None:
    assert {name for name, _ in calls("NewEntry")} == NEW_HERE


def test_every_row_stands_in_the_table() -> None:
    rows = [*calls("EntryKind"), *calls("._replace")]
    made = [
        ast.unparse(one.value)
        for name, call in rows
        for one in call.keywords
        if one.arg == "name" and name.startswith("journal/kinds/")
    ]
    assert len(made) == len(ROWS)
    assert {one.strip("'") for one in made} == set(kinds.NAMED)


ASKED = {"latest", "recent", "machine_entries", "newest", "between"}
"""What the journal is asked by kind."""


def known_by_a_word(tree: ast.Module) -> Iterator[ast.expr]:
    """Give what a kind is asked for by, where it stands in the code as a word."""
    for node in ast.walk(tree):
        said: list[ast.expr] = []
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            said = node.args[:1] if node.func.attr in ASKED else []
        elif isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            said = sides if any(ast.unparse(one).endswith(".kind") for one in sides) else []
        for inner in (inner for one in said for inner in ast.walk(one)):
            if isinstance(inner, ast.Constant) and inner.value in kinds.NAMED:
                yield inner


def test_no_kind_is_known_by_a_word_outside_of_the_table() -> None:
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if not any(one in text for one in (".kind", *(f".{asked}(" for asked in ASKED))):
            continue
        found = [*known_by_a_word(ast.parse(text))]
        assert not found, f"{path}, line {found[0].lineno}"
    assert len([*known_by_a_word(ast.parse('a.recent("check"); b.kind in ("tag", "end")'))]) == 3


TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=40)
NUMBER = st.floats(-1e9, 1e9, allow_nan=False)
TIME = st.datetimes(
    datetime(1990, 1, 1),  # noqa: DTZ001 - with the zones below
    datetime(2190, 1, 1),  # noqa: DTZ001
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=-9, minutes=-30))]),
)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | NUMBER | TEXT,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3),
    max_leaves=6,
)


tried = examples(2)


def some(hint: Any) -> st.SearchStrategy[Any]:
    """Give anything that a field of a value can hold."""
    if hint in PLAIN:
        return PLAIN[hint]
    if get_origin(hint) is Literal:
        return st.sampled_from(get_args(hint))
    if get_origin(hint) in (types.UnionType, Union):
        return st.one_of(*(some(one) for one in get_args(hint)))
    if get_origin(hint) is get_origin(Mapping[str, str]):
        return st.dictionaries(TEXT, some(get_args(hint)[1]), max_size=4)
    if get_origin(hint) is tuple and get_args(hint)[1:] == (...,):
        return st.lists(some(get_args(hint)[0]), max_size=4).map(tuple)
    if get_origin(hint) is tuple:
        return st.tuples(*(some(one) for one in get_args(hint)))
    fields = {name: some(each) for name, each in get_type_hints(hint).items()}
    return st.builds(hint, **fields)


PLAIN: dict[Any, st.SearchStrategy[Any]] = {
    str: TEXT,
    bool: st.booleans(),
    int: st.integers(-(2**53), 2**53),
    float: NUMBER,
    datetime: TIME,
    type(None): st.none(),
    Mapping[str, str]: st.dictionaries(TEXT, TEXT, max_size=4),
    kinds.Holds: st.builds(
        kinds.Holds,
        st.none() | st.integers(1, 100_000),
        st.integers(1, 6_000_000),
        st.floats(0, 1e9),
        TEXT,
    ),
    kinds.CutterUse: st.builds(kinds.CutterUse, *[st.floats(0, 1e9)] * 4),
    Mapping[str, object]: st.dictionaries(TEXT, JSON, max_size=4),
}


def as_kept(value: Any) -> Any:
    """Leave out what nothing is told of: a prep day that ends is told by that alone."""
    if isinstance(value, kinds.PrepAct) and value.what not in ("begun", "time"):
        return kinds.PrepAct(value.what, left=value.left)
    if isinstance(value, kinds.PrepAct):
        return value._replace(days=value.days if 0 < value.days < 1000 else 0, left=())
    if isinstance(value, kinds.CutterSaid) and value.cost is not None:
        return value._replace(cost=abs(value.cost))  # nobody is paid for sharpening
    if isinstance(value, kinds.KeptResult):
        ids = None if value.budget_ids is None else tuple(one for one, _ in value.budget)
        verdict = "noted" if value.kind == "note" else value.verdict  # once it said "true"
        return value._replace(measured_on="", budget_ids=ids, verdict=verdict)
    return value


@pytest.mark.parametrize("row", ROWS, ids=lambda one: f"{one.name} {one.point}")
@tried
@given(data=st.data())
def test_what_is_written_is_read(row: EntryKind[Any], data: st.DataObject) -> None:
    value = as_kept(data.draw(some(get_type_hints(row.of_body)["return"])))
    text = as_json(row.new("uid", value, "saw").body)
    body = json.loads(text)
    assert row.of_body(body) == value
    assert body["v"] == 1
    assert as_json(row.write(row.of_body(body))) == text


def as_json(body: Mapping[str, object]) -> str:
    """Write a body as the journal does."""
    return json.dumps(dict(body), ensure_ascii=False, allow_nan=False, sort_keys=True)


def entry(kind: str, body: dict[str, object]) -> Entry:
    """Give an entry as it stands on record."""
    when = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
    return Entry(7, "uid", when, kind, "saw", "blade", "", body, None, clock_ok=True)


ON = datetime(2026, 2, 1, 17, 0, tzinfo=UTC)

EARLIER = [
    (kinds.MOVED, {"v": 1}, kinds.PointMoved()),
    (kinds.MOVED, {"v": 1, "salvaged": True}, kinds.PointMoved(by_salvage=True)),
    (kinds.REMARK, {"v": 1, "words": "damp day"}, kinds.Remark("damp day")),
    (kinds.VOID, {"v": 1, "reason": "a slip"}, kinds.TakenBack("a slip")),
    (kinds.CLOCK, {"v": 1}, kinds.Bare()),
    (kinds.COMPUTER, {"v": 1, "name": "bench"}, kinds.ComputerName("bench")),
    (kinds.HAPPENING, {"v": 1, "what": "knocked"}, kinds.WhatHappened("knocked")),
    (
        kinds.HAPPENING,
        {"v": 1, "what": "hours run", "amount": 30, "total": 90.5, "on": ON.isoformat()},
        kinds.WhatHappened("hours run", 30.0, 90.5, on=ON),
    ),
    (
        kinds.HAPPENING,
        {"v": 1, "what": "note", "note": "a hum"},
        kinds.WhatHappened("note", note="a hum"),
    ),
    (kinds.TASK, {"v": 1}, kinds.TaskDone(0.0, 0.0)),
    (kinds.TASK, {"v": 1, "minutes": 60, "projects": 2}, kinds.TaskDone(60.0, 2.0)),
    (kinds.TAG, {"v": 1, "out_of_use": True, "why": "guard"}, kinds.Tagged(True, "guard")),
    (kinds.PREP, {"v": 1, "what": "ended"}, kinds.PrepAct("ended")),
    (
        kinds.PREP,
        {"v": 1, "what": "begun", "project": "", "allow_open": False, "finish": None},
        kinds.PrepAct("begun"),
    ),
    (kinds.PAUSE, {"v": 1, "away": True, "since": None}, kinds.Pause(away=True, since=None)),
    (
        kinds.CUTTER,
        {"v": 1, "what": "used", "of": "hours run", "amount": 3, "minutes": 9.0, "edge": 2},
        kinds.CutterSaid(
            "used", edge=2, use=kinds.CutterUse(minutes=9.0), amount=3.0, of="hours run"
        ),
    ),
    (
        kinds.CUTTER,
        {
            "v": 1,
            "what": "send out",
            "where": "at the sharpener",
            "state": "dull",
            "edge": 1,
            "minutes": 0.0,
            "cuts": 0.0,
            "mm": 0.0,
            "projects": 0.0,
            "sharpenings_left": None,
            "lives": [{"minutes": 600.0, "cuts": 0.0, "mm": 0.0, "projects": 1.0}],
            "cost": 18.5,
            "sent": ON.isoformat(),
            "note": "a nick",
            "paid": 18.5,
        },
        kinds.CutterSaid(
            *("send out", "at the sharpener", "dull", 1),
            lives=(kinds.CutterUse(600.0, projects=1.0),),
            cost=18.5,
            sent=ON,
            note="a nick",
            paid=18.5,
        ),
    ),
    (kinds.BEGIN, {"v": 1, "method": "square"}, kinds.CheckBegun("square")),
    (kinds.ANSWER, {"v": 1, "key": "light", "text": "top"}, kinds.Did("answer", "light", "top")),
    (kinds.BACK, {"v": 1, "key": "light"}, kinds.Did("back", "light")),
    (kinds.END, {"v": 1, "why": "finished"}, kinds.Did("end", text="finished")),
    (kinds.TASK_END, {"v": 1, "why": "abandoned"}, kinds.Did("end", text="abandoned")),
    (kinds.TASK_STEP, {"v": 1, "step": 2}, kinds.TaskStepDone(kinds.Did("answer"), 2)),
    (
        kinds.TASK_STEP,
        {"v": 1, "step": 1, "wait": 0.0},
        kinds.TaskStepDone(kinds.Did("answer"), 1, 0.0),
    ),
]
"""What journals hold."""


@pytest.mark.parametrize(("row", "body", "value"), EARLIER)
def test_what_was_written_before_is_read(
    row: EntryKind[Any], body: dict[str, object], value: object
) -> None:
    assert row.read(entry(row.name, body)) == value


@pytest.mark.parametrize("row", ROWS, ids=lambda one: f"{one.name} {one.point}")
@tried
@given(body=st.dictionaries(TEXT | st.sampled_from(["what", "missing", "on", "step"]), JSON))
def test_no_body_is_an_error_where_a_kind_has_none(row: EntryKind[Any], body: Any) -> None:
    try:
        row.of_body(body)
    except kinds.UnreadableBodyError:
        assert row.name in ("check", "round")
