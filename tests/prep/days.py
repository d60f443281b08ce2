"""Days to plan, made from a seed: of many shapes, all of them possible."""

from __future__ import annotations

import math
from random import Random

from shopboard.prep.schedule.job import Job, Workday

SHAPES = ("loose", "waits", "heads and tails", "open", "modes", "shop")


def day_of(shape: str, jobs: int, seed: int) -> Workday:
    """Make a day of a shape with so many jobs; the same seed makes the same day."""
    rng = Random(f"{shape} {jobs} {seed}")
    if shape == "shop":
        return _shop(rng, jobs)
    made: list[Job] = []
    for at in range(jobs):
        after: list[tuple[str, float]] = []
        if shape != "loose" or at % 3 == 0:
            for _ in range(rng.choice((0, 1, 1, 2))):
                if at:
                    other = rng.randrange(max(0, at - 6), at)
                    after.append((str(other), rng.choice((0, 0, 5, 10, 20, 45))))
        heads = shape == "heads and tails"
        made.append(
            Job(
                str(at),
                rng.randint(1, 25),
                place=rng.choice("ABCD"),
                after=tuple(dict(after).items()) if shape in ("waits", "open") else (),
                ready=rng.randint(0, 10 * jobs) if heads else 0,
                tail=rng.randint(0, 8 * jobs) if heads or rng.random() < 0.15 else 0,
                body="combi" if shape == "modes" and at % 4 else "",
                mode=rng.choice(("saw", "plane", "bore")) if shape == "modes" and at % 4 else "",
                first=rng.random() < 0.3,
            )
        )
    if shape == "loose":
        made = [
            one._replace(after=((str(at - 1), rng.choice((10, 30, 60))),)) if at % 3 == 1 else one
            for at, one in enumerate(made)
        ]
    if shape == "modes":
        made = [
            one._replace(after=((str(at - 2), rng.choice((0, 10, 20))),))
            if at > 2 and rng.random() < 0.4
            else one
            for at, one in enumerate(made)
        ]
        cost = {("combi", mode): rng.choice((4, 8, 12)) for mode in ("saw", "plane", "bore")}
        return Workday(tuple(made), cost, {"combi": "saw"}, place="A")
    if shape == "open":
        return Workday(_opened(rng, made), place="B")
    return Workday(tuple(made), place=rng.choice(("", "A", "C")))


def patient(day: Workday, least: float = 15) -> Workday:
    """Let no wait of a day be left longer than so many minutes, or as long again as it is."""
    jobs = []
    for job in day.jobs:
        longest = max((lag for _, lag in job.after), default=0)
        patience = max(least, longest) if longest else math.inf
        jobs.append(job._replace(patience=patience))
    return day._replace(jobs=tuple(jobs))


def harmful(day: Workday) -> Workday:
    """Let it do harm to leave every other wait of a day that has patience."""
    patient = [job.id for job in day.jobs if job.patience < math.inf]
    return day._replace(jobs=tuple(job._replace(harms=job.id in patient[::2]) for job in day.jobs))


def hours(day: Workday) -> list[tuple[float, float]]:
    """Give windows of four hours, two a day: as many as all of a day can need, 28 days at most."""
    days = min(28, math.ceil(sum(job.minutes + job.tail for job in day.jobs) / 240) + 3)
    return [
        (begin, begin + 240.0) for at in range(days) for begin in (1440.0 * at, 1440 * at + 300)
    ]


def _opened(rng: Random, made: list[Job]) -> tuple[Job, ...]:
    """Let neighbours in the list be the ends of stretches; in the list's order all is possible."""
    at, machine = 0, 0
    while at + 1 < len(made):
        end = min(len(made) - 1, at + rng.randint(1, 3))
        made[at] = made[at]._replace(opens=f"machine {machine}")
        wait = (made[at].id, rng.choice((0, 10, 30, 60)))
        made[end] = made[end]._replace(
            closes=f"machine {machine}",
            after=tuple({**dict(made[end].after), wait[0]: wait[1]}.items()),
        )
        at, machine = end + rng.randint(1, 4), machine + 1
    return tuple(made)


def _shop(rng: Random, jobs: int) -> Workday:
    """Machines with tasks that soak, cutters that come off and checks that follow each other."""
    made: list[Job] = []
    machine, last_check = 0, ""
    while len(made) < jobs:
        place, body = f"machine {machine}", ("combi" if machine % 4 < 2 else "")
        mode = ("saw" if machine % 2 else "plane") if body else ""
        ahead: tuple[tuple[str, float], ...] = ()
        steps = rng.choice((0, 2, 3, 4))
        comes_off = steps > 1 and rng.random() < 0.6
        count = min(steps, jobs - len(made))
        for step in range(count):
            name = f"{place} task {step}"
            last = step == count - 1
            made.append(
                Job(
                    name,
                    rng.randint(2, 12),
                    place,
                    after=ahead,
                    opens=place if comes_off and step == 0 else "",
                    closes=place if comes_off and last else "",
                    tail=rng.choice((0, 0, 0, 60)) if last else 0,
                )
            )
            ahead = ((name, 0 if last else rng.choice((0, 15, 30, 45, 90))),)
        for check in range(min(rng.randint(1, 4), jobs - len(made))):
            name = f"{place} check {check}"
            rests = ((last_check, 0),) if last_check and rng.random() < 0.3 else ()
            made.append(
                Job(
                    name,
                    rng.randint(4, 18),
                    place,
                    body,
                    mode,
                    tuple(dict((*ahead, *rests)).items()),
                    first=machine == 1,
                )
            )
            ahead = ((name, 0),)
            last_check = name if rng.random() < 0.5 else last_check
        machine += 1
    change = {("combi", "saw"): 6.0, ("combi", "plane"): 9.0}
    return Workday(tuple(made), change, {"combi": "saw"}, place="machine 0")
