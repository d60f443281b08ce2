"""Pieces of work and the jobs that they become for the schedule, with what is known for it. Pure.

Times are minutes from the zero of the day.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.last_project import LastProject
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Job
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.standing.model import PointStanding, ShopStanding

if TYPE_CHECKING:
    from shopboard.prep.options import Settles

ERRAND = 30.0
"""Minutes from which a wait is begun early where that costs nothing: what goes wrong meanwhile
does not make the day longer."""


class KnownNow(NamedTuple):
    """What is known at the moment for which the day is planned."""

    shop: Shop
    standing: ShopStanding
    zero: datetime
    """From when the minutes of the jobs count."""
    minutes: Callable[[Point], float]
    """How long a check takes."""
    needed: Collection[str] | None = None
    """Full names of the points that the project needs; None: everything that is due."""
    to_check: Mapping[str, str] = {}
    """Of these, the ones to check, each with why, or nothing where its standing says it."""
    in_hand: str = ""
    """Full name of the point whose check was begun and is not done; empty: none."""
    allow_open: bool = False
    """Whether two machines may stand open at once with their cutters out."""
    last: LastProject = LastProject()
    """The machines that it used are serviced, and come first where nothing else decides."""
    settles: Callable[[str], Settles | None] = lambda _: None
    """What may prove a point that is near, by its full name; None: it is not near."""
    not_enough: Collection[str] = ()
    """Full names of points that are not good enough for the project, and no check of now helps."""
    cannot_run: Callable[[Point], str] | None = None
    """Why a point cannot be checked at all, empty where it can; None: it is worked out here."""
    found_today: Callable[[PointStanding], int] = lambda _: 0
    """How many results of this day tell how a point stands: nothing upset it since."""
    runs_on: Collection[str] = ()
    """Ids of machines that the project says it runs on, beside those that its joints tell."""


class ToDo(NamedTuple):
    """The pieces, and the same as jobs for the schedule."""

    pieces: Mapping[str, Piece]
    jobs: tuple[Job, ...]
    open_now: str = ""
    """Machine whose cutter is out."""
    left_out: tuple[str, ...] = ()
    """What is not in the plan and why, in sentences."""
    stays_open: tuple[StaysOpen, ...] = ()
    """What no work of the day settles."""

    @property
    def stuck(self) -> frozenset[str]:
        """Full names of the joints that the tools at hand cannot prove, whatever is checked."""
        return frozenset(one.target for one in self.stays_open if one.in_vain)


class JobList:
    """Collects the pieces and their jobs; what concerns more than one of them is noted beside."""

    def __init__(self, present: KnownNow) -> None:
        self.present = present
        self.pieces: dict[str, Piece] = {}
        self.jobs: dict[str, Job] = {}
        self.left_out: list[str] = []
        self.stays_open: list[StaysOpen] = []
        self.closing: dict[str, str] = {}
        """By machine whose cutter is out now, the piece with which it is on again."""
        self.gates: dict[str, list[str]] = {}
        """By machine, what must be over before it is checked."""
        self.serviced: set[str] = set()
        """Machines that are there for what the last project made due alone."""

    def put_after(self, name: str, earlier: str) -> bool:
        """Put a piece after another one, unless that has to come after it already."""
        if name == earlier or self._comes_before(name, earlier):
            return False
        job = self.jobs[name]
        self.jobs[name] = job._replace(after=tuple({earlier: 0.0, **dict(job.after)}.items()))
        return True

    def _comes_before(self, one: str, other: str) -> bool:
        """Tell whether a piece must be over before another one begins."""
        ahead, seen = [other], {other}
        while ahead:
            for name, _ in self.jobs[ahead.pop()].after:
                if name == one:
                    return True
                if name not in seen:
                    seen.add(name)
                    ahead.append(name)
        return False

    def add(
        self,
        piece: Piece,
        after: tuple[tuple[str, float], ...] = (),
        opens: str = "",
        closes: str = "",
        ready: float = 0.0,
        patience: float = math.inf,
        *,
        harms: bool = False,
    ) -> None:
        """Put in a piece; for its other words see `Job`."""
        if piece.machine in self.serviced:
            piece = piece._replace(serviced=self.present.last.used_it(piece.machine))
        body = self.present.shop.machines_by_id[piece.machine].body
        self.pieces[piece.id] = piece
        self.jobs[piece.id] = Job(
            piece.id,
            piece.minutes,
            # the modes of a combination machine are one place
            place=body or piece.machine,
            body="" if piece.beside else body,
            mode=piece.machine if body and not piece.beside else "",
            after=after,
            tail=piece.wait,
            ready=ready,
            opens=opens,
            closes=closes,
            first=piece.machine in self.present.last.machines or piece.wait >= ERRAND,
            patience=patience,
            harms=harms,
        )
