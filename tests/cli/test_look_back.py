"""Past days, changes between them, names that the file no longer has, and the clock."""

from __future__ import annotations

import platform
import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from shopboard.journal import NewEntry, new_uid, open_journal
from shopboard.upkeep.happenings import record_happening
from tests.cli.program import FENCE_OUT, FENCE_TRUE, SHOP, Program
from tests.cli.test_hostile import EVIL, is_harmless
from tests.journal.helpers import Clock


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let local time be UTC, wherever the tests run."""
    monkeypatch.setenv("TZ", "UTC")
    if hasattr(time, "tzset"):
        time.tzset()
    yield
    monkeypatch.undo()
    if hasattr(time, "tzset"):
        time.tzset()


class At:
    """Commands at set times: the clock of the open shop is the test's."""

    def __init__(self, program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
        from shopboard.open_shop import OpenShop

        self.program, self.clock = program, Clock()
        real = OpenShop.__init__

        def init(this: OpenShop, *args: object, **more: object) -> None:
            real(this, *args, clock=self.clock, **more)  # type: ignore[arg-type, misc]

        monkeypatch.setattr(OpenShop, "__init__", init)

    def day(self, number: int) -> At:
        """Set the clock to noon of a day of June 2026."""
        self.clock.now = datetime(2026, 6, number, 12, tzinfo=UTC)
        return self

    def uid(self, point: str) -> str:
        return str(self.program("history", point, "--json").json["results"][0]["uid"])


@pytest.fixture
def at(program: Program, monkeypatch: pytest.MonkeyPatch) -> At:
    return At(program, monkeypatch)


def a_month(at: At, program: Program) -> None:
    """Record a fence that is out on 3 June, withdrawn on the 5th, true on the 7th."""
    at.day(3)
    program.check("jointer.fence", FENCE_OUT)
    at.day(5)
    program("void", "jointer.fence", at.uid("jointer.fence"), "--reason", "wrong leaf")
    at.day(7)
    program.check("jointer.fence", FENCE_TRUE)
    at.day(20)


def state_on(program: Program, day: str) -> tuple[str, str | None]:
    data = program("status", "--on", day, "--json").json
    (jointer,) = [one for one in data["machines"] if one["id"] == "jointer"]
    (fence,) = jointer["points"]
    return fence["state"], fence["taken_back_since"]


def test_status_on_a_past_day_tells_what_was_known_then(at: At, program: Program) -> None:
    a_month(at, program)
    assert state_on(program, "2026-06-02") == ("unproven", None)
    assert state_on(program, "2026-06-03") == ("out", "wrong leaf")
    assert state_on(program, "2026-06-03 11:59") == ("unproven", None)
    assert state_on(program, "2026-06-03 12:00") == ("out", "wrong leaf")
    assert state_on(program, "2026-06-05") == ("unproven", None)
    assert state_on(program, "13") == ("true", None)
    assert state_on(program, "now") == ("true", None)


def test_status_on_a_past_day_in_lines(at: At, program: Program) -> None:
    """A machine a line, its points below, ages as of then; what is said goes to stderr."""
    a_month(at, program)
    ran = program("status", "--on", "2026-06-04")
    lines = ran.out.splitlines()
    assert lines[0].startswith("out  ")
    assert "(jointer), " in lines[0]
    assert "(jointer.fence): " in lines[1]
    assert "36 hours ago" in lines[1] or "35 hours ago" in lines[1]
    assert lines[1].endswith("WITHDRAWN SINCE: wrong leaf")
    assert "the end of Thu 4 Jun 2026" in ran.err
    assert "as in the shop file today" in ran.err
    assert "Nothing was on record by then." in program("status", "--on", "300").err


def test_the_exit_code_is_that_of_the_day(at: At, program: Program) -> None:
    a_month(at, program)
    assert program("status", "--on", "2026-06-03", "--exit-code").code == 1


def test_changes_tell_then_now_and_what_happened(at: At, program: Program) -> None:
    a_month(at, program)
    ran = program("changes", "2026-06-03")
    lines = ran.out.splitlines()
    assert lines[0].split()[:4] == ["jointer.fence", "out", "->", "true"]
    assert [line.split("  ")[2] for line in lines[1:]] == [
        "2026-06-05 12:00",
        "2026-06-07 12:00",
    ]
    assert "result of Wed 3 Jun 2026 withdrawn: wrong leaf" in lines[1]
    assert "checked, as-found: true" in lines[2]
    assert "1 point changed" in ran.err
    assert program("changes", "2026-06-07").out == ""


def test_changes_tell_tags_clearings_knocks_and_hours(at: At, program: Program) -> None:
    at.day(3)
    program("tag", "saw", "guard is off")
    at.day(5)
    program("tag", "saw", "--clear", "guard is on")
    program("--who", "bench 2", "happened", "saw", "knocked", "--note", "by a board")
    program("happened", "jointer", "hours run", "2.5")
    ran = program("changes", "2026-06-03")
    assert "0 points changed" in ran.err
    assert ran.out.splitlines() == [
        "saw                      Table saw",
        "    2026-06-05 12:00  tag cleared: guard is on",
        "    2026-06-05 12:00  knocked, by a board (by bench 2)",
        "jointer                  Jointer",
        "    2026-06-05 12:00  hours run, 2.5 h",
    ]
    (saw,) = program("changes", "2026-06-02", "2026-06-03", "--json").json["machines"]
    assert (saw["id"], [one["what"] for one in saw["happened"]]) == (
        "saw",
        ["DO NOT USE: guard is off"],
    )


def test_changes_between_two_days_as_json(at: At, program: Program) -> None:
    a_month(at, program)
    data = program("changes", "2026-06-02", "2026-06-04", "--json").json
    (fence,) = data["points"]
    assert (fence["id"], fence["before"]["state"], fence["after"]["state"]) == (
        *("jointer.fence", "unproven", "out"),
    )
    assert fence["after"]["taken_back_since"] == "wrong leaf"
    (event,) = fence["happened"]
    assert event["taken_back"] == "wrong leaf"
    assert datetime.fromisoformat(event["when"]) == datetime(2026, 6, 3, 12, tzinfo=UTC)
    assert datetime.fromisoformat(data["to"]) < datetime(2026, 6, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("status", "--on", "2026-02-30"), "there is no day 2026-02-30"),
        (("status", "--on", "soon"), "soon is not a day"),
        (("status", "--on", ""), "--on is empty"),
        (("status", "--on", "2126-01-01"), "still to come"),
        (("status", "--on", EVIL), "is not a day"),
        (("changes", "2026-06-05", "2026-06-01"), "the earlier day first"),
        (("changes", EVIL), "is not a day"),
        (("changes", "3", EVIL), "is not a day"),
        (("changes",), "FROM"),
    ],
)
def test_a_day_that_cannot_be_is_refused_in_one_line(
    at: At, program: Program, words: tuple[str, ...], says: str
) -> None:
    at.day(20)
    ran = program(*words)
    assert ran.code == 2
    assert says in ran.err
    assert len(ran.err.splitlines()) == 1
    assert is_harmless(ran)


OLD_FENCE = 'id = "fence"\nname = "Fence at 90"'


def rename(program: Program, lines: str) -> None:
    """Give the jointer's fence another id."""
    text = SHOP.replace(OLD_FENCE, f'{lines}\nname = "Fence at 90"')
    assert text != SHOP
    program.write("shop.toml", text)


def test_a_renamed_point_has_its_history_by_both_names(program: Program) -> None:
    program.check("jointer.fence", FENCE_OUT)
    rename(program, 'id = "guide"\nwas = "fence"')
    assert "out" in program("history", "jointer.guide").out
    assert program("history", "jointer.fence").out == program("history", "jointer.guide").out
    assert program("points", "--retired").out == ""
    ran = program("check", "jointer.fence")
    assert ran.code == 2
    assert "no point 'jointer.fence'; it is jointer.guide now" in ran.err
    uid = program("history", "jointer.guide", "--json").json["results"][0]["uid"]
    assert program("void", "jointer.guide", uid, "--reason", "a trial").code == 0


def test_a_name_that_was_lost_is_noticed_in_proofreading(program: Program) -> None:
    """At the place where `was` goes; not where the file is not the journal's."""
    program.check("jointer.fence", FENCE_OUT)
    assert "warning" not in program("proofread").err
    rename(program, 'id = "fences"')
    ran = program("proofread")
    assert ran.code == 0
    line = program.shop.read_text().splitlines().index('id = "fences"') + 1
    assert f"shop.toml:{line}:6: warning: records of jointer.fence are not in the file" in ran.err
    assert 'did it become jointer.fences? write was = "fence" below its id' in ran.err
    assert "records of" not in program.bare("proofread", str(program.shop)).err
    named = program.bare("proofread", str(program.shop), "--journal", str(program.journal))
    assert "records of" in named.err


def test_retired_points_are_listed_with_what_they_became(program: Program) -> None:
    program.check("jointer.fence", FENCE_OUT)
    rename(program, 'id = "fences"')
    ran = program("points", "--retired")
    assert ran.out.split()[0] == "jointer.fence"
    assert "out" in ran.out
    assert "did it become jointer.fences?" in ran.out
    (one,) = program("points", "--retired", "--json").json["retired"]
    assert (one["id"], one["name"], one["became"], one["was"]) == (
        *("jointer.fence", "Fence at 90", "jointer.fences", "fence"),
    )
    assert "out" in program("history", "jointer.fence").out


def test_an_older_journal_s_names_are_harmless(program: Program) -> None:
    """Ids, names and reasons that some program let through."""
    program.check("jointer.fence", FENCE_OUT)
    journal = open_journal(program.journal, Clock())
    (entry,) = journal.recent("check", "jointer", "fence")
    begun = journal.recent("begin", "jointer", "fence")[0]
    for place in (("jointer", EVIL), (EVIL, "x"), (f"jointer{EVIL}", "fence")):
        journal.append(
            [
                NewEntry(new_uid(), "begin", *place, {**begun.body, "name": EVIL}),
                NewEntry(new_uid(), "check", *place, {**entry.body, "verdict": EVIL}),
            ]
        )
    journal.void(entry.uid, EVIL)
    record_happening(journal, EVIL, EVIL)
    journal.close()
    for words in (
        *(("points", "--retired"), ("points", "--retired", "--json"), ("proofread",)),
        *(("changes", "365"), ("changes", "365", "--json"), ("status", "--on", "now")),
    ):
        ran = program(*words)
        assert ran.code == 0, ran.err
        assert is_harmless(ran)


def test_the_clock_command_tells_what_is_wrong_and_sets_it_right(at: At, program: Program) -> None:
    at.day(3)
    program.check("jointer.fence", FENCE_TRUE)
    ran = program("clock")
    assert ran.code == 0
    assert "2026-06-03 12:00 (UTC, UTC+00:00)" in ran.out
    assert ran.err == ""
    assert "nothing was recorded" in program("clock", "--right").err
    at.clock.now = datetime(2099, 1, 1, tzinfo=UTC)
    program.check("jointer.fence", FENCE_TRUE)
    at.day(4)
    assert "shopboard clock --right" in program("clock").err
    assert "Recorded" in program("clock", "--right").err
    assert program("clock").err == ""
    assert state_on(program, "now") == ("true", None)
    at.clock.now = datetime(1970, 1, 1, tzinfo=UTC)
    ran = program("clock", "--right")
    assert ran.code == 2
    assert "that cannot be" in ran.err


def test_a_result_of_a_wrong_clock_is_marked_in_the_history(at: At, program: Program) -> None:
    at.day(7)
    program.check("jointer.fence", FENCE_TRUE)
    at.day(3)
    assert program("status").err.startswith(
        "The clock looks wrong: it says Wed 3 Jun 2026, 12:00, the newest"
    )
    assert "The clock looks wrong" in program.check("jointer.fence", FENCE_TRUE).err
    lines = program("history", "jointer.fence").out.splitlines()
    assert "  2026-06-03 12:00? as-found" in lines[0]
    assert "  2026-06-07 12:00  as-found" in lines[1]
    told = program("history", "jointer.fence", "--json").json["results"]
    assert [one["clock_ok"] for one in told] == [False, True]


def test_the_clock_command_names_another_computer(
    at: At, program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(platform, "node", lambda: "laptop")
    at.day(3)
    program.check("jointer.fence", FENCE_TRUE)
    monkeypatch.setattr(platform, "node", lambda: EVIL)
    ran = program("clock")
    assert "another computer (laptop), on Wed 3 Jun 2026" in ran.err
    program.check("jointer.fence", FENCE_TRUE)
    monkeypatch.setattr(platform, "node", lambda: "laptop")
    assert is_harmless(program("clock"))
    assert "another computer" in program("clock").err


def test_the_help_says_the_rule_of_times(program: Program) -> None:
    assert "local time" in " ".join(program.bare("--help").out.split())
    words = " ".join(program.bare("clock", "--help").out.split())
    assert "Order is by recording, never by the clock" in words
