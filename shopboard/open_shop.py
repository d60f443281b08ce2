"""The shop file and the journal, open together, and how everything stands by them.

Board and commands work with it. It keeps the last good shop, and notices what others record.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shopboard.base.server_place import JournalPlace
from shopboard.base.who import who_is_here
from shopboard.base.worked_out import WorkedOut
from shopboard.journal import Damage, Entry, JournalDiffers, Store, kinds, open_journal
from shopboard.journal.computer import this_computer, written_elsewhere
from shopboard.journal.shop_clock import Clock, ShopClock
from shopboard.results.record import CheckRecord, read_all
from shopboard.results.remarks import with_remarks
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem
from shopboard.shop.renames import renames_of
from shopboard.shop.watched import WatchedShop
from shopboard.sittings.waiting import begun_tasks, unfinished
from shopboard.standing.gathered import Gathered
from shopboard.standing.judge import judged_once
from shopboard.standing.on_record import on_record
from shopboard.standing.waits import Wait, goes_on_first, waits_of
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.wait_watch import WaitWatch
from shopboard.wander.anew import HeldAnew

if TYPE_CHECKING:
    from shopboard.checks.ranking import Rank
    from shopboard.journal.looking import Looking
    from shopboard.standing.look_back import ThenStanding
    from shopboard.upkeep.rename_hints import Hint
    from shopboard.upkeep.retired import Retired
    from shopboard.wander.outlook import Outlook


def utc_now() -> datetime:
    """Give the time."""
    return datetime.now(UTC)


class OpenShop:
    """A shop file that was read at least once, and an open journal."""

    def __init__(
        self,
        shop_file: Path,
        journal_file: JournalPlace,
        clock: Clock = utc_now,
        wait_seconds: float = 5.0,
        *,
        thorough: bool = False,
        begin: bool = True,
        stand_in: bool = False,
        told: Callable[[Damage], None] | None = None,
        who: Callable[[], str] = who_is_here,
    ) -> None:
        """Read the shop file and open the journal.

        Args:
            shop_file: path of the shop file.
            journal_file: where the journal is.
            clock: gives the time.
            wait_seconds: how long each call waits for another program that is recording.
            thorough: look at what follows from the methods, too, which takes their imports.
            begin: make the journal where there is none.
            stand_in: where there is none and none is made, show the shop by an empty one.
            told: is told of damage that is met in the journal, as soon as it is.
            who: names this bench; empty: it has no name.

        Raises:
            ShopFileError: when the shop file cannot be used.
            JournalError: when the journal cannot be opened, not even for reading.
        """
        self.shop_file = shop_file
        self.clock = clock
        self.who = who
        self._watched = WatchedShop(shop_file, thorough=thorough)
        self._anew = HeldAnew(self._watched)
        self.waiting: dict[str, Entry] = {}
        """Unfinished checks by the point's full name, the one answered last first."""
        self._worked_out = WorkedOut()
        self._judged = 0
        """How often it was worked out how all stands: each time, what follows may be another."""
        self.unreadable = 0
        """Results of a later program, which this one cannot show."""
        self._watch = WaitWatch(clock, time.monotonic)
        self._file = self.at_its_place = open_journal(
            journal_file,
            clock,
            create=begin,
            wait_seconds=wait_seconds,
            computer=this_computer,
            who=who,
            watched=True,
            stand_in=stand_in,
            told=told,
            read_seconds=60.0 if thorough else 5.0,  # a command may read ten years, a screen not
        )
        self.as_owner = self._file.owned  # words that are said once
        self.journal: Store = self._file
        """The journal, under the names that the shop file gives today."""
        self._gathered = Gathered(self._file, self._watched.digest, self._anew)
        self._read_under_todays_names()
        self._thorough = thorough
        self._looking: Looking | None = None
        if thorough:
            self._look().at_once()
        else:
            self._gathered.recall()
        self.refresh()

    @property
    def shop(self) -> Shop:
        """The last good reading of the shop file."""
        return self._watched.shop

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What is odd in it but can be used."""
        return self._watched.warnings

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with the file on disk while an earlier reading of it stands."""
        return self._watched.problems

    def _look(self) -> Looking:
        from shopboard.journal.looking import Looking  # not needed for the first picture

        if self._looking is None:
            self._looking = Looking(self._file, self._file.path, self.clock, time.monotonic)
        return self._looking

    def look_on(self, seconds: float) -> bool:
        """Look on through the journal for so long; give whether all of it was looked at.

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

    def _read_under_todays_names(self) -> None:
        if self._gathered.digest != self._watched.digest:
            self._gathered = Gathered(self._file, self._watched.digest, self._anew)
        renames = renames_of(self.shop)
        self.journal = self._file
        if renames is not None:
            from shopboard.upkeep.renamed import Renamed  # nothing was renamed in most shops

            self.journal = Renamed(self._file, renames)

    def now(self) -> datetime:
        """Give the time, never before the newest record: a lagging clock makes nothing younger.

        A clock that has run away stands at the last time that one can reckon from.
        """
        return self._shop_clock.now()

    def clock_now(self) -> datetime:
        """Give the clock, also where it stands before the newest record: that one may be wrong."""
        return self._shop_clock.clock_now()

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
        return self._shop_clock.is_wrong

    def other_computer(self) -> str:
        """Say that another computer wrote the journal last; empty when this one did.

        Raises:
            JournalError: when the journal cannot be read.
        """
        return written_elsewhere(self.journal, self._shop_clock.newest)

    def refresh(self) -> None:
        """Work out everything anew from shop, journal and time.

        Raises:
            JournalError: when the journal cannot be read; everything stays as it was.
        """
        mark = self.journal.change_mark()
        shop_clock = ShopClock(self.clock, self.journal.newest_when())
        past = self._gathered.now(self.journal)
        waiting = unfinished(self.journal, shop_clock.clock_now())
        begun = begun_tasks(self.journal, self.shop, past)
        past = past._replace(begun=begun, damage=self.journal.damage)
        self._shop_clock = shop_clock
        self.waiting = {name: one for name, one in waiting.items() if name in self.shop.points}
        self.unreadable = past.unreadable
        self._on_record = on_record(past)
        self.is_demo = self._file.made_up
        """Whether nothing on record ever happened: it was made up, to be looked at."""
        self._judged += 1
        self.standing = judged_once(self._worked_out, self._watched, past, self.now())
        self.as_of: int | None = mark
        """The journal's mark up to which all this goes; None: it is worked out anew next time."""

    def poll(self) -> bool:
        """Look whether the shop file or the journal changed, and take it in.

        Returns:
            Whether anything changed.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if self._watched.look():
            self._read_under_todays_names()
            self.as_of = None  # if the journal cannot be read now, the next look does it
        if self.journal.change_mark() == self.as_of:
            return False
        self.refresh()
        return True

    def waits(self) -> list[Wait]:
        """Give what is left alone within tasks, that which is over or ends first at the front."""
        return waits_of(self.standing, self._watch)

    def task_under_way(self) -> tuple[str, TaskStanding] | None:
        """Give the task to go on with, and its machine's id: that whose wait ends first."""
        return goes_on_first(self.standing, self.waits())

    def seconds_left(self, begun: Begun | None) -> float | None:
        """Give the seconds that a task must still be left alone; None when it need not be."""
        return self._watch.left(begun) if begun is not None else None

    def look_closer(self) -> bool:
        """From now on, look at what follows from the methods, too.

        Returns:
            Whether the shop file has a problem of that sort.
        """
        if self._watched.look_closer():
            self._read_under_todays_names()
            self.as_of = None
        return bool(self.problems)

    def gather_anew(self) -> bool:
        """Hold what was kept from an earlier start against the file; give whether it was.

        Raises:
            JournalError: when the journal cannot be read.
        """
        if not self._gathered.is_recalled:
            return False
        self._gathered.forget()
        self.as_of = None
        return self.poll()

    def retired(self) -> tuple[Retired, ...]:
        """Give what is on record under names that the shop file no longer has.

        Raises:
            JournalError: when the journal cannot be read.
        """
        from shopboard.upkeep.retired import find_retired

        return self._worked_out.kept(
            "retired", self._judged, lambda: tuple(find_retired(self.shop, self.journal))
        )

    def hints(self) -> tuple[Hint, ...]:
        """Give a warning for each retired name that something in the file probably became.

        Nothing before `look_closer`: the first picture does not wait for this.

        Raises:
            JournalError: when the journal cannot be read.
        """
        looks = self._watched.closer and not self.problems
        if not (gone := self._on_record.gone(self.shop) if looks else ()):
            return ()
        from shopboard.upkeep.rename_hints import rename_hints

        return self._worked_out.kept(
            *("hints", (self._watched.stamp, gone)),
            lambda: rename_hints(self.shop_file, self.shop, self.retired()),
        )

    def has_results(self, one: Retired) -> bool:
        """Tell whether what a retired name probably became has records of its own by now."""
        return self._on_record.has_results(one)

    def stood(self, when: datetime) -> ThenStanding:
        """Work out how everything stood at a moment, by the shop file of today.

        Raises:
            JournalError: when the journal cannot be read.
        """
        from shopboard.standing.look_back import stood

        return stood(self.journal, self.shop, when, self.now(), self._anew)

    def has_ranks(self, full_name: str) -> bool:
        """Tell whether `ranks` has its answer at hand."""
        proofs = self._worked_out.known("proofs of tools", self._judged)
        return full_name in (self._worked_out.known("ranks", proofs) or ())

    def ranks(self, full_name: str) -> tuple[Rank, ...]:
        """Give what each method of a point usually proves; worked out when first asked for."""
        from shopboard.checks.ranking import rank
        from shopboard.sittings.point_job import job_for

        proofs = self._worked_out.kept(
            *("proofs of tools", self._judged),
            lambda: (self._watched.times, *self.standing.proofs()),
        )
        ranks: dict[str, tuple[Rank, ...]] = self._worked_out.kept("ranks", proofs, dict)
        if full_name not in ranks:
            point = self.shop.points[full_name]
            ranks[full_name] = rank(job_for(self.shop, point, self.journal), point.checks)
        return ranks[full_name]

    def has_outlook(self, full_name: str) -> bool:
        """Tell whether `outlook` has its answer at hand."""
        return full_name in self.kept("outlook")

    def outlook(self, full_name: str) -> Outlook:
        """Give how a point wanders and what follows; worked out when first asked for.

        Raises:
            KeyError: when the shop file has no such point.
            JournalError: when the journal cannot be read.
        """
        from shopboard.wander.outlook import outlook_now

        outlooks: dict[str, Outlook] = self.kept("outlook")
        if full_name not in outlooks:
            point, stands = self.shop.points[full_name], self.standing.of_point(full_name)
            newest = stands.record if stands else None
            outlooks[full_name] = outlook_now(self.journal, self.shop, point, newest)
        return outlooks[full_name]

    def kept(self, what: str) -> dict[str, Any]:
        """Give the place for what follows from shop and journal alone, whatever the time.

        It is emptied when either changes.
        """
        return self._worked_out.kept(what, (self._watched.times, self.as_of), dict[str, Any])

    def wander_words(self, full_name: str) -> list[str]:
        """Say how a point wanders and when its next check is due; nothing where it has no result.

        Raises:
            KeyError: when the shop file has no such point.
            JournalError: when the journal cannot be read.
        """
        from shopboard.wander.outlook import sentences

        if (stands := self.standing.of_point(full_name)) is None:
            raise KeyError(full_name)
        about = (self.outlook(full_name), stands.point, stands.record, self.shop.unit)
        true = stands.state in ("true", "due", "waits")
        return sentences(*about, self.shop.accepted_risk, true=true)

    def history(self, full_name: str, limit: int = 200) -> list[CheckRecord]:
        """Give the results of a point, in the shop file or not, newest first, with the voided."""
        machine, _, point = full_name.partition(".")
        found = read_all(self.journal.recent(kinds.CHECK.name, machine, point, limit))
        return with_remarks(found, self.journal, machine, point)
