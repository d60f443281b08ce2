"""List scheduling: of what may come next, do what is first by a rule."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.schedule.at_hand import AtHand, Now
from shopboard.prep.schedule.network import NOWHERE, Net
from shopboard.prep.schedule.precedence import all_before, bits


class _Choice(NamedTuple):
    """A job that may come next; times in parts of a minute."""

    start: int
    change: int
    """Time to change the mode for it."""
    tail: int
    walk: bool
    late: int
    """How much it would hold up the closing of a machine that is open."""
    out_of_turn: bool
    """Whether it opens a machine before one that was wanted sooner."""
    leads: bool
    """Whether it is on the way to close a machine, open already or not."""
    waited: bool
    """Whether its wait is over and must not be left too long."""
    harms: int
    """Waits that it would leave too long although it harms."""


_Rule = Callable[[_Choice], tuple[int, ...]]

_RULES: tuple[_Rule, ...] = (
    lambda one: (one.start, -one.tail, one.walk),
    lambda one: (one.start + one.change, -one.tail, one.walk),
    lambda one: (-one.tail, one.walk),
    lambda one: (one.start + one.change - one.tail,),
    lambda one: (one.walk, one.start + one.change, -one.tail),
    lambda one: (one.change > 0, one.start, -one.tail, one.walk),
    lambda one: (one.late, one.start, not one.leads, -one.tail),
    lambda one: (one.late, one.start + one.change, -one.tail, one.walk),
)
"""What is least goes first."""

_OF_LONG_DAYS = (_RULES[4], _RULES[7])
"""Those of them that come nearest in a day of hundreds of jobs, each in its own way."""

_HUNDREDS = 250
"""From so many jobs on the first of these is the best of no day whose waits count."""

_WHERE_WAITS_DO_NOT_COUNT = (_RULES[1],)
"""And this, where waits may be left."""

_WHERE_WAITS_COUNT: tuple[_Rule, ...] = (
    lambda one: (one.late, not one.waited, one.start + one.change, -one.tail, one.walk),
    lambda one: (one.late, not one.waited, one.start + one.change, one.walk, -one.tail),
)
"""And these, where waits must not be left too long: what was waited for comes first."""

_WHERE_MODES_CHANGE = (_RULES[3],)
"""And this, where a machine is changed over."""

_IN_TURN: tuple[Callable[[_Choice], tuple[int, ...]], ...] = (
    lambda one: (one.out_of_turn, one.late, one.start, not one.leads, -one.tail),
    lambda one: (one.out_of_turn, one.late, one.start, -one.tail),
)


def by_rules(net: Net, tail: Sequence[int], *, long: bool = False) -> Iterator[list[int]]:
    """Give an order of all jobs by each rule; each keeps all constraints.

    Args:
        net: the day.
        tail: least time from the end of each job to the finish.
        long: whether there are so many jobs that a few rules have to do.
    """
    few = (
        *_OF_LONG_DAYS[len(net.ids) > _HUNDREDS and bool(net.patient) :],
        *(_WHERE_WAITS_COUNT if net.patient else _WHERE_WAITS_DO_NOT_COUNT),
        *(_WHERE_MODES_CHANGE if any(net.change) else ()),
    )
    lister = _Lister(net, tail)
    for rule in few if long else _RULES:
        yield lister.order(rule, ())


def in_turn(net: Net, tail: Sequence[int], turns: Sequence[int]) -> Iterator[list[int]]:
    """Give orders in which machines are opened in turn, as far as the jobs allow.

    Args:
        net: the day.
        tail: least time from the end of each job to the finish.
        turns: the stretches, by number, in the order wanted.
    """
    lister = _Lister(net, tail)
    for rule in _IN_TURN:
        yield lister.order(rule, turns)


class _Lasts(NamedTuple):
    """When what is due has to start at the latest."""

    every: list[int]
    """Sorted."""
    kept_out: list[tuple[int, int, int]]
    """Each that must not be done while some stretches are open: (job, when, these as bits)."""

    @classmethod
    def of(cls, due: Mapping[int, int], foreign: Sequence[int]) -> _Lasts:
        """Sort what is due."""
        kept_out = [(job, last, foreign[job]) for job, last in due.items() if foreign[job]]
        return cls(sorted(due.values()), kept_out)


class _Lister:
    """Puts the jobs of a day in order by a rule."""

    def __init__(self, net: Net, tail: Sequence[int]) -> None:
        self.net = net
        self.tail = tail
        self.ways = {
            at: all_before(net.need, end) | 1 << end
            for at, (_, end, _) in enumerate(net.stretches)
            if end != NOWHERE
        }
        """Of each stretch, the jobs that lead to its closing, as bits."""
        self.leads = {at for way in self.ways.values() for at in bits(way)}

    def order(self, rule: _Rule, turns: Sequence[int]) -> list[int]:
        """Give the order by one rule.

        Args:
            rule: what is least goes first.
            turns: stretches in the order wanted.
        """
        net = self.net
        order: list[int] = []
        at_hand, modes = AtHand(net, self.tail), list(net.modes)
        now, done, opened, place = 0, 0, net.open_now, net.here
        due = {
            job: net.ready[job] + patience for job, patience, begun_by in net.strict if not begun_by
        }
        while at_hand.jobs:
            begins = (net.stretches[one][0] for one in turns)
            turn = next((one for one in begins if one != NOWHERE and not done >> one & 1), NOWHERE)
            stand = Now(now, opened, modes, place)
            choices = self._choices(at_hand, stand, turn if turns else None, due)
            _, _, at, start = min((one.harms, rule(one), at, one.start) for at, one in choices)
            order.append(at)
            now = start + net.work[at]
            done |= 1 << at
            opened = opened & ~net.closes[at] | net.opens[at]
            if net.body[at] != NOWHERE:
                modes[net.body[at]] = net.mode[at]
            if net.place[at] != NOWHERE:
                place = net.place[at]
            at_hand.done(at, now)
            due.pop(at, None)
            for wait, lag in net.strict_begins[at]:
                job, patience, _ = net.strict[wait]
                due[job] = max(due.get(job, 0), now + lag + patience)
        return order

    def _on_way(self, opened: int) -> int:
        """Give the jobs that lead to the closing of some stretches, as bits."""
        found = 0
        for stretch in bits(opened):
            found |= self.ways.get(stretch, 0)
        return found

    def _choices(
        self, at_hand: AtHand, stand: Now, turn: int | None, due: Mapping[int, int]
    ) -> Iterator[tuple[int, _Choice]]:
        """Give what may come next; never nothing: orders that are forced leave no dead end.

        Args:
            at_hand: the jobs that wait for no other.
            stand: how things stand.
            turn: the job that opens the machine whose turn it is; None: none has a turn.
            due: when jobs have to start at the latest, whose waits are begun and must not be left.
        """
        net, now, place, modes = self.net, stand.time, stand.place, stand.modes
        bodies, changes, work, tail = net.body, net.change, net.work, self.tail
        soonest, leads = at_hand.soonest, self.leads
        serving = at_hand.among(self._on_way(stand.opened)) if stand.opened else ()
        free = []
        for at in at_hand.choice(stand, serving):  # with hundreds of jobs, 200,000 times a day
            change = changes[at]
            if change and (bodies[at] == NOWHERE or modes[bodies[at]] in (net.mode[at], NOWHERE)):
                change = 0
            free.append((at, max(now + change, soonest[at]), change))
        lasts = _Lasts.of(due, net.foreign)
        next_on_way = min((start for at, start, _ in free if at in serving), default=None)
        for at, start, change in free:
            late = 0
            if next_on_way is not None and at not in serving:
                late = max(0, start + work[at] - next_on_way)
            yield (
                at,
                _Choice(
                    start,
                    change,
                    tail[at],
                    net.place[at] not in (NOWHERE, place),
                    late,
                    turn is not None and bool(net.opens[at]) and at != turn,
                    at in leads,
                    at_hand.waited(at, now),
                    self._harms(at, start, due, stand.opened, lasts) if net.strict else 0,
                ),
            )

    def _harms(
        self, at: int, start: int, due: Mapping[int, int], opened: int, lasts: _Lasts
    ) -> int:
        """Count the waits that a job would leave too long although it harms.

        Args:
            at: the job.
            start: when it would start.
            due: see `_choices`.
            opened: stretches that are open, as bits.
            lasts: when that is.
        """
        net = self.net
        end, opens = start + net.work[at], net.opens[at]
        harms = bisect_left(lasts.every, end) - (at in due and end > due[at])
        if opens:
            harms += sum(
                job != at and end <= last and bool(opens & foreign)
                for job, last, foreign in lasts.kept_out
            )
        for wait, _ in net.strict_begins[at]:
            harms += bool((opened | opens) & net.foreign[net.strict[wait][0]])
        return harms
