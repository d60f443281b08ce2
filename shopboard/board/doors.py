"""Every screen that another one opens, by its name: ``doors.PointScreen(name)``.

Screens open one another in circles. So none of them imports another: a screen is imported when it
is opened first, from the file that bears its name. Its line below is for the type checker alone,
which knows by it what each takes.
"""

from __future__ import annotations

import re
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopboard.board.screens.absent import AbsentScreen as AbsentScreen
    from shopboard.board.screens.add import AddScreen as AddScreen
    from shopboard.board.screens.also import AlsoScreen as AlsoScreen
    from shopboard.board.screens.anyway import AnywayScreen as AnywayScreen
    from shopboard.board.screens.ask import AskScreen as AskScreen
    from shopboard.board.screens.away import AwayScreen as AwayScreen
    from shopboard.board.screens.broken_file import BrokenFileScreen as BrokenFileScreen
    from shopboard.board.screens.change import ChangeScreen as ChangeScreen
    from shopboard.board.screens.changed import ChangedScreen as ChangedScreen
    from shopboard.board.screens.check import CheckScreen as CheckScreen
    from shopboard.board.screens.cost import CostScreen as CostScreen
    from shopboard.board.screens.cutter import CutterScreen as CutterScreen
    from shopboard.board.screens.cutters import CuttersScreen as CuttersScreen
    from shopboard.board.screens.day_said import DaySaidScreen as DaySaidScreen
    from shopboard.board.screens.describe import DescribeScreen as DescribeScreen
    from shopboard.board.screens.described import DescribedScreen as DescribedScreen
    from shopboard.board.screens.devices import DevicesScreen as DevicesScreen
    from shopboard.board.screens.differs import DiffersScreen as DiffersScreen
    from shopboard.board.screens.edit import EditScreen as EditScreen
    from shopboard.board.screens.end_day import EndDayScreen as EndDayScreen
    from shopboard.board.screens.finished import FinishedScreen as FinishedScreen
    from shopboard.board.screens.first_run import FirstRunScreen as FirstRunScreen
    from shopboard.board.screens.glue_up import GlueUpScreen as GlueUpScreen
    from shopboard.board.screens.happened import HappenedScreen as HappenedScreen
    from shopboard.board.screens.help import HelpScreen as HelpScreen
    from shopboard.board.screens.joints import JointsScreen as JointsScreen
    from shopboard.board.screens.look_back import LookBackScreen as LookBackScreen
    from shopboard.board.screens.machine import MachineScreen as MachineScreen
    from shopboard.board.screens.needs import NeedsScreen as NeedsScreen
    from shopboard.board.screens.plot import PlotScreen as PlotScreen
    from shopboard.board.screens.point import PointScreen as PointScreen
    from shopboard.board.screens.prep import PrepScreen as PrepScreen
    from shopboard.board.screens.problems import ProblemsScreen as ProblemsScreen
    from shopboard.board.screens.projects import ProjectsScreen as ProjectsScreen
    from shopboard.board.screens.ran import RanScreen as RanScreen
    from shopboard.board.screens.retired import RetiredScreen as RetiredScreen
    from shopboard.board.screens.round import RoundScreen as RoundScreen
    from shopboard.board.screens.rounds import RoundsScreen as RoundsScreen
    from shopboard.board.screens.spares import SparesScreen as SparesScreen
    from shopboard.board.screens.tag import TagScreen as TagScreen
    from shopboard.board.screens.task_steps import TaskStepsScreen as TaskStepsScreen
    from shopboard.board.screens.tasks import TasksScreen as TasksScreen
    from shopboard.board.screens.time_had import TimeHadScreen as TimeHadScreen
    from shopboard.board.screens.topic import TopicScreen as TopicScreen
    from shopboard.board.screens.under_way import UnderWayScreen as UnderWayScreen
    from shopboard.board.screens.value import ValueScreen as ValueScreen
    from shopboard.board.screens.void import VoidScreen as VoidScreen
    from shopboard.board.screens.why import WhyScreen as WhyScreen


def __getattr__(name: str) -> object:
    """Import the screen of that name: ``TaskStepsScreen`` from ``screens/task_steps.py``."""
    if not name.endswith("Screen"):
        raise AttributeError(f"{__name__} has no {name}")
    file = re.sub(r"(?<=.)(?=[A-Z])", "_", name.removesuffix("Screen")).lower()
    return getattr(import_module(f"shopboard.board.screens.{file}"), name)
