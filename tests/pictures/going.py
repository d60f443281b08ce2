"""What is done at the board to come to its screens."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import timedelta

from shopboard.board import doors
from shopboard.board.describing import begin_describing
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.edit import opened
from shopboard.board.ways_in import begin_changing, begin_round, open_task, show_cutters
from shopboard.board.why_view import record_why
from shopboard.checks.steps import Choice, Finding, Number, Step, Words
from shopboard.prep.answers import answers_of
from shopboard.shop.machine import USES
from shopboard.sittings.check import start
from shopboard.web.devices import Devices, devices_file
from shopboard.writing.wishes import settings_as
from tests.builders import Person
from tests.pictures.hand import Hand, NotThereError

Go = Callable[[Hand], Awaitable[None]]
Until = Callable[[Step], bool]

_MOST_STEPS = 12
"""Steps within which the set-up is drawn."""


async def stay(_: Hand) -> None:
    """Be there already."""


def show(make: Callable[[Hand], ShopScreen]) -> Go:
    async def go(hand: Hand) -> None:
        await hand.show(make(hand))

    return go


def point(*states: str) -> Go:
    return show(lambda hand: doors.PointScreen(hand.point(*states).point.full_name))


def check(until: Until, error: float, *methods: str) -> Go:
    """Walk a check up to a step; the face is off by so much, rad."""

    async def go(hand: Hand) -> None:
        point = hand.checked_by(*methods or ("square",))
        sitting = start(hand.shop.journal, hand.shop.shop, point)
        person = Person(error)
        while sitting.step is not None and not until(sitting.step):
            sitting.answer(person.answer(sitting.step, sitting.job))
        assert sitting.step is not None, "the step never came"
        screen = doors.PointScreen(point.full_name)
        await hand.show(screen)
        await hand.show(doors.CheckScreen(sitting, point.name, screen))

    return go


def named(*names: str) -> Until:
    return lambda step: step.key.rpartition(".")[2].startswith(names)


def set_up(method: str) -> Go:
    """Walk a check by a method up to where its set-up is drawn; else past what it cautions."""

    async def go(hand: Hand) -> None:
        point = hand.checked_by(method)
        sitting = start(hand.shop.journal, hand.shop.shop, point, method)
        for _ in range(_MOST_STEPS):
            step = sitting.step
            if step is None:
                raise NotThereError(f"{method} draws nothing")
            if step.diagram or isinstance(step, (Number, Words, Finding)):
                break
            sitting.answer(_usual(step))
        screen = doors.PointScreen(point.full_name)
        await hand.show(screen)
        await hand.show(doors.CheckScreen(sitting, point.name, screen))

    return go


def _usual(step: Step) -> str:
    """Answer as who goes on does."""
    if isinstance(step, Choice) and step.default is None:
        return step.options[0].value
    return ""


async def why(hand: Hand) -> None:
    found, record = hand.newest("out", "true")
    lines = record_why(record, hand.shop.shop.unit)
    await hand.show(doors.WhyScreen(found.point.name, lines))


async def plot(hand: Hand, *, numbers: bool = False) -> None:
    found = max(
        (one for machine in hand.shop.standing.machines for one in machine.points),
        key=lambda one: len(hand.shop.history(one.point.full_name, 99)),
    )
    await hand.show(doors.PlotScreen(found.point.full_name, found.point.name))
    if numbers:
        await hand.do("numbers")


async def numbers(hand: Hand) -> None:
    await plot(hand, numbers=True)


async def note(hand: Hand) -> None:
    await point("out", "true")(hand)
    await hand.do("note")


async def void(hand: Hand) -> None:
    await point("out", "true")(hand)
    await hand.do("void")


async def what_else(hand: Hand) -> None:
    await hand.do("also")


async def help_of_board(hand: Hand) -> None:
    await hand.do("help")


def topic(name: str) -> Go:
    """Show a topic of the help."""
    return show(lambda _: doors.TopicScreen(name))


async def help_of_point(hand: Hand) -> None:
    await point("out", "true")(hand)
    await hand.do("help")


async def task(hand: Hand) -> None:
    for machine in hand.shop.standing.machines:
        for one in machine.tasks:
            if one.task.steps or one.task.cutter_near:
                open_task(_top(hand), machine.machine.id, one)
                await hand.board.settle()
                return
    raise NotThereError("no task has steps")


async def under_way(hand: Hand) -> None:
    """Begin a check and a task, and ask which to go on with."""
    await check(named("leaf"), 0.004)(hand)
    await task(hand)
    _top(hand).sitting.answer("")  # type: ignore[attr-defined]
    hand.shop.refresh()
    await hand.show(doors.UnderWayScreen())


def _top(hand: Hand) -> ShopScreen:
    top = hand.board.app.top
    assert top is not None
    return top


async def safety_round(hand: Hand) -> None:
    begin_round(_top(hand), hand.machine(cutters=True).machine.id)
    await hand.board.settle()


async def cutters(hand: Hand) -> None:
    show_cutters(_top(hand), hand.machine(cutters=True).machine.id)
    await hand.board.settle()


async def cutter(hand: Hand) -> None:
    """Show a cutter that is not on the machine, if there is one."""
    found = sorted(hand.machine(cutters=True).cutters, key=lambda one: one.mounted)
    await hand.show(doors.CutterScreen(found[0].machine, found[0].id))


async def change(hand: Hand) -> None:
    for machine in hand.shop.standing.machines:
        for one in machine.cutters:
            if not one.mounted and one.where == "on the shelf":
                begin_changing(_top(hand), one, "put on")
                await hand.board.settle()
                return
    raise NotThereError("no cutter is on the shelf")


async def prep(hand: Hand) -> None:
    await hand.show(doors.PrepScreen())


async def prep_begun(hand: Hand) -> None:
    await prep(hand)
    await hand.do("do_now")
    while not isinstance(_top(hand), doors.PrepScreen):
        await hand.do("leave" if hasattr(_top(hand), "do_leave") else "back")


async def end_day(hand: Hand) -> None:
    """Be about to end a prep day with work left."""
    await prep_begun(hand)
    await hand.do("end_day")


async def day_said(hand: Hand) -> None:
    """Look at what was said of a prep day."""
    await prep_begun(hand)
    await hand.do("day_said")


async def time_had(hand: Hand) -> None:
    """Be asked what time one has."""
    await prep(hand)
    await hand.do("time_had")


async def time_typed(hand: Hand) -> None:
    """Be asked for another time than those that are listed."""
    await time_had(hand)
    top = _top(hand)
    top.choose(top.rows() - 1)  # type: ignore[attr-defined]
    await hand.board.settle()


async def bench_name(hand: Hand) -> None:
    """Be asked what this bench is called."""
    await hand.do("who")


async def day_asked(hand: Hand) -> None:
    """Be asked on which day something happened."""
    await hand.show(doors.HappenedScreen(hand.machine().machine))
    await hand.do("said_later")


async def amount_asked(hand: Hand) -> None:
    """Be asked how much a machine was used."""
    await hand.show(doors.HappenedScreen(hand.machine().machine))
    top = _top(hand)
    uses = [one for one in top._listed if one in USES]  # type: ignore[attr-defined]
    top._ask(uses[0])  # type: ignore[attr-defined]
    await hand.board.settle()


async def away(hand: Hand) -> None:
    """Be asked about 80 minutes of which nothing is on record."""
    await hand.show(doors.AwayScreen(hand.shop.now() - timedelta(minutes=80)))


def _joint(hand: Hand, *, go: bool) -> tuple[str, str]:

    for project in hand.shop.shop.projects:
        for one in answers_of(hand.shop, project.joints):
            if one.go == go:
                return project.id, one.joint.id
    raise NotThereError("no such joint")


def glue_up(*, go: bool) -> Go:
    return show(lambda hand: doors.GlueUpScreen(*_joint(hand, go=go)))


async def anyway(hand: Hand) -> None:
    await glue_up(go=False)(hand)
    await hand.do("anyway")


async def look_back(hand: Hand) -> None:
    await hand.show(doors.LookBackScreen())
    await hand.board.press(*"2026-10-01", "enter")


async def records_of_retired(hand: Hand) -> None:
    await hand.show(doors.RetiredScreen())
    await hand.do("open")


async def devices(hand: Hand) -> None:
    listed = Devices(devices_file(), hand.board.app.open_shop.clock)
    for one in listed.welcome():
        listed.withdraw(one.id)
    listed.add("phone at the bandsaw", looks_only=False)
    listed.add("tablet by the door", looks_only=True)
    await hand.show(doors.DevicesScreen())


async def edit_row(hand: Hand, sort: str) -> None:
    await edit_point(hand)
    top = _top(hand)
    row = next(number for number, one in enumerate(top._rows) if one.sort == sort)  # type: ignore[attr-defined]
    top.choose(row)  # type: ignore[attr-defined]
    await hand.board.settle()


async def edit_point(hand: Hand) -> None:
    """Show the settings of a point."""
    name = hand.shop.standing.machines[0].points[0].point.full_name
    await hand.show(doors.EditScreen("point", name))


async def value(hand: Hand) -> None:
    await edit_row(hand, "setting")


async def add(hand: Hand) -> None:
    """Begin to describe one more machine."""
    file = opened(hand.shop.shop_file)
    shop = file.thing("shop", "shop")
    assert shop is not None
    await hand.show(doors.AddScreen(file, shop, "machine"))


async def changed(hand: Hand) -> None:
    file = opened(hand.shop.shop_file)
    point = hand.shop.standing.machines[0].points[0].point.full_name
    thing = file.thing("point", point)
    assert thing is not None

    wish = settings_as(file.data, thing, {"name": ["Blade, by a new name"]})
    await hand.show(doors.ChangedScreen(file, file.changed(thing, wish), leaves=0))


async def describe(hand: Hand) -> None:
    """Begin to describe a shop."""
    begin_describing(_top(hand))
    await hand.board.settle()


async def describe_machines(hand: Hand) -> None:
    """Go on to where the machines are asked for."""
    await describe(hand)
    for _ in range(_MOST_STEPS):
        if "machine" in " ".join(hand.board.lines[1:4]).lower():
            return
        await hand.board.press("enter")
