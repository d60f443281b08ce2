"""What is begun, resumed or looked up before its screen comes up, whichever screen asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.board import doors
from shopboard.board.prep_day import prep_day_begun
from shopboard.board.screens.keyed import KeyedScreen
from shopboard.board.tasks_view import task_rows
from shopboard.checks.steps import AnswerError
from shopboard.journal import JournalError
from shopboard.sittings import cutter_change
from shopboard.sittings.safety_round import round_of
from shopboard.sittings.task import TaskSitting
from shopboard.up_next.under_way import all_under_way

if TYPE_CHECKING:
    from shopboard.board.screens.base import ShopScreen
    from shopboard.up_next.items import NextItem
    from shopboard.up_next.under_way import UnderWay
    from shopboard.upkeep.cutters import CutterStanding
    from shopboard.upkeep.tasks import TaskStanding


def go_on(screen: ShopScreen) -> None:
    """Go on with what is under way; of several things one is chosen. Of nothing, the prep day.

    What this screen was opened over comes back: walked twice, one of its screens would be behind.
    Before that, a journal that differs from the one that was last open is asked about.
    """
    if screen.open_shop.journal_differs is not None:
        screen.app.push_screen(doors.DiffersScreen())
        return
    stack = screen.app.screen_stack
    beneath = [
        at for at, one in enumerate(stack) if isinstance(one, KeyedScreen) and one.in_progress
    ]
    if beneath:
        for _ in stack[beneath[-1] + 1 :]:
            screen.app.pop_screen()
        return
    found = all_under_way(screen.open_shop)
    if len(found) == 1:
        go_on_with(screen, found[0])
    elif found:
        screen.app.push_screen(doors.UnderWayScreen())
    elif prep_day_begun(screen.open_shop) is not None:
        screen.app.push_screen(doors.PrepScreen())
    else:
        screen.say("Nothing is in progress.")


def go_on_with(screen: ShopScreen, one: UnderWay) -> None:
    """Go on with a check, a task or a change of cutter, over another screen.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if one.point:
        point = doors.PointScreen(one.point)
        screen.app.push_screen(point)
        point.call_after_refresh(point.choose, 1)
    elif one.task is not None:
        open_task(screen, one.machine, one.task)
    else:
        go_on_changing(screen, one.machine)


def open_next(screen: ShopScreen, one: NextItem) -> None:
    """Open what a line of what to do next is about, over another screen.

    Raises:
        JournalError: when the journal cannot be read.
    """
    machine = screen.open_shop.shop.machines_by_id.get(one.machine)
    if one.going is not None:
        go_on_with(screen, one.going)
    elif one.sort == "round":
        begin_round(screen, one.machine)
    elif one.sort == "tag" and machine is not None:
        screen.app.push_screen(doors.TagScreen(machine))
    elif one.sort == "point":
        screen.app.push_screen(doors.PointScreen(one.name))
    elif one.sort == "cutter":
        show_cutters(screen, one.machine)
    else:
        standing = screen.open_shop.standing.of_machine(one.machine)
        rows = task_rows((standing,) if standing is not None else ())
        ids = [row.standing.task.id for row in rows]
        screen.app.push_screen(doors.TasksScreen(one.machine, ids.index(one.name)))


def open_task(screen: ShopScreen, machine_id: str, standing: TaskStanding) -> None:
    """Go on with a task or begin it, over another screen.

    Raises:
        JournalError: when the journal cannot be read.
    """
    journal = screen.open_shop.journal
    sitting = TaskSitting(journal, machine_id, standing.task, standing.begun)
    screen.app.push_screen(doors.TaskStepsScreen(sitting))


def show_projects(screen: ShopScreen) -> None:
    """Show the projects; of one alone, its joints at once."""
    projects = screen.open_shop.shop.projects
    if not projects:
        from shopboard.board.to_come import NO_PROJECT

        screen.refuse(NO_PROJECT)
    elif len(projects) == 1:
        screen.app.push_screen(doors.JointsScreen(projects[0].id))
    else:
        screen.app.push_screen(doors.ProjectsScreen())


def go_on_changing(screen: ShopScreen, machine_id: str) -> None:
    """Go on with the change of cutter that is under way on a machine, over another screen."""
    open_shop = screen.open_shop
    standing = open_shop.standing.of_machine(machine_id)
    if standing is not None and standing.changing is not None:
        machine_id = standing.changing.machine  # of another mode that the cutter serves, too
    try:
        sitting = cutter_change.resume(
            open_shop.journal, open_shop.shop, machine_id, open_shop.now()
        )
    except JournalError as error:
        screen.say_error(error)
        return
    if sitting is None:
        screen.board.look_again()
        screen.say("No change is in progress here that this shop file knows of.")
        return
    screen.app.push_screen(doors.ChangeScreen(sitting))


def begin_changing(screen: ShopScreen, one: CutterStanding, act: str) -> None:
    """Begin what is done with a cutter step by step at the machine, over another screen."""
    try:
        sitting = cutter_change.begin(screen.open_shop.journal, screen.open_shop.shop, one, act)
    except AnswerError as error:
        screen.refuse(str(error))
        return
    except JournalError as error:
        screen.say_error(error)
        return
    screen.app.push_screen(doors.ChangeScreen(sitting))


def show_cutters(screen: ShopScreen, machine_id: str) -> None:
    """Go from a screen about a machine to its cutters, or say that there are none."""
    standing = screen.open_shop.standing.of_machine(machine_id)
    if standing is None or not (standing.cutters or standing.changing):
        screen.refuse("the shop file names no cutter of this machine")
        return
    screen.app.push_screen(doors.CuttersScreen(machine_id))


def begin_round(screen: ShopScreen, machine_id: str) -> None:
    """Go on with a round or begin one, over another screen."""
    open_shop = screen.open_shop
    if machine_id and machine_id not in open_shop.shop.machines_by_id:
        screen.refuse("this machine is no longer in the shop file")
        return
    try:
        sitting = round_of(open_shop.shop, machine_id, open_shop.now(), open_shop.journal)
    except JournalError as error:
        screen.refuse(f"{error.title} {error.advice}")
        return
    if sitting.step is None:
        screen.refuse("the shop file leaves nothing to ask here")
        return
    screen.app.push_screen(doors.RoundScreen(sitting))
