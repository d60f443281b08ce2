"""The jobs of a day and the plan of it, as plain data."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple


class Job(NamedTuple):
    """Something that the person does without a break, and what must come before."""

    id: str
    minutes: float
    """Hands-on time."""
    place: str = ""
    """Where it is done; empty: wherever the person is."""
    body: str = ""
    """The combination machine it is done on; empty: none."""
    mode: str = ""
    """The mode that the body must be in; empty: any."""
    after: tuple[tuple[str, float], ...] = ()
    """(job, least minutes from its end to this start), each 0 or more."""
    tail: float = 0
    """Minutes that run unattended after it before all is done."""
    ready: float = 0
    """Earliest start, minutes from now."""
    opens: str = ""
    """The machine that stands open with its cutter out from the start of this job."""
    closes: str = ""
    """The machine that is closed again at the end of this job."""
    first: bool = False
    """Whether it is wanted early where that costs nothing."""
    patience: float = math.inf
    """Minutes that it may start later than its waits are over; after that they are left too long.
    They are over when it is ready and every lag above 0 is over."""
    harms: bool = False
    """Whether it does harm to leave them too long: they are not, whatever minutes that costs."""


class Workday(NamedTuple):
    """The jobs to plan and how the shop stands now.

    The k-th job that opens a machine belongs to the k-th that closes it and comes before it (a job
    that does both is a stretch by itself). A machine closed more often than opened is open now;
    one that is said to be open now is so until it is first closed. One that nothing closes stays
    open to the end of the day.
    """

    jobs: tuple[Job, ...]
    change_minutes: Mapping[tuple[str, str], float] = {}
    """(body, mode): hands-on minutes to change into it, right before the job; left out: 0."""
    modes: Mapping[str, str] = {}
    """The mode each body is in; left out: its first job costs no change."""
    allow_open: bool = False
    """Whether two machines may stand open at once."""
    place: str = ""
    """Where the person stands; empty: no walk to the first job is counted."""
    open_now: str = ""
    """The machine that stands open now; empty: none that is not closed by a job."""


class Schedule(NamedTuple):
    """The plan; minutes count from now."""

    starts: Mapping[str, float]
    """When the job itself starts; a change of mode for it is done right before."""
    order: tuple[str, ...]
    finish: float
    """When everything, with what runs unattended, is done."""
    bound: float
    """No plan can finish sooner; equal to the finish where that is proven to be the least."""
    walks: int
    """How often the person goes from one place to another."""
    left: int = 0
    """Jobs whose waits are left too long."""
    over: Mapping[str, float] = {}
    """These, and those that are left although it harms, for want of any other way: by job, minutes
    from the end of its waits to its start."""
    held: Mapping[str, float] = {}
    """Jobs that are begun later than they could be, so that the wait after them is not left too
    long: not before so many minutes from now."""
