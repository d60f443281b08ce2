"""The same problem told to a constraint solver (Google OR-Tools CP-SAT), as a second opinion.

Written from the statement of the problem: intervals on one worker, lags as inequalities, modes by
a circuit per body, open stretches as pairs that exclude each other, walks by a circuit of all.
Whole minutes only.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from itertools import combinations
from typing import NamedTuple

from ortools.sat.python import cp_model

from shopboard.prep.schedule.job import Job, Workday
from tests.prep.keeps import is_before, stretches


class Opinion(NamedTuple):
    """What the solver found and what it proved."""

    finish: int
    bound: int
    walks: int
    firsts: int


class Model:
    """The day as a model."""

    def __init__(self, day: Workday, horizon: int) -> None:
        self.day = day
        self.horizon = horizon
        self.model = model = cp_model.CpModel()
        self.start = {job.id: model.new_int_var(0, horizon, job.id) for job in day.jobs}
        self.end = {job.id: self.start[job.id] + int(job.minutes) for job in day.jobs}
        self.change = {
            job.id: model.new_int_var(0, int(day.change_minutes.get((job.body, job.mode), 0)), "")
            for job in day.jobs
        }
        self.begin = {name: model.new_int_var(0, horizon, "") for name in self.start}
        self.finish = model.new_int_var(0, horizon, "finish")
        model.add_no_overlap(
            [
                model.new_interval_var(
                    self.begin[job.id],
                    int(job.minutes) + self.change[job.id],
                    self.end[job.id],
                    job.id,
                )
                for job in day.jobs
            ]
        )
        for job in day.jobs:
            model.add(self.begin[job.id] == self.start[job.id] - self.change[job.id])
            model.add(self.start[job.id] >= int(job.ready))
            model.add(self.finish >= self.end[job.id] + int(job.tail))
            for other, lag in job.after:
                model.add(self.start[job.id] >= self.end[other] + int(lag))
                if job.harms and lag and job.patience < horizon:
                    last = self.end[other] + int(lag) + int(job.patience)
                    model.add(self.start[job.id] <= last)
            if job.harms and job.patience < horizon and not any(lag for _, lag in job.after):
                model.add(self.start[job.id] <= int(job.ready) + int(job.patience))
        self._modes()
        if not day.allow_open:
            self._stretches()
        self._modes_while_open()

    def _modes(self) -> None:
        bodies = defaultdict(list)
        for job in self.day.jobs:
            if job.body and job.mode:
                bodies[job.body].append(job)
            else:
                self.model.add(self.change[job.id] == 0)
        for body, jobs in bodies.items():
            arcs = []
            now = self.day.modes.get(body, "")
            for at, job in enumerate(jobs, 1):
                cost = int(self.day.change_minutes.get((body, job.mode), 0))
                begins, ends = (self.model.new_bool_var("") for _ in range(2))
                arcs += [(0, at, begins), (at, 0, ends)]
                due = cost if now not in ("", job.mode) else 0
                self.model.add(self.change[job.id] == due).only_enforce_if(begins)
                for before, other in enumerate(jobs, 1):
                    if other is not job:
                        arc = self.model.new_bool_var("")
                        arcs.append((before, at, arc))
                        due = cost if other.mode != job.mode else 0
                        self.model.add(self.change[job.id] == due).only_enforce_if(arc)
                        self.model.add(self.begin[job.id] >= self.end[other.id]).only_enforce_if(
                            arc
                        )
            self.model.add_circuit(arcs)
            self._spare_no_change(jobs, now)

    def _spare_no_change(self, jobs: list[Job], now: str) -> None:
        """Say outright what the circuit implies of the time for all changes of a body."""
        if now and len(jobs) > 12:
            least = least_changes(self.day, jobs[0].body, int(len(jobs) ** 0.5) + 10)
            self.model.add(sum(self.change[job.id] for job in jobs) >= least)

    def _stretches(self) -> None:
        """Only stretches that end in the day; one that is open now ends before others begin."""
        found: list[tuple[str, Job, Job]] = []
        for machine, begin, end in stretches(self.day):
            assert end is not None
            if begin is not None:
                found.append((machine, begin, end))
        for machine, now, end in stretches(self.day):
            for other, begin, _ in found:
                if now is None and end is not None and machine != other:
                    self.model.add(self.end[end.id] <= self.begin[begin.id])
        for _, begin, end in found:
            if begin is not end:
                self.model.add(self.end[begin.id] <= self.start[end.id])
        if len({machine for machine, _, _ in found}) == len(found):
            self.model.add_no_overlap(
                [
                    self.model.new_interval_var(
                        self.start[begin.id],
                        self.model.new_int_var(0, self.horizon, ""),
                        self.end[end.id],
                        "",
                    )
                    for _, begin, end in found
                ]
            )
            return
        for (one, begin, end), (other, other_begin, other_end) in combinations(found, 2):
            if one != other:
                sooner = self.model.new_bool_var("")
                self.model.add(self.end[end.id] <= self.begin[other_begin.id]).only_enforce_if(
                    sooner
                )
                self.model.add(self.end[other_end.id] <= self.begin[begin.id]).only_enforce_if(
                    ~sooner
                )

    def _modes_while_open(self) -> None:
        """Nothing is done in another mode while a cutter is out, unless it has to be done then."""
        for _, begin, end in stretches(self.day):
            mine = next((one for one in (begin, end) if one and one.body and one.mode), None)
            if mine is None or end is None or begin is end:
                continue
            for job in self.day.jobs:
                if job.body != mine.body or job.mode in ("", mine.mode):
                    continue
                has_begun = begin is None or is_before(self.day, begin, job)
                if has_begun and is_before(self.day, job, end):
                    continue
                if begin is None:
                    self.model.add(self.end[end.id] <= self.begin[job.id])
                    continue
                sooner = self.model.new_bool_var("")
                self.model.add(self.end[job.id] <= self.begin[begin.id]).only_enforce_if(sooner)
                self.model.add(self.end[end.id] <= self.begin[job.id]).only_enforce_if(~sooner)

    def add_walks(self) -> cp_model.LinearExprT:
        """Count the walks by a circuit of all jobs; every job has a place."""
        arcs, walks = [], []
        for at, job in enumerate(self.day.jobs, 1):
            begins, ends = (self.model.new_bool_var("") for _ in range(2))
            arcs += [(0, at, begins), (at, 0, ends)]
            if self.day.place not in ("", job.place):
                walks.append(begins)
            for before, other in enumerate(self.day.jobs, 1):
                if other is not job:
                    arc = self.model.new_bool_var("")
                    arcs.append((before, at, arc))
                    self.model.add(self.begin[job.id] >= self.end[other.id]).only_enforce_if(arc)
                    if other.place != job.place:
                        walks.append(arc)
        if arcs:
            self.model.add_circuit(arcs)
        return sum(walks)


def least_left(day: Workday, finish: int, work: float = 5) -> int:
    """Give how many waits must be left too long so that all is done by a time.

    Here the person may also stand idle so that a wait begins later; in a plan every job is done as
    soon as it can be, so that it may leave more.
    """
    made = Model(day, finish)
    model, left = made.model, []
    for job in day.jobs:
        if job.patience < finish and not job.harms:
            over = model.new_int_var(0, finish, "")
            ends = [made.end[one] + int(lag) for one, lag in job.after if lag]
            model.add_max_equality(over, [int(job.ready), *ends])
            left.append(model.new_bool_var(""))
            model.add(made.start[job.id] <= over + int(job.patience)).only_enforce_if(~left[-1])
    model.minimize(sum(left))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def least_changes(day: Workday, body: str, runs: int) -> int:
    """Give the least time for the changes of mode of a body, in the order that jobs allow.

    A model of its own, without times: jobs are dealt out to runs, each run has one mode. More
    runs than are given cannot be cheaper, or the bound is that.
    """
    cost = {
        job.mode: int(day.change_minutes.get((body, job.mode), 0))
        for job in day.jobs
        if job.body == body and job.mode
    }
    model = cp_model.CpModel()
    run = {job.id: model.new_int_var(0, runs, "") for job in day.jobs}
    is_mode = [{mode: model.new_bool_var("") for mode in cost} for _ in range(runs + 1)]
    paid = []
    for at, modes in enumerate(is_mode):
        model.add_exactly_one(modes.values())
        for mode in cost:
            changed = model.new_bool_var("")
            if at:
                model.add_bool_or(changed, ~modes[mode], is_mode[at - 1][mode])
            else:
                model.add(modes[mode] == (mode == day.modes[body]))
            paid.append(cost[mode] * changed)
    for job in day.jobs:
        for other, _ in job.after:
            model.add(run[other] <= run[job.id])
        if job.body == body and job.mode:
            here = [model.new_bool_var("") for _ in is_mode]
            model.add_exactly_one(here)
            model.add(run[job.id] == sum(at * one for at, one in enumerate(here)))
            for at, one in enumerate(here):
                model.add_implication(one, is_mode[at][job.mode])
    model.minimize(sum(paid))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 5
    solver.solve(model)
    return int(min(-(-solver.best_objective_bound // 1), (runs + 1) * min(cost.values())))


def ask(
    day: Workday,
    work: float = 5,
    *,
    all_three: bool = False,
    known: int = 0,
    begin: Mapping[str, float] | None = None,
) -> Opinion:
    """Solve a day; with all three, finish, then walks, then starts of the wanted jobs.

    Args:
        day: the day.
        work: how much each of the questions may take, as the solver counts it (whatever the
            computer; a few seconds on a small one for each 1).
        all_three: whether walks and wanted jobs are asked for, too.
        known: a finish that can be had, as the horizon; 0: none known.
        begin: starts that can be had, from which better ones are looked for.

    Returns:
        What was found; a finish of -1 where there is no plan at all, or none was found.
    """
    total = sum(
        job.minutes
        + job.ready
        + job.tail
        + day.change_minutes.get((job.body, job.mode), 0)
        + sum(lag for _, lag in job.after)
        for job in day.jobs
    )
    made = Model(day, known or int(total) + 1)
    for name, start in (begin or {}).items():
        made.model.add_hint(made.start[name], round(start))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work

    def least(what: cp_model.LinearExprT) -> tuple[int, int]:
        made.model.minimize(what)
        status = solver.solve(made.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return -1, int(-(-solver.best_objective_bound // 1))
        made.model.clear_hints()  # type: ignore[no-untyped-call]
        for start in made.start.values():
            made.model.add_hint(start, solver.value(start))
        return round(solver.objective_value), int(-(-solver.best_objective_bound // 1))

    finish, bound = least(made.finish)
    if not all_three:
        return Opinion(finish, bound, -1, -1)
    made.model.add(made.finish <= finish)
    counted = made.add_walks()
    walks, _ = least(counted)
    made.model.add(counted <= walks)
    firsts, _ = least(sum(made.start[job.id] for job in day.jobs if job.first))
    return Opinion(finish, bound, walks, firsts)
