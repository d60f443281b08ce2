"""What stands in a body and is not as it was ever written counts as not told, at each limit.

A later program, or a hand in the file, may have written anything: nothing of it is taken for
another value. Which kinds mean what is said here of those that `test_kind_rows.py` leaves out.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from shopboard.journal import Entry, kinds
from shopboard.journal.kinds import check, rounds

NOW = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)

YES = {
    "check": "export status voidable follows_renames",
    "cutter": "at_machine status voidable follows_renames",
    "round": "at_machine status",
}


@pytest.mark.parametrize("name", YES)
def test_what_a_result_a_cutter_and_a_round_answer(name: str) -> None:
    """A result is gone by on the board and in `export`; a round is of the machine as a whole."""
    row = kinds.NAMED[name]
    yes = {one for one, answer in row._asdict().items() if answer is True}
    assert yes == {*YES[name].split()}


def test_the_way_of_a_change_is_of_its_machine_alone() -> None:
    """In the place of no cutter; what it leaves is told by the cutter's own entry."""
    yes = {one for one, answer in kinds.CHANGE_WAY._asdict().items() if answer is True}
    assert yes == {"at_machine", "status"}
    assert kinds.CHANGE_WAY.name == kinds.CUTTER.name


RESULT: dict[str, object] = {
    "v": 1,
    "method": "square",
    "run": "as-left",
    "kind": "angle",
    "unit": "nrad",
    "error": -1200,
    "even": [3, 4],
    "sigma": 5,
    "expanded": 10,
    "k": 2.0,
    "dof": None,
    "budget": [["leaf", 3], ["square", 4]],
    "budget_ids": ["leaf", "square"],
    "tolerance": {"typed": "0.1 deg", "low": -7, "high": None},
    "level": 0.95,
    "probability": 0.9,
    "verdict": "true",
    "lean": "it leans",
    "note": "damp",
    "working": ["a", "b"],
    "readings": {"leaf_um": 3},
}


def read(**changed: object) -> kinds.KeptResult:
    return check.CHECK.of_body({**RESULT, **changed})


def test_a_result_is_read_field_by_field() -> None:
    result = read()
    assert result[:9] == ("square", "as-left", "angle", -1200, (3, 4), 5, 10, "true", "it leans")
    assert (result.size, result.u_repeat, result.k, result.dof) == (False, None, 2.0, None)
    assert result.budget == (("leaf", 3), ("square", 4))
    assert result.budget_ids == ("leaf", "square")
    assert result.tolerance == kinds.KeptTolerance("0.1 deg", -7, None)
    assert (result.level, result.probability, result.note) == (0.95, 0.9, "damp")
    assert (result.working, result.readings) == (("a", "b"), {"leaf_um": 3})
    assert (result.holds, result.measured_on) == (None, "")


@pytest.mark.parametrize("key", ["method", "run", "kind", "error", "sigma", "expanded", "lean"])
def test_a_result_without_one_of_these_cannot_be_read(key: str) -> None:
    with pytest.raises(kinds.UnreadableBodyError):
        check.CHECK.of_body({one: value for one, value in RESULT.items() if one != key})


@pytest.mark.parametrize("version", [None, 0, 2, "1"])
def test_a_result_of_a_later_version_cannot_be_read(version: object) -> None:
    with pytest.raises(kinds.UnreadableBodyError, match="of a later version"):
        read(v=version)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("error", 1.5),
        ("sigma", None),
        ("even", [1.5]),
        ("kind", "colour"),
        ("kind", []),
        ("budget", [["leaf"]]),
        ("budget", [["leaf", 1.5]]),
        ("u_of_change", None),
        ("tolerance", {"low": 1}),
    ],
)
def test_a_result_that_is_none_cannot_be_read(key: str, value: object) -> None:
    with pytest.raises(kinds.UnreadableBodyError, match="not a check's result"):
        read(**{key: value})


@pytest.mark.parametrize(
    ("changed", "field", "value"),
    [
        ({"even": None}, "even", ()),
        ({"size": True}, "size", True),
        ({"size": 1}, "size", False),
        ({"u_of_change": 7}, "u_repeat", 7),
        ({"k": "2"}, "k", 0.0),
        ({"k": 2}, "k", 2.0),
        ({"dof": 7}, "dof", 7.0),
        ({"dof": "7"}, "dof", None),
        ({"budget": None}, "budget", ()),
        ({"budget": None}, "budget_ids", None),
        ({"budget_ids": None}, "budget_ids", None),
        ({"budget_ids": ["leaf"]}, "budget_ids", None),
        ({"budget_ids": "ab"}, "budget_ids", None),
        ({"tolerance": None}, "tolerance", None),
        ({"tolerance": {"typed": 1, "low": 1.0}}, "tolerance", ("1", None, None)),
        ({"tolerance": {"typed": "", "low": 0, "high": 9}}, "tolerance", ("", 0, 9)),
        ({"verdict": None}, "verdict", None),
        ({"kind": "note", "verdict": "true"}, "verdict", "noted"),
        ({"readings": []}, "readings", {}),
        ({"holds": "long"}, "holds", None),
        ({"measured_on": "planer"}, "measured_on", "planer"),
    ],
)
def test_what_of_a_result_is_not_as_written_is_not_told(
    changed: dict[str, object], field: str, value: object
) -> None:
    assert getattr(read(**changed), field) == value


HOLDS: dict[str, object] = {"days": 30, "minutes": None, "total_minutes": 90.5, "why": "it wanders"}


@pytest.mark.parametrize(
    ("changed", "holds"),
    [
        ({}, (30, None, 90.5, "it wanders")),
        ({"days": 1}, (1, None, 90.5, "it wanders")),
        ({"days": 100_000}, (100_000, None, 90.5, "it wanders")),
        ({"days": 0}, None),
        ({"days": 100_001}, None),
        ({"days": True}, None),
        ({"days": 1.0}, None),
        ({"days": None}, None),
        ({"days": None, "minutes": 1}, (None, 1, 90.5, "it wanders")),
        ({"days": None, "minutes": 6_000_000}, (None, 6_000_000, 90.5, "it wanders")),
        ({"days": None, "minutes": 6_000_001}, None),
        ({"days": None, "minutes": 0}, None),
        ({"days": 0, "minutes": 7}, (None, 7, 90.5, "it wanders")),
        ({"days": 5, "minutes": 7}, (5, 7, 90.5, "it wanders")),
        ({"total_minutes": 0}, (30, None, 0.0, "it wanders")),
        ({"total_minutes": -0.1}, None),
        ({"total_minutes": 1e12}, None),
        ({"total_minutes": 999_999_999_999}, (30, None, 999_999_999_999.0, "it wanders")),
        ({"total_minutes": "9"}, None),
        ({"why": None}, (30, None, 90.5, "")),
    ],
)
def test_how_long_a_result_holds_at_its_limits(
    changed: dict[str, object], holds: tuple[object, ...] | None
) -> None:
    """A hundred thousand days, or as many hours of running, are the most."""
    assert read(holds={**HOLDS, **changed}).holds == holds


def entry(body: Mapping[str, object], kind: str = "check") -> Entry:
    return Entry(7, "u", NOW, kind, "saw", "blade", "", dict(body), None, clock_ok=True)


def test_what_was_judged_is_told_of_what_cannot_be_read() -> None:
    for body, verdict in (
        ({"verdict": "near", "v": 9}, "near"),
        ({"verdict": None}, ""),
        ({}, ""),
        ({"kind": "note", "verdict": "true"}, "noted"),
    ):
        assert check.verdict_in(body) == verdict


def test_a_result_that_came_from_another_machine_says_so_and_is_recorded_without() -> None:
    told = check.measured_on(entry(RESULT), "planer")
    assert check.CHECK.read(told).measured_on == "planer"
    assert told.body == {**RESULT, "measured_on": "planer"}
    assert told.seq == 7
    again = check.CHECK.said_in(told, check.CHECK.read(told))
    assert "measured_on" not in again.body
    assert again.body == RESULT


def test_nothing_is_written_of_what_is_not_told() -> None:
    body = check.CHECK.write(read())
    assert {"size", "u_of_change", "holds", "measured_on"}.isdisjoint(body)
    more = read(size=True, u_of_change=0, holds=HOLDS)
    body = check.CHECK.write(more)
    assert (body["size"], body["u_of_change"], body["holds"]) == (True, 0, HOLDS)
    assert "budget_ids" not in check.CHECK.write(read(budget_ids=None))


ROUND: dict[str, object] = {
    "v": 1,
    "did": "answer",
    "key": "guard",
    "text": "yes",
    "round": "daily",
    "number": 3,
    "of": 5,
    "answers": {"guard": "yes"},
    "wrong": ["fence"],
    "decided": {"fence": "tagged"},
    "older": {"push": {"text": "no", "wrong": False, "when": NOW.isoformat()}},
    "finished": False,
}


def kept_round(**changed: object) -> kinds.RoundKept:
    return kinds.ROUND.of_body({**ROUND, **changed})


def test_a_round_is_read_field_by_field() -> None:
    said = kinds.Did("answer", "guard", "yes")
    older = {"push": kinds.EarlierAnswer("no", NOW, False)}
    assert kept_round() == kinds.RoundKept(
        said, "daily", 3, 5, False, {"guard": "yes"}, ("fence",), {"fence": "tagged"}, older
    )
    without = {key: value for key, value in ROUND.items() if key != "did"}
    assert kinds.ROUND.of_body(without).number == 4  # the first was not counted once
    assert kept_round(finished=True).finished
    assert not kept_round(finished=1).finished
    assert kept_round(answers=None, decided=3, older=[]) == kept_round()._replace(
        answers={}, decided={}, older={}
    )


@pytest.mark.parametrize(
    "changed", [{"v": 2}, {"v": None}, {"of": "5"}, {"of": True}, {"number": 3.0}, {"number": None}]
)
def test_a_round_of_a_later_version_cannot_be_read(changed: dict[str, object]) -> None:
    with pytest.raises(kinds.UnreadableBodyError, match="a safety walk of a later version"):
        kept_round(**changed)


@pytest.mark.parametrize(
    ("told", "earlier"),
    [
        ({"text": "no", "wrong": True}, ("no", None, True)),
        ({"text": "no"}, ("no", None, True)),
        ({"text": "no", "wrong": 0}, ("no", None, True)),
        ({"wrong": False, "when": "once"}, ("", None, False)),
        ("no", ("", None, True)),
    ],
)
def test_an_earlier_answer_that_does_not_say_so_was_not_as_wanted(
    told: object, earlier: tuple[object, ...]
) -> None:
    assert kept_round(older={"push": told}).older["push"] == earlier


def test_how_far_a_round_was_is_told_of_one_that_cannot_be_read() -> None:
    for body, told in (
        (ROUND, (1, "5")),
        ({"of": "many", "answers": {"a": 1, "b": 2}}, (2, "many")),
        ({"answers": [1]}, (0, "0")),
        ({"answers": {"a": 1}}, (1, "1")),
    ):
        assert rounds.answered_of(body) == told


NOT_TOLD: list[tuple[Any, dict[str, object], str, object]] = [
    (kinds.MOVED, {"salvaged": 1}, "by_salvage", False),
    (kinds.TAG, {"out_of_use": 1}, "out_of_use", False),
    (kinds.TAG, {"out_of_use": True}, "out_of_use", True),
    (kinds.BEGIN, {"study": 1}, "study", False),
    (kinds.BEGIN, {"study": True, "from_file": True}, "from_file", True),
    (kinds.BEGIN, {"from_file": "yes"}, "from_file", False),
    (kinds.BEGIN, {"need": []}, "need", None),
    (kinds.BEGIN, {"need": {}}, "need", {}),
    (kinds.HAPPENING, {"total": None}, "total", 0.0),
    (kinds.HAPPENING, {}, "total", None),
    (kinds.HAPPENING, {"amount": True}, "amount", None),
    (kinds.PREP, {"what": "paused"}, "what", ""),
    (kinds.PREP, {"allow_open": 1}, "allow_open", False),
    (kinds.PAUSE, {"away": 1}, "away", False),
    (kinds.PAUSE, {"away": True, "since": "noon"}, "since", None),
    (kinds.TASK_STEP, {"step": "2"}, "step", None),
    (kinds.TASK_STEP, {"step": 2, "wait": "long"}, "wait", None),
    (kinds.CUTTER, {"edge": True}, "edge", None),
    (kinds.CUTTER, {"edge": 2.0}, "edge", None),
    (kinds.CUTTER, {"sharpenings_left": True}, "sharpenings_left", None),
    (kinds.CUTTER, {"sharpenings_left": 0}, "sharpenings_left", 0),
    (kinds.CUTTER, {"where": "in the sea"}, "where", None),
    (kinds.CUTTER, {"state": "blunt"}, "state", None),
    (kinds.CUTTER, {"lives": {}}, "lives", ()),
    (kinds.CUTTER, {"lives": [3, {"cuts": 4}]}, "lives", (kinds.CutterUse(cuts=4.0),)),
    (kinds.CUTTER, {"looked": []}, "looked", kinds.CutterUse()),
    (kinds.CUTTER, {"looked": {"mm": 3}}, "looked", kinds.CutterUse(mm=3.0)),
    (kinds.CUTTER, {"minutes": -1, "cuts": 0, "mm": 1e12}, "use", kinds.CutterUse()),
    (kinds.CUTTER, {"mm": 999_999_999_999}, "use", kinds.CutterUse(mm=999_999_999_999.0)),
    (kinds.CUTTER, {"cost": "much"}, "cost", 0.0),
    (kinds.CUTTER, {"cost": None}, "cost", None),
    (kinds.CHANGE_WAY, {"edge": True}, "edge", 1),
    (kinds.CHANGE_WAY, {"edge": 3}, "edge", 3),
    (kinds.CHANGE_WAY, {"n": True}, "n", 1),
    (kinds.CHANGE_WAY, {"n": 5}, "n", 6),
    (kinds.CHANGE_WAY, {"n": 5, "did": "back"}, "n", 5),
    (kinds.CHANGE_WAY, {"open": 1, "off_is_done": 1}, "open", False),
    (kinds.CHANGE_WAY, {"off_is_done": 1}, "off_is_done", False),
    (kinds.CHANGE_WAY, {"off_is_done": True}, "off_is_done", True),
    (kinds.CHANGE_WAY, {}, "on_state", "sharp"),
    (kinds.ANSWER, {"prepares": 1}, "prepares", False),
    (kinds.ANSWER, {"after_pause": 1}, "after_pause", False),
    (kinds.ANSWER, {"did": "dance"}, "what", "answer"),
    (kinds.BACK, {"did": "dance"}, "what", "back"),
    (kinds.END, {"did": "begin", "why": "x"}, "what", "begin"),
    (kinds.END, {"text": "y", "why": "x"}, "text", "y"),
    (kinds.SALVAGED, {"found": "5"}, "found", 0),
    (kinds.SALVAGED, {"missing_in_all": "5"}, "missing_in_all", None),
    (kinds.SALVAGED, {"missing": {}}, "missing", ()),
    (kinds.SALVAGED, {"missing": [3, {"first": 1}, {"last": 2}]}, "missing", ()),
    (
        kinds.SALVAGED,
        {"missing": [{"first": 1, "last": 2, "certain": 1}]},
        "missing",
        (kinds.Lost(1, 2),),
    ),
    (
        kinds.SALVAGED,
        {"missing": [{"first": 1, "last": 2, "certain": True, "kind": "tag"}]},
        "missing",
        (kinds.Lost(1, 2, "tag", certain=True),),
    ),
]


@pytest.mark.parametrize(("row", "body", "field", "value"), NOT_TOLD)
def test_what_is_not_as_written_is_not_told(
    row: kinds.EntryKind[Any], body: dict[str, object], field: str, value: object
) -> None:
    found = getattr(row.of_body({"v": 1, **body}), field)
    assert found == value
    assert type(found) is type(value)


def test_use_is_counted_unit_by_unit() -> None:
    use = kinds.CutterUse(1.0, 2.0, 3.0, 4.0)
    for at, unit in enumerate(("minutes", "cuts", "mm", "projects")):
        assert use.of(unit) == at + 1  # type: ignore[arg-type]
        more = use.plus(unit, 10.0)  # type: ignore[arg-type]
        assert [new - old for new, old in zip(more, use, strict=True)] == [
            *(10.0 * (one == at) for one in range(4))
        ]
    assert kinds.CutterSaid("used").is_use
    assert not kinds.CutterSaid("sharpened").is_use


def test_a_day_that_is_said_later_is_written_with_its_zone_and_a_note_where_there_is_one() -> None:
    on = NOW - timedelta(days=2)
    done = kinds.TaskDone(60.0, 2.0, "wet", on)
    body = kinds.TASK.write(done)
    assert body == {
        "v": 1,
        "minutes": 60.0,
        "projects": 2.0,
        "note": "wet",
        "on": "2026-02-27T09:30:00+00:00",
    }
    assert kinds.TASK.write(kinds.TaskDone(0.0, 0.0)) == {"v": 1, "minutes": 0.0, "projects": 0.0}


def test_which_row_an_entry_has_is_told_by_kind_and_place() -> None:
    assert kinds.row_of("cutter", "") is kinds.CHANGE_WAY
    assert kinds.row_of("cutter", "rip") is kinds.CUTTER
    assert kinds.row_of("check", "") is kinds.CHECK
    assert kinds.row_of("later", "") is None
    assert kinds.point_of("check") == "point"
    assert kinds.point_of("cutter") == "cutter"
    assert kinds.point_of("glue-up") == "joint"
    assert kinds.point_of("prep") == kinds.point_of("later") == "nothing"


ANSWERS_YES = {
    **YES,
    "moved": "undoes status follows_renames",
    "remark": "export follows_renames",
    "void": "export status follows_renames",
    "begin": "status follows_renames",
    "answer": "follows_renames",
    "back": "follows_renames",
    "end": "at_machine status follows_renames",
    "task": "at_machine status voidable follows_renames",
    "task-begin": "status follows_renames",
    "task-step": "at_machine status follows_renames",
    "task-end": "status follows_renames",
    "happening": "undoes at_machine status voidable",
    "tag": "status",
    "prep": "voidable",
    "glue-up": "voidable follows_renames",
    "clock": "status",
    "computer": "",
    "salvaged": "status",
}


@pytest.mark.parametrize("name", ANSWERS_YES)
def test_of_a_body_that_says_nothing_the_row_alone_tells(name: str) -> None:
    """Whatever a later program wrote: what its kind means does not hang on it."""
    row = kinds.NAMED[name]
    with suppress(kinds.UnreadableBodyError):
        assert row.of_body({"v": 9}) is not None
    assert {one for one, answer in row._asdict().items() if answer is True} == {
        *ANSWERS_YES[name].split()
    }
