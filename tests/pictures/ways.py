"""The way to every screen; one that has none fails ``tests/board/test_pictures.py``."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from typing import NamedTuple

from shopboard.board import doors
from shopboard.checks.registry import names
from shopboard.checks.steps import Finding, Step
from shopboard.handbook.topics import TOPICS
from shopboard.journal import open_journal
from shopboard.open_shop import OpenShop
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import REASONS, record_tag
from tests.board.conftest import Place
from tests.pictures import going
from tests.pictures.going import Go, glue_up, point, show, stay
from tests.pictures.hand import Hand
from tests.pictures.shops import bare, lived_in, new


class Way(NamedTuple):
    """How a screen is come to."""

    screen: str
    """Its class."""
    go: Go = stay
    place: Callable[[str], Place] = lived_in
    """Makes what the board is opened on, of a shop's name."""
    begin: bool = True
    """Whether a journal is begun unasked where there is none."""


def tagged(name: str) -> Place:
    """Tag the first machine for a danger."""
    place = lived_in(name)
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        record_tag("saw", REASONS[0], journal)
    return place


def with_gone(name: str) -> Place:
    """Call a point by another id: its records are left behind."""
    place = lived_in(name)
    text = place.shop_file.read_text(encoding="utf-8").replace('id = "blade"', 'id = "other"', 1)
    text = text.replace('"blade"', '"other"').replace('"saw.blade"', '"saw.other"')
    place.shop_file.write_text(text, encoding="utf-8")
    return place


def with_another_journal(name: str) -> Place:
    """Let another journal be in the place of the one that was open last, which is no demo's."""
    place = new(name)
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        record_happening(journal, "saw", "note")
    OpenShop(place.shop_file, place.journal_file, place.clock).close()
    place.journal_file.unlink()
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        record_happening(journal, "saw", "knocked")
    return place


def with_broken_file(name: str) -> Place:
    """Write two things into a shop file that cannot be."""
    place = new(name)
    text = place.shop_file.read_text(encoding="utf-8")
    text = text.replace("tolerance =", "tolerence =", 1).replace('every = "', 'every = "x', 1)
    place.shop_file.write_text(text, encoding="utf-8")
    return place


async def _broken_meanwhile(hand: Hand) -> None:
    file = hand.shop.shop_file
    text = file.read_text(encoding="utf-8").replace("tolerance =", "tolerence =", 1)
    file.write_text(text, encoding="utf-8")
    await hand.board.look()


async def _problems(hand: Hand) -> None:
    await _broken_meanwhile(hand)
    await hand.show(doors.ProblemsScreen())


def _square(until: going.Until, error: float) -> Go:
    """Walk a check with square and leaves; the face is off by so much, in rad."""
    return going.check(until, error, "square")


def _is_result(step: Step) -> bool:
    return isinstance(step, Finding)


WAYS = {
    "board": Way("BoardScreen"),
    "board-danger": Way("BoardScreen", place=tagged),
    "board-new": Way("BoardScreen", place=new),
    "board-problems": Way("BoardScreen", _broken_meanwhile),
    "machine": Way("MachineScreen", show(lambda h: doors.MachineScreen(h.machine().machine.id))),
    "machine-tagged": Way(
        "MachineScreen",
        show(lambda h: doors.MachineScreen(h.machine(tagged=True).machine.id)),
        tagged,
    ),
    "machine-hand-tools": Way(
        "MachineScreen", show(lambda h: doors.MachineScreen(h.without_points().id))
    ),
    "point": Way("PointScreen", point("out", "near")),
    "point-near": Way("PointScreen", point("near")),
    "point-due": Way("PointScreen", point("due", "waits")),
    "point-unproven": Way("PointScreen", point("unproven")),
    "point-noted": Way("PointScreen", point("noted")),
    "check-caution": Way("CheckScreen", _square(lambda _: True, 0.004)),
    "check-tools": Way("CheckScreen", _square(going.named("tools"), 0.004)),
    "check-light": Way("CheckScreen", _square(going.named("light"), 0.004)),
    "check-leaf": Way("CheckScreen", _square(going.named("leaf"), 0.004)),
    "result-out": Way("CheckScreen", _square(_is_result, 0.008)),
    "result-near": Way("CheckScreen", _square(_is_result, 0.0017)),
    "result-true": Way("CheckScreen", _square(_is_result, 0.0)),
    **{f"set-up-{name}": Way("CheckScreen", going.set_up(name)) for name in names()},
    "why": Way("WhyScreen", going.why),
    "plot": Way("PlotScreen", going.plot),
    "plot-numbers": Way("PlotScreen", going.numbers),
    "ask": Way("AskScreen", going.note),
    "ask-amount": Way("AskScreen", going.amount_asked),
    "ask-bench": Way("AskScreen", going.bench_name),
    "ask-day": Way("AskScreen", going.day_asked),
    "ask-time": Way("AskScreen", going.time_typed),
    "void": Way("VoidScreen", going.void),
    "also": Way("AlsoScreen", going.what_else),
    "help": Way("HelpScreen", going.help_of_board),
    "help-point": Way("HelpScreen", going.help_of_point),
    **{f"help-{topic}": Way("TopicScreen", going.topic(topic)) for topic in TOPICS},
    "happened": Way("HappenedScreen", show(lambda h: doors.HappenedScreen(h.machine().machine))),
    "finished": Way("FinishedScreen", show(lambda _: doors.FinishedScreen(lambda _: None))),
    "ran": Way(
        "RanScreen",
        show(lambda h: doors.RanScreen({h.machine().machine.id: "by its joints"}, lambda _: None)),
    ),
    "tasks": Way("TasksScreen", show(lambda _: doors.TasksScreen())),
    "task": Way("TaskStepsScreen", going.task),
    "rounds": Way("RoundsScreen", show(lambda _: doors.RoundsScreen())),
    "round": Way("RoundScreen", going.safety_round),
    "tag": Way("TagScreen", show(lambda h: doors.TagScreen(h.machine().machine))),
    "tag-clear": Way("TagScreen", show(lambda h: doors.TagScreen(h.machine(tagged=True).machine))),
    "cutters": Way("CuttersScreen", going.cutters),
    "cutter": Way("CutterScreen", going.cutter),
    "change": Way("ChangeScreen", going.change),
    "prep": Way("PrepScreen", going.prep),
    "prep-begun": Way("PrepScreen", going.prep_begun),
    "end-day": Way("EndDayScreen", going.end_day),
    "day-said": Way("DaySaidScreen", going.day_said),
    "away": Way("AwayScreen", going.away),
    "time-had": Way("TimeHadScreen", going.time_had),
    "projects": Way("ProjectsScreen", show(lambda _: doors.ProjectsScreen())),
    "joints": Way("JointsScreen", show(lambda h: doors.JointsScreen(h.project()))),
    "glue-up-go": Way("GlueUpScreen", glue_up(go=True)),
    "glue-up-hold": Way("GlueUpScreen", glue_up(go=False)),
    "cost": Way("CostScreen", show(lambda _: doors.CostScreen())),
    "needs": Way("NeedsScreen", show(lambda h: doors.NeedsScreen(h.project()))),
    "anyway": Way("AnywayScreen", going.anyway),
    "look-back-day": Way("LookBackScreen", show(lambda _: doors.LookBackScreen())),
    "look-back": Way("LookBackScreen", going.look_back),
    "retired": Way("RetiredScreen", show(lambda _: doors.RetiredScreen()), with_gone),
    "retired-records": Way("KeptScreen", going.records_of_retired, with_gone),
    "devices": Way("DevicesScreen", going.devices),
    "under-way": Way("UnderWayScreen", going.under_way),
    "edit": Way("EditScreen", show(lambda _: doors.EditScreen("shop", "shop"))),
    "edit-point": Way("EditScreen", going.edit_point),
    "value": Way("ValueScreen", going.value),
    "add": Way("AddScreen", going.add),
    "changed": Way("ChangedScreen", going.changed),
    "spares": Way("SparesScreen", show(lambda _: doors.SparesScreen())),
    "problems": Way("ProblemsScreen", _problems),
    "differs": Way("DiffersScreen", show(lambda _: doors.DiffersScreen()), with_another_journal),
    "absent": Way("AbsentScreen", place=new, begin=False),
    "broken-file": Way("BrokenFileScreen", place=with_broken_file),
    "first-run": Way("FirstRunScreen", place=lambda _: bare()),
    "describe": Way("DescribeScreen", going.describe, lambda _: bare()),
    "describe-list": Way("DescribeScreen", going.describe_machines, lambda _: bare()),
    "described": Way("DescribedScreen", show(lambda _: doors.DescribedScreen()), new),
}
"""Every screen, some of them in several states."""
