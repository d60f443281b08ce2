"""What there is to do on a prep day, piece by piece, and what must come before what. Pure.

A piece is what a person does in one go: a check, a change of cutter, a task, or those steps of a
task that follow each other without a wait. Times are minutes from the zero of the day.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from shopboard.prep.minutes import CHANGE_MINUTES, task_minutes
from shopboard.prep.pieces import (
    Piece,
    cutter_is_off,
    rank,
    stretches,
    takes_cutter_off,
    undoes_edge,
    undone_by_change,
)
from shopboard.prep.schedule import Job
from shopboard.shop.model import CHANGED_BY, CutterKind, Point, Shop
from shopboard.standing import MachineStanding, PointStanding, ShopStanding
from shopboard.upkeep.cutter_acts import possible
from shopboard.upkeep.cutters import KINDS, CutterStanding, change_words, group_of
from shopboard.upkeep.tasks import TaskStanding
from shopboard.upkeep.undone import below, undone_through

ERRAND = 30.0
"""Minutes from which a wait is begun early where that costs nothing: what goes wrong meanwhile
does not make the day longer."""


_BY_SQUARE = frozenset({"square"})
_BY_STRAIGHTEDGE = frozenset({"straightness", "flatness", "coplanar"})


class Present(NamedTuple):
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
    first: Collection[str] = ()
    """Machines that come first where nothing else decides."""


class ToDo(NamedTuple):
    """The pieces, and the same as jobs for the schedule."""

    pieces: Mapping[str, Piece]
    jobs: tuple[Job, ...]
    open_now: str = ""
    """Machine whose cutter is out."""
    left_out: tuple[str, ...] = ()
    """What is not in the plan and why, in sentences."""


def to_do(present: Present) -> ToDo:
    """Collect what there is to do, with the constraints between the pieces."""
    return _Collector(present).collect()


def sharp_one(one: CutterStanding, here: Sequence[CutterStanding]) -> tuple[str, str] | None:
    """Say what makes a blunt cutter's machine sharp again: (id of a cutter, act); None: nothing."""
    if any(act.name == "turn" for act in possible(one)):
        return one.id, "turn"
    spares = [
        other
        for other in group_of(one, here)
        if other.where == "on the shelf"
        and other.state == "sharp"
        and not other.past_life
        and other.cutter.kind == one.cutter.kind
    ]
    return (spares[0].id, "put on") if spares else None


def comes_back(one: PointStanding, standing: ShopStanding, now: datetime) -> bool:
    """Tell whether a point is true again by itself when what it rests on is found true as it is.

    So it is when it is due only because that is due. A base that is out, was moved or was never
    measured has to be set; then what rests on it is checked again.
    """
    root = standing.of_point(one.first) if one.first else None
    record = one.record
    if one.state != "due" or one.undone or record is None or root is None or root.state != "due":
        return False
    if not one.reason.startswith("rests on ") or "set anew" in one.reason:
        return False
    holds = record.holds
    if holds is not None and holds.minutes is not None:
        return False  # the running of the machine may have used it up as well
    days = [one.point.every_days, holds.days if holds is not None else None]
    return all(day is None or now - record.when < timedelta(days=day) for day in days)


def measured_with(shop: Shop, tool: str) -> frozenset[str]:
    """Give the methods that take a tool of that sort: it is proven before they are used."""
    if any(square.id == tool for square in shop.drawer.squares):
        return _BY_SQUARE
    others = [one for one in shop.drawer.others if one.id == tool]
    return _BY_STRAIGHTEDGE if any(one.kind == "straightedge" for one in others) else frozenset()


class _Collector:
    def __init__(self, present: Present) -> None:
        self._now = present
        self._pieces: dict[str, Piece] = {}
        self._jobs: dict[str, Job] = {}
        self._left_out: list[str] = []
        self._closing: dict[str, str] = {}
        """By machine whose cutter is out now, the piece with which it is on again."""
        self._gates: dict[str, list[str]] = {}
        """By machine, what must be over before it is checked."""

    def collect(self) -> ToDo:
        standing = self._now.standing
        machines = [one for one in standing.machines if self._concerns(one)]
        self._say_others(machines)
        undone: set[str] = set()
        for one in machines:
            change = self._change(one)
            happened = _happens(one, change) if change is not None else ""
            if happened:
                undone |= {*undone_through(self._now.shop, one.machine, happened)}
            self._upkeep(one, change, happened)
        self._checks({one.machine.id for one in machines if not one.tag}, undone)
        open_now = self._close_first()
        self._in_hand_first()
        return ToDo(self._pieces, tuple(self._jobs.values()), open_now, tuple(self._left_out))

    def _concerns(self, one: MachineStanding) -> bool:
        """Tell whether a machine is part of the day, and say so when its tag keeps it out.

        Hand tools, which have no points, serve every project; so does what was begun.
        """
        needed = self._now.needed
        used = needed is None or any(name.partition(".")[0] == one.machine.id for name in needed)
        under_way = one.changing is not None or any(task.begun for task in one.tasks)
        if not (used or under_way or (not one.points and one.tasks)):
            return False
        if one.tag and (one.to_check or one.to_do or one.blunt or under_way):
            self._left_out.append(f"{one.machine.name} is left out: DO NOT USE, {one.tag}.")
        return not one.tag

    def _say_others(self, machines: Sequence[MachineStanding]) -> None:
        if self._now.needed is None:
            return
        ids = {one.machine.id for one in machines}
        others = [
            one for one in self._now.standing.machines if one.machine.id not in ids and not one.tag
        ]
        number = sum(len(one.to_do) + one.to_check for one in others)
        number += sum(
            1
            for one in machines
            for point in one.points
            if point.state != "true" and point.point.full_name not in self._now.needed
        )
        if number:
            self._left_out.append(f"Not for this project: {number} more to check or to do.")

    # ------------------------------------------------------------------ cutters

    def _change(self, one: MachineStanding) -> Piece | None:
        """Give the change of a cutter that is due on a machine, or under way."""
        if one.changing is not None:
            name = f"Go on with the {one.changing.what}"
            minutes = CHANGE_MINUTES[_kind_of(one.changing.what) or "blade"] / 2
            return Piece(
                f"cutter {one.machine.id}", "cutter", one.machine.id, name, minutes, name,
                "it is under way",
            )  # fmt: skip
        for blunt in one.blunt:
            found = sharp_one(blunt, one.cutters)
            if found is None:
                self._left_out.append(_no_sharp_one(one, blunt))
                continue
            ident, act = found
            worn = blunt.state if blunt.state != "sharp" else "past its life"
            sharp = next(other for other in one.cutters if other.id == ident)
            name = f"Turn the {sharp.cutter.name}" if act == "turn" else f"{sharp.cutter.name} on"
            return Piece(
                f"cutter {one.machine.id}.{ident}",
                "cutter",
                one.machine.id,
                name,
                CHANGE_MINUTES[blunt.cutter.kind],
                f"Change to {sharp.cutter.name}" if act != "turn" else name,
                f"{blunt.cutter.name} is {worn}",
                ident,
                act=act,
            )
        return None

    # ------------------------------------------------------------------ tasks

    def _upkeep(self, one: MachineStanding, change: Piece | None, happened: str) -> None:
        """Put in a machine's tasks and its change of cutter; they gate its checks."""
        machine = one.machine.id
        place, gates = self._place(machine), []
        half_done = change is not None and not change.act
        start: tuple[tuple[str, float], ...] = ()
        if change is not None and half_done:  # a loose nut comes before all else here
            self._closing[machine] = change.id
            self._add(change, place)
            start = ((change.id, 0.0),)
            gates.append(change.id)
        later = [task for task in one.tasks if happened and happened in task.task.after]
        sooner = [t for t in one.tasks if (t.due or t.begun) and t not in later]
        ends = self._tasks(machine, sooner, start)
        gates += ends
        if change is not None and not half_done:
            after = tuple((name, 0.0) for name in ends)
            self._add(change, place, after, opens=machine, closes=machine)
            gates = [change.id]
            start = ((change.id, 0.0),)
        gates += self._tasks(machine, later, start)
        self._gates[machine] = gates

    def _tasks(
        self, machine: str, tasks: Sequence[TaskStanding], start: tuple[tuple[str, float], ...]
    ) -> list[str]:
        """Put in tasks of a machine; give the last piece of each.

        What makes dirt comes before wax and oil; of two that take the cutter off, the second
        begins when the first is over.
        """
        ends: list[str] = []
        dirty: list[str] = []
        opened: list[str] = []
        last_of: dict[str, str] = {}
        # those under way first, dirt before wax, and what spoils an edge before what makes it
        order = sorted(
            tasks,
            key=lambda one: (
                one.begun is None,
                rank(one.task),
                any(undoes_edge(other.task, one.task) for other in tasks),
            ),
        )
        for one in order:
            before = [*start]
            if one.begun is None:
                spoilers = (other.task for other in tasks if undoes_edge(other.task, one.task))
                before += [(last_of[other.id], 0.0) for other in spoilers if other.id in last_of]
            if rank(one.task) == 2 and one.begun is None:
                before += [(name, 0.0) for name in dirty]
            opens = takes_cutter_off(one.task) is not None
            if opens and one.begun is None:
                before += [(name, 0.0) for name in opened]
            names = self._task(machine, one, tuple(before))
            if not names:
                continue
            ends.append(names[-1])
            last_of[one.task.id] = names[-1]
            if opens:
                opened.append(names[-1])
            if rank(one.task) == 0:
                dirty.append(names[-1])
        return ends

    def _task(
        self, machine: str, one: TaskStanding, after: tuple[tuple[str, float], ...]
    ) -> list[str]:
        """Put in what is left of a task, in pieces between its waits; give their ids."""
        task, begun = one.task, one.begun if one.begun is not None and one.begun.same else None
        place, each = self._place(machine), task_minutes(task) / max(len(task.steps), 1)
        done = begun.steps if begun is not None else 0
        ready = 0.0
        if begun is not None and begun.since is not None and begun.wait:
            over = begun.since + timedelta(minutes=begun.wait)
            ready = max(0.0, (over - self._now.zero) / timedelta(minutes=1))
        out = takes_cutter_off(task)
        is_open = out is not None and out[0] <= done < out[1]
        names: list[str] = []
        for first, last in stretches(task, done):
            opens = out is not None and first <= out[0] <= last
            closes = out is not None and done < out[1] and first <= out[1] <= last
            wait = task.steps[last - 1].wait_minutes if last else 0.0
            if first > last:  # nothing is left but to say that the last wait is over
                wait, last = 0.0, first - 1
            piece = Piece(
                f"task {machine}.{task.id} {first}",
                "task",
                machine,
                task.name,
                max(each * (last - first + 1), 1.0) if task.steps else each,
                task.steps[first - 1].words if first <= last and task.steps else task.name,
                "under way" if begun is not None else one.reason,
                task.id,
                (first, last) if task.steps else (0, 0),
                len(task.steps),
                wait,
            )
            self._add(
                piece,
                place,
                after if not names else ((names[-1], self._pieces[names[-1]].wait),),
                opens=machine if opens else "",
                closes=machine if closes and not is_open else "",
                ready=ready if not names else 0.0,
            )
            names.append(piece.id)
            if closes and is_open:
                self._closing[machine] = piece.id
        return names

    # ------------------------------------------------------------------ checks

    def _checks(self, machines: Collection[str], undone: Collection[str]) -> None:
        """Put in the checks, each after what it rests on and after its machine's upkeep."""
        standing, shop = self._now.standing, self._now.shop
        chosen: dict[str, PointStanding] = {}
        back = enough = 0
        for name, point in shop.points.items():
            one, needed = standing.of_point(name), self._now.needed
            if one is None or point.machine not in machines:
                continue
            if needed is not None and name not in needed:
                continue
            if name in undone:
                chosen[name] = one
            elif one.state == "true" and name not in self._now.to_check:
                continue
            elif needed is not None and name not in self._now.to_check:
                enough += 1
            elif comes_back(one, standing, self._now.zero):
                back += 1
            else:
                chosen[name] = one
        if enough:
            points = f"{enough} point{'' if enough == 1 else 's'}"
            self._left_out.append(f"Not true, but good enough for this project: {points}.")
        if back:
            points, rest = ("1 point", "it rests") if back == 1 else (f"{back} points", "they rest")
            self._left_out.append(f"Counted on: {points} true again when what {rest} on is.")
        order = [name for name in standing.order if name in chosen]
        order += [name for name in chosen if name not in order]
        bases = {name: below(shop.points[name], shop.points) & chosen.keys() for name in order}
        bare: dict[str, list[str]] = {}
        for name in order:
            # one that itself rests on what it undoes cannot come before all of that
            if cutter_is_off(shop.points[name]) and not any(
                undone_by_change(shop.points[base]) for base in bases[name]
            ):
                bare.setdefault(shop.points[name].machine, []).append(name)
        proofs = {
            name: uses
            for name in order
            if (uses := measured_with(shop, shop.points[name].proves))
            and all(shop.points[base].proves for base in bases[name])
        }
        for name in order:
            one = chosen[name]
            machine = one.point.machine
            after = {f"check {base}": 0.0 for base in order if base in bases[name]}
            if not any(shop.points[base].machine == machine for base in bases[name]):
                after |= dict.fromkeys(self._gates.get(machine, ()), 0.0)
            if not one.point.proves:
                mine = {*one.point.checks}
                after |= {f"check {tool}": 0.0 for tool, uses in proofs.items() if uses & mine}
            bares = cutter_is_off(one.point)
            if not bares and undone_by_change(one.point):
                after |= {f"check {other}": 0.0 for other in bare.get(machine, ())}
            self._add(
                self._check(one, will_be_undone=one.state == "true" and name in undone),
                self._place(machine),
                tuple(after.items()),
                opens=machine if bares else "",
                closes=machine if bares else "",
            )

    def _check(self, one: PointStanding, *, will_be_undone: bool) -> Piece:
        point = one.point
        why = f"{one.state}: {one.reason}" if one.reason else one.state
        why = self._now.to_check.get(point.full_name) or why
        if will_be_undone:
            why = "the change of cutter undoes it"
        words = f"{point.name}: set it right, check it" if one.state == "out" else point.name
        return Piece(
            f"check {point.full_name}",
            "check",
            point.machine,
            point.name,
            self._now.minutes(point),
            words,
            why,
            point.full_name,
        )

    def _close_first(self) -> str:
        """Give the machine that is open now; where several are, no other is opened before."""
        if not self._closing:
            return ""
        machine, last = next(iter(self._closing.items()))
        self._jobs[last] = self._jobs[last]._replace(closes=machine)
        others = tuple((name, 0.0) for one, name in self._closing.items() if one != machine)
        if others and not self._now.allow_open:
            for ident, job in self._jobs.items():
                if job.opens and job.opens not in self._closing:
                    after = dict((*job.after, *others))
                    self._jobs[ident] = job._replace(after=tuple(after.items()))
        return machine

    def _in_hand_first(self) -> None:
        """Let a check that was begun be finished before anything else is."""
        name = f"check {self._now.in_hand}"
        if name not in self._jobs:
            return
        for ident, job in self._jobs.items():
            if ident == name:  # its cutter may be off by now, whatever else is open
                self._jobs[ident] = job._replace(after=(), opens="", closes="")
            else:
                after = dict((*job.after, (name, 0.0)))
                self._jobs[ident] = job._replace(after=tuple(after.items()))

    # ------------------------------------------------------------------ jobs

    def _place(self, machine: str) -> str:
        """Give where one stands: the modes of a combination machine are one place."""
        return self._now.shop.machines_by_id[machine].body or machine

    def _add(
        self,
        piece: Piece,
        place: str,
        after: tuple[tuple[str, float], ...] = (),
        opens: str = "",
        closes: str = "",
        ready: float = 0.0,
    ) -> None:
        body = self._now.shop.machines_by_id[piece.machine].body
        self._pieces[piece.id] = piece
        self._jobs[piece.id] = Job(
            piece.id,
            piece.minutes,
            place=place,
            body=body,
            mode=piece.machine if body else "",
            after=after,
            tail=piece.wait,
            ready=ready,
            opens=opens,
            closes=closes,
            first=piece.machine in self._now.first or piece.wait >= ERRAND,
        )


def _no_sharp_one(one: MachineStanding, blunt: CutterStanding) -> str:
    """Say that a dull cutter stays on, and where a sharp one lies that is not meant for it."""
    words = f"{one.machine.name}: dull is {blunt.cutter.name}, and no sharp one is at hand."
    others = [
        other.cutter.name
        for other in one.cutters
        if other.id != blunt.id
        and (other.where, other.state) == ("on the shelf", "sharp")
        and not other.past_life
        and other.cutter.kind == blunt.cutter.kind
    ]
    if not others:
        return words
    return f"{words} If {others[0]} does its work, say so by spare_for in the shop file."


def _kind_of(change: str) -> CutterKind | None:
    """Give what kind of cutter is changed in a change of that name; None: none is known."""
    return next((kind for kind in KINDS if change_words(kind) == change), None)


def _happens(one: MachineStanding, change: Piece) -> str:
    """Say what has happened to the machine when a cutter is changed; empty: nothing that undoes."""
    if change.act == "turn":
        return "knives turned"
    kind = _kind_of(one.changing.what) if one.changing is not None else None
    for other in one.cutters:
        kind = other.cutter.kind if other.id == change.target else kind
    return CHANGED_BY.get(kind, "") if kind is not None else ""
