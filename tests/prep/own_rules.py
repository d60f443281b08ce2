"""What a prep day of a made shop asks for, worked out from its description by rules told here.

Nothing is taken from the program but the plain data of a work day: the rules are those of its help
and of its shop file's settings. Where two of them ask for opposite things the one told first holds.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from typing import NamedTuple

from shopboard.prep.schedule.job import Job, Workday
from tests.prep.random_shop import Made, Place, Spot, Step, Upkeep

CHANGE = {"blade": 6, "knives": 30, "bit": 2}
CLEANING = 10
LONGER = 10
"""Minutes (as the program's help of a task's wait tells them)."""

SPARED = {"check": ("task", "cutter", "clean"), "cutter": ("task",)}
"""Without what, left out for want of time, a check or a change of cutter is done all the same."""

DOES = {"blade": "blade changed", "knives": "knives changed", "bit": ""}


class Part(NamedTuple):
    """What is done of a task in one go: steps from 1, the last of them with a wait after it."""

    id: str
    first: int
    last: int


def parts(place: Place, one: Upkeep) -> list[Part]:
    """Part what is left of a task where it waits, and where wax follows dirt."""
    name = f"task {place.id}.{one.id}"
    if not one.steps:
        return [Part(f"{name} 0", 0, 0)]
    found, first = [], one.done + 1
    for number, step in enumerate(one.steps, 1):
        if number <= one.done:
            continue
        left = [each.leaves or one.leaves for each in one.steps[number - 1 : number + 1]]
        if step.wait or number == len(one.steps) or left == ["dirt", "wax"]:
            found.append(Part(f"{name} {first}", first, number))
            first = number + 1
    if one.steps[-1].wait:
        found.append(Part(f"{name} {len(one.steps) + 1}", len(one.steps) + 1, len(one.steps)))
    return found


class Change(NamedTuple):
    """A change of a cutter."""

    id: str
    place: str
    minutes: int
    happens: str
    dirt: bool
    reaches: tuple[str, ...]
    """The machines whose work waits for it."""
    before: tuple[str, ...]


def change_of(place: Place) -> Change | None:
    """Say what becomes of the cutter of a machine; None: it stays."""
    edge = place.edge
    if edge is None or edge.state == "sharp":
        return None
    minutes, happens, what = CHANGE[edge.kind], DOES[edge.kind], "spare"
    if edge.state == "dull" and edge.edges > 1:
        what, happens = "on", "knives turned"
    elif edge.spare == "sharp" or (edge.state == "dull" and edge.spare):
        pass
    elif edge.state == "dull":
        return None
    else:
        what, minutes = "on", minutes + CLEANING
    dirt = (edge.leaves or ("dirt" if edge.kind == "knives" else "nothing")) == "dirt"
    reaches = (place.id, *((edge.serves,) if edge.serves else ()))
    name = f"cutter {place.id}.{what}"
    return Change(name, place.id, minutes, happens, dirt, reaches, edge.before)


class Day:
    """The jobs of a made shop, and what comes before what."""

    def __init__(self, made: Made) -> None:
        self.made = made
        self.jobs: dict[str, Job] = {}
        self.open_now = ""
        self.alone: set[str] = set()
        """Jobs after which the wait may end when nobody is there."""
        found = {place.id: change_of(place) for place in made.places}
        self.changes = {name: one for name, one in found.items() if one is not None}
        self.undoing = self._undoing()
        for place in made.places:
            self._upkeep(place)
        for place in made.places:
            for earlier, later in self._said(place):
                self._put(earlier, later)
        for place in made.places:
            self._order(place)
        for place in made.places:
            self._cleaning(place)
        self._checks()

    def workday(self) -> Workday:
        """Give the work day."""
        bodies = {place.id: place.body for place in self.made.places if place.body}
        cost = {(p.body, p.id): float(p.change) for p in self.made.places if p.body}
        recorded = [spot.machine for spot in self.made.spots.values() if spot.true]
        recorded += [place.id for place in self.made.places if any(t.done for t in place.upkeep)]
        modes = {bodies[name]: name for name in recorded if name in bodies}
        return Workday(tuple(self.jobs.values()), cost, modes, open_now=self.open_now)

    def _add(self, place: Place, name: str, minutes: float, *, beside: bool = False) -> None:
        """Put in a job; what is done beside a combination machine needs no mode of it."""
        mode = place.id if place.body and not beside else ""
        body = place.body if mode else ""
        self.jobs[name] = Job(name, minutes, place.body or place.id, body, mode)

    def _set(self, name: str, **changes: object) -> None:
        self.jobs[name] = self.jobs[name]._replace(**changes)  # type: ignore[arg-type]

    def _put(self, earlier: str, later: str, lag: float = 0.0) -> None:
        """Let a job come after another, unless it must come before it."""
        ahead, seen = [earlier], set[str]()
        while ahead:
            name = ahead.pop()
            seen.add(name)
            ahead += [other for other, _ in self.jobs[name].after if other not in seen]
        if later not in seen:
            lags = dict(self.jobs[later].after)
            lags[earlier] = max(lag, lags.get(earlier, 0.0))
            self._set(later, after=tuple(lags.items()))

    def _undoing(self) -> dict[str, set[str]]:
        """Give, by each point, the changes that undo it or anything that it rests on."""
        spots, changes = self.made.spots, self.changes.values()
        found = {
            name: {
                one.id
                for one in changes
                if spot.machine in one.reaches and one.happens in spot.undone
            }
            for name, spot in spots.items()
        }
        for name, spot in spots.items():
            found[name] = found[name].union(*(found[one] for one in self._under(spot)))
        return found

    def still_true(self, put_off: Collection[str]) -> set[str]:
        """Give the checks that nothing asks for: all that would undo what is true is put off."""
        return {
            f"check {name}"
            for name, changes in self.undoing.items()
            if self.made.spots[name].true and changes and changes <= {*put_off}
        }

    def needs(self, name: str) -> set[str]:
        """Give the jobs before another one without which, for want of time, it is not done.

        A change of cutter is done without tasks, a check without any upkeep but the changes that
        undo what is true.
        """
        sort, _, which = name.partition(" ")
        spared = SPARED.get(sort, ())
        undo = self.undoing[which] if sort == "check" and self.made.spots[which].true else set()
        return {
            one
            for one, _ in self.jobs[name].after
            if one in undo or one.partition(" ")[0] not in spared
        }

    def _here(self, place: Place) -> list[Change]:
        """Give the changes that concern a machine, its own first."""
        found = [one for one in self.changes.values() if place.id in one.reaches]
        return sorted(found, key=lambda one: one.place != place.id)

    def _tasks(self, place: Place) -> list[Upkeep]:
        """Give the tasks that are done on a machine, those begun first, then dirt, then wax."""
        happens = {one.happens for one in self._here(place)}
        due = [one for one in place.upkeep if not one.after or one.after in happens]
        rank = {"dirt": 0, "nothing": 1, "wax": 2}
        return sorted(due, key=lambda one: (not one.done, rank[one.leaves]))

    # ------------------------------------------------------------------ upkeep

    def _upkeep(self, place: Place) -> None:
        for one in self._tasks(place):
            self._task(place, one)
        change = self.changes.get(place.id)
        if change is not None:
            self._add(place, change.id, change.minutes)
            self._set(change.id, opens=place.id, closes=place.id)

    def _task(self, place: Place, one: Upkeep) -> None:
        before = ""
        moves = {step.cutter: number for number, step in enumerate(one.steps, 1)}
        for part in parts(place, one):
            steps = one.steps[part.first - 1 : part.last] if one.steps else ()
            minutes = float(one.each * max(len(steps), 1)) if part.first <= part.last else 1.0
            beside = bool(one.steps) and all(step.tray for step in steps)
            self._add(place, part.id, minutes, beside=beside)
            waited = one.steps[part.first - 2] if part.first > 1 else Step()
            if before:
                self._put(before, part.id, waited.wait)
            elif waited.wait and one.done:
                self._set(part.id, ready=waited.wait)
            self._set(part.id, **self._patience(one, part, waited))
            if steps and steps[-1].wait:
                self._set(part.id, tail=steps[-1].wait)
                self.alone |= {part.id} if steps[-1].alone else set()
            if part.first <= moves.get("off", -1) <= part.last:
                self._set(part.id, opens=place.id)
            if part.first <= moves.get("on", -1) <= part.last:
                self._set(part.id, closes=place.id)
                if moves["off"] <= one.done:
                    self.open_now = place.id
            before = part.id

    @staticmethod
    def _patience(one: Upkeep, part: Part, waited: Step) -> dict[str, object]:
        """Say how long a wait may be left, and whether it harms to leave it longer."""
        if not waited.wait:
            return {}
        if waited.most:
            return {"patience": float(waited.most - waited.wait), "harms": True}
        if part.first > part.last:
            return {"patience": math.inf}
        return {"patience": float(max(LONGER, waited.wait / 2)), "harms": one.leaves == "wax"}

    def _order(self, place: Place) -> None:
        for earlier, later in (*self._follows(place), *self._coats(place)):
            self._put(earlier, later)
        tasks, change = self._tasks(place), self.changes.get(place.id)
        off = [one for one in tasks if any(step.cutter == "off" for step in one.steps)]
        for at, one in enumerate(off):
            for other in off[:at]:
                if not one.done:
                    self._put(parts(place, other)[-1].id, parts(place, one)[0].id)
        for one in tasks if change is not None else ():
            if busy := self._busy(place, one):
                self._put(busy[-1], change.id)  # type: ignore[union-attr]

    def _said(self, place: Place) -> Iterator[tuple[str, str]]:
        """What the shop file says of a machine's tasks: what comes before them, whose word it is.

        What is begun goes on.
        """
        for one in self._tasks(place):
            if one.done:
                continue
            first = parts(place, one)[0].id
            for other in self.made.places:
                names = {f"{place.id}.{one.id}"} | ({one.id} if other is place else set())
                for sooner in self._tasks(other):
                    if names & {*sooner.before}:
                        yield parts(other, sooner)[-1].id, first
                change = self.changes.get(other.id)
                if change is not None and names & {*change.before}:
                    yield change.id, first
        change = self.changes.get(place.id)
        cutters = {f"{place.id}.on", f"{place.id}.spare"}
        for other in self.made.places if change is not None else ():
            for sooner in self._tasks(other):
                if cutters & {*sooner.before}:
                    yield parts(other, sooner)[-1].id, change.id  # type: ignore[union-attr]

    def _follows(self, place: Place) -> Iterator[tuple[str, str]]:
        """What a change makes due comes after it."""
        for one in self._tasks(place):
            for change in self._here(place):
                if one.after and one.after == change.happens and not one.done:
                    yield change.id, parts(place, one)[0].id

    def _coats(self, place: Place) -> Iterator[tuple[str, str]]:
        """Dirt comes before wax goes on, and where wax is on already, when it is buffed."""
        tasks = self._tasks(place)
        dirty = [(change.id, change.id, False) for change in self._here(place) if change.dirt]
        for one in tasks:
            mine = self._leaving(place, one, "dirt")
            if mine:
                dirty.append((parts(place, one)[0].id, mine[-1], bool(one.done)))
        for one in tasks:
            coats = self._leaving(place, one, "wax")
            is_on = any((step.leaves or one.leaves) == "wax" for step in one.steps[: one.done])
            own = [part.id for part in parts(place, one)]
            for first, last, is_begun in dirty:
                if last in own:
                    continue
                if is_on and not is_begun:
                    yield own[-1], first
                elif coats and not is_on:
                    yield last, coats[0]

    @staticmethod
    def _leaving(place: Place, one: Upkeep, what: str) -> list[str]:
        """Give the parts of a task that leave something on the machine."""
        if not one.steps:
            return [parts(place, one)[0].id] if one.leaves == what else []
        return [
            part.id
            for part in parts(place, one)
            for step in one.steps[part.first - 1 : part.last]
            if (step.leaves or ("nothing" if step.tray else one.leaves)) == what
        ]

    @staticmethod
    def _busy(place: Place, one: Upkeep) -> list[str]:
        """Give the parts of a task that keep its machine busy: all but what is done in a tray."""
        moves = {step.cutter: number for number, step in enumerate(one.steps, 1)}
        out = range(moves.get("off", 0), moves.get("on", 0) + 1) if "off" in moves else range(0)
        return [
            part.id
            for part in parts(place, one)
            if not one.steps
            or any(
                number in out or not one.steps[number - 1].tray
                for number in (range(part.first, part.last + 1) or (part.last,))
            )
        ]

    def _cleaning(self, place: Place) -> None:
        """Dirty cutters are cleaned beside the machine: what comes off then, what goes on first."""
        edge, change = place.edge, self.changes.get(place.id)
        if edge is None:
            return
        goes_on = change is not None and change.id.endswith("spare")
        for name, state in (("on", edge.state), ("spare", edge.spare)):
            if state == "dirty" and (name == "spare" or goes_on):
                ident = f"clean {place.id}.{name}"
                self._add(place, ident, CLEANING, beside=True)
                if change is not None and goes_on:
                    pair = (change.id, ident) if name == "on" else (ident, change.id)
                    self._put(*pair)

    # ------------------------------------------------------------------ checks

    def _checks(self) -> None:
        spots = self.made.spots
        chosen = {n: one for n, one in spots.items() if not one.true or self.undoing[n]}
        for name, spot in chosen.items():
            place = next(one for one in self.made.places if one.id == spot.machine)
            self._add(place, f"check {name}", spot.minutes)
            if spot.bare:
                self._set(f"check {name}", opens=place.id, closes=place.id)
        for name, spot in chosen.items():
            place = next(one for one in self.made.places if one.id == spot.machine)
            before = [f"check {base}" for base in self._under(spot) if base in chosen]
            before += [one.id for one in self._here(place)]
            before += [busy for one in self._tasks(place) for busy in self._busy(place, one)[-1:]]
            if not spot.proves:
                before += [f"check {n}" for n, other in chosen.items() if other.proves]
            for earlier in before:
                self._put(earlier, f"check {name}")
        for name, spot in chosen.items():
            for other in chosen.values():
                if other.bare and not spot.bare and other.machine == spot.machine:
                    under = [spots[one] for one in self._under(other) if one in chosen]
                    if _by_change(spot) and not any(map(_by_change, under)):
                        self._put(f"check {other.name}", f"check {name}")

    def _under(self, spot: Spot) -> set[str]:
        """Give all that a point rests on, near and far."""
        found, ahead = set[str](), [*spot.rests]
        while ahead:
            name = ahead.pop()
            found.add(name)
            ahead += self.made.spots[name].rests
        return found


def _by_change(spot: Spot) -> bool:
    return any(what in spot.undone for what in ("blade changed", "knives changed"))
