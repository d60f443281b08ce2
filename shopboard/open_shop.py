"""The shop file and the journal, open together, and how everything stands by them.

The board and the command line both work with it. It keeps the last good
shop when the file on disk breaks, and notices what other programs record.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from shopboard.base.dates import day
from shopboard.base.text import harmless
from shopboard.checks import registry
from shopboard.journal import COMPUTER, Damage, Entry, JournalDiffers, Store, open_journal
from shopboard.journal.commit import EARLIEST, LATEST
from shopboard.journal.computer import this_computer
from shopboard.results.record import CheckRecord, read_all
from shopboard.results.remarks import with_remarks
from shopboard.shop.files import stamp_of
from shopboard.shop.kept import Loaded, keep_shop, kept_shop
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.renames import renames_of
from shopboard.sittings.waiting import begun_tasks, unfinished
from shopboard.standing.gathered import Gathered
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.begun import WaitWatch, left_words
from shopboard.upkeep.tasks import TaskStanding

if TYPE_CHECKING:
    from shopboard.checks.ranking import Rank
    from shopboard.journal.looking import Looking
    from shopboard.standing.look_back import ThenStanding
    from shopboard.upkeep.begun import Begun
    from shopboard.upkeep.rename_hints import Hint
    from shopboard.upkeep.retired import Retired
    from shopboard.wander.outlook import Outlook

Clock = Callable[[], datetime]


class Wait(NamedTuple):
    """Something that is left alone within a task: to soak, to dry, to haze."""

    machine: str
    """Id of the task's machine."""
    standing: TaskStanding
    seconds: float
    """How long still; 0 or less when time is up."""
    words: str
    """The same in words: ``Soak: 6 min left``."""
    mark: tuple[str, datetime | None, float]
    """Tells this wait from every other one, and from itself when it is set anew."""


def utc_now() -> datetime:
    """Give the time."""
    return datetime.now(UTC)


class OpenShop:
    """A shop file that was read at least once, and an open journal."""

    def __init__(
        self,
        shop_file: Path,
        journal_file: Path,
        clock: Clock = utc_now,
        wait_seconds: float = 5.0,
        *,
        thorough: bool = False,
        begin: bool = True,
        stand_in: bool = False,
        told: Callable[[Damage], None] | None = None,
    ) -> None:
        """Read the shop file and open the journal.

        Args:
            shop_file: path of the shop file.
            journal_file: path of the journal.
            clock: gives the time.
            wait_seconds: how long each call waits for another program that is recording.
            thorough: look at what follows from the methods, too, which takes their imports.
            begin: make the journal where there is none.
            stand_in: where there is none and none is made, show the shop by an empty one.
            told: is told of damage that is met in the journal, as soon as it is.

        Raises:
            ShopFileError: when the shop file cannot be used.
            JournalError: when the journal cannot be opened, not even for reading.
        """
        self.shop_file = shop_file
        self.clock = clock
        self._closer = thorough
        kept = None if thorough else kept_shop(shop_file)
        self._read_closer = thorough or kept is not None
        loaded = kept or self._read_shop()
        self.shop: Shop = loaded.shop
        self.warnings: tuple[Problem, ...] = loaded.warnings
        self.problems: tuple[Problem, ...] = ()
        """What is wrong with the file on disk while an earlier reading of it stands."""
        self._stamp: object = loaded.stamp
        self._beside: dict[Path, object] = dict(loaded.beside)  # files it names: their stamps
        self.waiting: dict[str, Entry] = {}
        """Unfinished checks by the point's full name, the one answered last first."""
        self._ranks: dict[str, tuple[Rank, ...]] = {}
        self._ranks_mark: tuple[object, ...] = ()
        self._ranked_for: object = None
        self._kept: dict[str, dict[str, Any]] = {}
        self._kept_for: tuple[object, int | None] = (None, None)
        self._retired_for: object = None
        self._retired: tuple[Retired, ...] = ()
        self._hints_for: object = None
        self._hints: tuple[Hint, ...] = ()
        self.unreadable = 0
        """Results of a later program, which this one cannot show."""
        self._watch = WaitWatch(clock, time.monotonic)
        self._file = open_journal(
            journal_file,
            clock,
            create=begin,
            wait_seconds=wait_seconds,
            computer=this_computer,
            watched=True,
            stand_in=stand_in,
            told=told,
            read_seconds=60.0 if thorough else 5.0,  # a command may read ten years, a screen not
        )
        self.journal: Store = self._file
        """The journal, under the names that the shop file gives today."""
        self._gathered = Gathered(self._file, loaded.digest)
        self._read_under_todays_names(loaded.digest)
        self._thorough = thorough
        if not thorough:
            self._gathered.recall()
        self._looking: Looking | None = None
        self._journal_file = journal_file
        if thorough:
            self._look().at_once()
        self.refresh()

    def _read_shop(self) -> Loaded:
        from shopboard.shop.reader import read_shop

        return read_shop(
            self.shop_file, registry.names(), registry.facts() if self._closer else None
        )

    def _look(self) -> Looking:
        from shopboard.journal.looking import Looking  # not needed for the first picture

        if self._looking is None:
            self._looking = Looking(self._file, self._journal_file, self.clock, time.monotonic)
        return self._looking

    def look_on(self, seconds: float) -> bool:
        """Look on through the journal for damage; give whether all of it was looked at.

        Args:
            seconds: how long.

        Raises:
            JournalError: when the journal cannot be read.
        """
        return self._look().on(seconds)

    def look_anew(self) -> None:
        """Begin the look through the journal anew."""
        self._looking = None

    def close(self) -> None:
        """Close the journal."""
        if not self._thorough:
            self._gathered.save()
        self.journal.close()

    def _read_under_todays_names(self, digest: str) -> None:
        if self._gathered.digest != digest:
            self._gathered = Gathered(self._file, digest)
        renames = renames_of(self.shop)
        self.journal = self._file
        if renames is not None:
            from shopboard.upkeep.renamed import Renamed  # nothing was renamed in most shops

            self.journal = Renamed(self._file, renames)

    def now(self) -> datetime:
        """Give the time, never before the newest record: a lagging clock makes nothing younger.

        A clock that has run away stands at the last time that one can reckon from.
        """
        clock = min(self.clock(), LATEST)
        return clock if self._newest is None else max(clock, self._newest)

    def clock_now(self) -> datetime:
        """Give the clock, also where it stands before the newest record: that one may be wrong.

        Where the clock cannot be right, the time is that of `now`.
        """
        clock = self.clock()
        return clock if clock >= EARLIEST else self.now()

    @property
    def journal_differs(self) -> JournalDiffers | None:
        """How the journal differs from the one that was last open at its path, if it does."""
        return self._file.differs

    def save_memory(self) -> None:
        """Write down how the journal was last seen, for the next time that it is opened."""
        self._file.save_memory()
        if not self._thorough:
            self._gathered.save()

    def take_journal_as_it_is(self) -> None:
        """From now on the journal that is there is the right one.

        Raises:
            JournalError: when it cannot be read.
        """
        self._file.take_as_it_is()
        self.refresh()

    @property
    def clock_is_wrong(self) -> bool:
        """Whether the computer's clock stands clearly before the newest record or before 2026."""
        newest, clock = self._newest, self.clock()
        behind = newest is not None and (newest - clock).total_seconds() > 120
        return behind or not EARLIEST <= clock < LATEST

    def other_computer(self) -> str:
        """Say that another computer wrote the journal last; empty when this one did.

        Raises:
            JournalError: when the journal cannot be read.
        """
        last = self.journal.recent(COMPUTER, "", "", 1)
        name = str(last[0].body.get("name", "")) if last else ""
        if not name or name == this_computer():
            return ""
        when = day(max(last[0].when, self._newest or last[0].when))
        return f"This journal was last written on another computer ({harmless(name)}), on {when}."

    def refresh(self) -> None:
        """Work out everything anew from shop, journal and time.

        Raises:
            JournalError: when the journal cannot be read; everything stays as it was.
        """
        mark, newest = self.journal.change_mark(), self.journal.newest_when()
        clock = min(self.clock(), LATEST)
        now = clock if newest is None else max(clock, newest)
        past = self._gathered.now(self.journal)
        waiting = unfinished(self.journal, clock if clock >= EARLIEST else now)
        begun = begun_tasks(self.journal, self.shop, past)
        past = past._replace(begun=begun, damage=self.journal.damage)
        self._newest = newest
        self.waiting = {name: one for name, one in waiting.items() if name in self.shop.points}
        self.unreadable = past.unreadable
        self._places = past.latest.keys()
        self._kept_up = {("task", *place) for place in past.tasks}
        self._kept_up |= {("cutter", *place) for place in past.cutters if place[1]}
        self.standing: ShopStanding = shop_standing(self.shop, past, now)
        self._mark: int | None = mark

    def poll(self) -> bool:
        """Look whether the shop file or the journal changed, and take it in.

        Returns:
            Whether anything changed.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if self._reload_shop():
            self._mark = None  # if the journal cannot be read now, the next look does it
        if self.journal.change_mark() == self._mark:
            return False
        self.refresh()
        return True

    def _reload_shop(self) -> bool:
        """Read the file when its time or size changed; a broken one leaves the shop as it was."""
        stamp = stamp_of(self.shop_file)
        beside = {path: stamp_of(path) for path in self._beside}
        if stamp == self._stamp and beside == self._beside:
            return False
        self._stamp = stamp
        try:
            loaded = self._read_shop()
        except ShopFileError as error:
            self.problems = error.problems
            self._beside = dict(beside if error.beside is None else error.beside)
            return True
        self.shop, self.warnings, self.problems = loaded.shop, loaded.warnings, ()
        self._stamp, self._beside = loaded.stamp, dict(loaded.beside)
        if self._closer:
            self._read_closer = True
            keep_shop(self.shop_file, loaded)
        self._read_under_todays_names(loaded.digest)
        return True

    def waits(self) -> list[Wait]:
        """Give what is left alone within tasks, that which is over or ends first at the front."""
        found: list[Wait] = []
        for machine in self.standing.machines:
            for one in machine.tasks:
                seconds = self._watch.left(one.begun) if one.begun is not None else None
                if one.begun is not None and one.begun.same and seconds is not None:
                    words = left_words(one.task.steps[one.begun.steps - 1].words, seconds)
                    mark = (one.begun.uid, one.begun.since, one.begun.wait)
                    found.append(Wait(machine.machine.id, one, seconds, words, mark))
        return sorted(found, key=lambda wait: wait.seconds)

    def task_under_way(self) -> tuple[str, TaskStanding] | None:
        """Give the task to go on with, and its machine's id: that whose wait ends first."""
        waits = self.waits()
        if waits:
            return waits[0].machine, waits[0].standing
        begun = [
            (one.begun.last or one.begun.when, machine.machine.id, one)
            for machine in self.standing.machines
            for one in machine.tasks
            if one.begun is not None
        ]
        newest = max(begun, key=lambda found: found[0], default=None)
        return newest[1:] if newest is not None else None

    def seconds_left(self, begun: Begun | None) -> float | None:
        """Give the seconds that a task must still be left alone; None when it need not be."""
        return self._watch.left(begun) if begun is not None else None

    def look_closer(self) -> bool:
        """From now on, look at what follows from the methods, too.

        Returns:
            Whether the shop file has a problem of that sort.
        """
        if not self._closer:
            self._closer = True
            if not self._read_closer:
                self._stamp = None
                self._reload_shop()
                self._mark = None
        return bool(self.problems)

    def gather_anew(self) -> bool:
        """Hold what was kept from an earlier start against the file; give whether it was.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if not self._gathered.is_recalled:
            return False
        self._gathered.forget()
        self._mark = None
        return self.poll()

    def retired(self) -> tuple[Retired, ...]:
        """Give what is on record under names that the shop file no longer has.

        Raises:
            JournalError: when the journal cannot be read.
        """
        from shopboard.upkeep.retired import find_retired

        if self._retired_for is not self.standing:
            self._retired = tuple(find_retired(self.shop, self.journal))
            self._retired_for = self.standing
        return self._retired

    def hints(self) -> tuple[Hint, ...]:
        """Give a warning for each retired name that something in the file probably became.

        Nothing before `look_closer`: the first picture does not wait for this.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if not self._closer or self.problems:
            return ()
        gone: list[tuple[str, ...]] = [
            place for place in self._places if ".".join(place) not in self.shop.points
        ]
        gone += sorted(self._kept_up - self._kept_up_by_the_file())
        if not gone:
            return ()
        if self._hints_for != (self._stamp, gone):
            from shopboard.upkeep.rename_hints import rename_hints

            self._hints = rename_hints(self.shop_file, self.shop, self.retired())
            self._hints_for = (self._stamp, gone)
        return self._hints

    def _kept_up_by_the_file(self) -> set[tuple[str, str, str]]:
        machines = self.shop.machines
        return {
            *(("task", machine.id, task.id) for machine in machines for task in machine.tasks),
            *(("cutter", machine.id, one.id) for machine in machines for one in machine.cutters),
        }

    def has_results(self, one: Retired) -> bool:
        """Tell whether what a retired name probably became has records of its own by now."""
        machine, _, ident = one.became.partition(".")
        if one.sort != "point":
            return (one.sort, machine, ident) in self._kept_up
        if ident:
            return (machine, ident) in self._places
        return any(place[0] == machine for place in self._places)

    def stood(self, when: datetime) -> ThenStanding:
        """Work out how everything stood at a moment, by the shop file of today.

        Raises:
            JournalError: when the journal cannot be read.
        """
        from shopboard.standing.look_back import stood

        return stood(self.journal, self.shop, when, self.now())

    def has_ranks(self, full_name: str) -> bool:
        """Tell whether `ranks` has its answer at hand."""
        return self._ranked_for is self.standing and full_name in self._ranks

    def ranks(self, full_name: str) -> tuple[Rank, ...]:
        """Give what each method of a point usually proves; worked out when first asked for."""
        from shopboard.checks.ranking import rank
        from shopboard.sittings.point_job import job_for

        if self._ranked_for is not self.standing:
            self._ranked_for, mark = self.standing, self._proofs()
            if mark != self._ranks_mark:
                self._ranks, self._ranks_mark = {}, mark
        if full_name not in self._ranks:
            point = self.shop.points[full_name]
            self._ranks[full_name] = rank(job_for(self.shop, point, self.journal), point.checks)
        return self._ranks[full_name]

    def has_outlook(self, full_name: str) -> bool:
        """Tell whether `outlook` has its answer at hand."""
        return full_name in self.kept("outlook")

    def outlook(self, full_name: str) -> Outlook:
        """Give how a point wanders and what follows; worked out when first asked for.

        Raises:
            KeyError: when the shop file has no such point.
            JournalError: when the journal cannot be read.
        """
        from shopboard.wander.outlook import outlook
        from shopboard.wander.point_history import point_past

        outlooks: dict[str, Outlook] = self.kept("outlook")
        if full_name not in outlooks:
            point, stands = self.shop.points[full_name], self.standing.of_point(full_name)
            newest = stands.record if stands else None
            beside = self.shop.reached.get(point.machine)
            past = point_past(self.journal, point, beside=beside)
            outlooks[full_name] = outlook(point, past, newest, self.shop.accepted_risk)
        return outlooks[full_name]

    def kept(self, what: str) -> dict[str, Any]:
        """Give the place for what follows from shop and journal alone, whatever the time.

        It is emptied when either changes.
        """
        shop, mark = self._kept_for
        if shop is not self.shop or mark != self._mark:
            self._kept, self._kept_for = {}, (self.shop, self._mark)
        return self._kept.setdefault(what, {})

    def wander_words(self, full_name: str) -> list[str]:
        """Say how a point wanders and when its next check is due; nothing where it has no result.

        Raises:
            KeyError: when the shop file has no such point.
            JournalError: when the journal cannot be read.
        """
        from shopboard.wander.outlook import sentences

        stands = self.standing.of_point(full_name)
        if stands is None:
            raise KeyError(full_name)
        return sentences(
            self.outlook(full_name),
            stands.point,
            stands.record,
            self.shop.unit,
            self.shop.accepted_risk,
            true=stands.state in ("true", "due", "waits"),
        )

    def _proofs(self) -> tuple[object, ...]:
        """Give what the drawer's tools are worth by: the shop, and the results that prove them."""
        found = (self.standing.of_point(one.full_name) for one in self.shop.points.values())
        proofs = [one.record.uid for one in found if one and one.point.proves and one.record]
        return (self.shop, *proofs)

    def history(self, full_name: str, limit: int = 200) -> list[CheckRecord]:
        """Give the results of a point, in the shop file or not, newest first, with the voided."""
        machine, _, point = full_name.partition(".")
        found = read_all(self.journal.recent("check", machine, point, limit))
        return with_remarks(found, self.journal, machine, point)
