"""What many tests are made from: a drawer, points, jobs, shops, and a person who does a check."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Caution, Choice, Number, Step
from shopboard.checks.walk import Walk, walk
from shopboard.journal import kinds
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import stacks
from shopboard.metrology.instruments import Drawer, FeelerSet, ShimSet, Square, grade_limit
from shopboard.results.record import kept_result
from shopboard.shop.machine import Machine, Point
from shopboard.shop.model import Shop
from shopboard.sittings.task import TaskSitting

INCH = 25.4
LEAVES = tuple(thou * 0.0254 for thou in (1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 18, 20, 25))
METHOD = registry.method("square")

SQUARE_6 = Square("square-6", "Square, 6 in", 6 * INCH, grade_limit("0", 6 * INCH) / (6 * INCH))
FEELERS = FeelerSet("leaves", "Feeler set", LEAVES)
SHIMS = ShimSet("shims", "Shim stock", tuple(thou * 0.0254 for thou in (1, 2, 3, 5, 10)))
DRAWER = Drawer((SQUARE_6,), (FEELERS,), (SHIMS,))

TENTH_DEGREE = Tolerance(-math.radians(0.1), math.radians(0.1), "0.1 deg")
UPRIGHT = Geometry(
    "table",
    "blade plate",
    6 * INCH,
    light_at_top="it leans out",
    light_at_bottom="it leans in",
)
SCREW = Screw(pitch=25.4 / 20, arm=18 * INCH, clockwise="toward", name="the stop screw")


def make_job(**changes: Any) -> CheckContext:
    """A point at 90 degrees on the table saw, to be checked with `DRAWER`."""
    return CheckContext("Table saw", "Blade at 90", UPRIGHT, TENTH_DEGREE, DRAWER)._replace(
        **changes
    )


def make_point(name: str = "saw.blade", **changes: Any) -> Point:
    """A point by its full name."""
    machine, _, ident = name.partition(".")
    return Point(machine, ident, ident.capitalize(), ("square",), UPRIGHT, TENTH_DEGREE)._replace(
        **changes
    )


def make_shop(*points: Point, **changes: Any) -> Shop:
    """A shop of the machines that the points are on."""
    names = list(dict.fromkeys(point.machine for point in points))
    machines = tuple(
        Machine(name, name.capitalize(), points=tuple(one for one in points if one.machine == name))
        for name in names
    )
    return replace(Shop("The old boathouse", "inch", machines, DRAWER), **changes)


@dataclass
class Person:
    """Somebody who looks and feels without ever erring."""

    error: float
    """The face's true error, rad: positive with light at the top."""
    square_error: float = 0.0
    """The square's own: the light at the top that it shows on a true face, rad."""
    sees: float = 0.005
    """The narrowest gap that shows light, mm."""
    types: bool = False
    """Types the two leaves rather than being led."""
    turns_over: bool = False
    then: tuple[float, ...] = ()
    """True error after each correction, rad; no more corrections after the last."""
    said: dict[str, str] = field(default_factory=dict)
    """Answers of this person's own, by the key of their step."""

    def gap(self, job: CheckContext, key: str) -> float:
        """The signed gap at the leaf's place, mm, as the square stands at this step."""
        error = (self.error, *self.then)[_run(key)]
        if "turned." not in key:
            angle = error + self.square_error
        elif job.geometry.turn == "other side":
            angle = self.square_error - error  # what leaned away leans toward the square now
        else:
            angle = error - self.square_error
        lever = min(job.geometry.lever, job.drawer.squares[0].length)
        return math.tan(angle) * lever

    def answer(self, step: Step, job: CheckContext) -> str:
        """Answer a step of the check."""
        if step.key in self.said:
            return self.said[step.key]
        gap, name = self.gap(job, step.key), step.key.rpartition(".")[2]
        side = "top" if gap > 0 else "bottom"
        if name == "next":
            return "adjust" if _run(step.key) < len(self.then) else "done"
        if name.startswith("turned_sure"):
            return "keep"
        if name.startswith("repeat"):
            return "no"
        if name.startswith("doubt"):
            return "keep"
        if name == "turn":
            return "yes" if self.turns_over else "no"
        if name == "light":
            return side if abs(gap) > self.sees else "none"
        if name == "both":
            return side if abs(gap) >= job.drawer.feelers[0].leaves[0] - 1e-6 else "neither"
        if name.startswith("leaf"):
            assert isinstance(step, Choice)
            return "typed" if self.types else felt(step, abs(gap))
        if isinstance(step, Number) and not step.is_turns:
            return self._typed(name, abs(gap), job)
        return "1" if isinstance(step, Caution) else ""

    def _typed(self, name: str, gap: float, job: CheckContext) -> str:
        thicknesses = [one.thickness for one in stacks(job.drawer.feelers[0])]
        goes = max((one for one in thicknesses if one <= gap + 1e-6), default=0.0)
        if name == "goes":
            return f"{goes:.6f} mm"
        refused = min((one for one in thicknesses if one > goes + 1e-3), default=goes * 1.2)
        return f"{max(refused, 0.0 if refused > gap else gap * 1.01):.6f} mm"


def held_mm(step: Step) -> float:
    """Add up the leaves that a step asks to hold: ``9 + 25 thou at the TOP``, in mm."""
    leaves, _, where = step.big.partition(" thou" if " thou" in step.big else " mm")
    assert where, step.big
    thick = math.fsum(float(one) for one in leaves.split(" + "))
    return thick * (INCH / 1000 if " thou" in step.big else 1.0)


def felt(step: Step, gap: float) -> str:
    """Say whether the leaves that a step asks to hold go into a gap, mm."""
    return "goes" if held_mm(step) <= gap + 1e-6 else "refused"


def _run(key: str) -> int:
    """The number of corrections before the run that a key belongs to."""
    return 0 if "left" not in key else int(key[4 : key.index(".")] or 1)


def follow(job: CheckContext, person: Person, most: int = 120) -> Walk:
    """Let a person do a check to its end."""
    turns = person.turns_over and job.geometry.turn != "no"
    answers = {"turn": "yes"} if turns else {}  # even where it is not needed, and not asked
    done = walk(METHOD, job, answers)
    for _ in range(most):
        if done.step is None:
            return done
        answers[done.step.key] = person.answer(done.step, job)
        done = walk(METHOD, job, answers, after=done)
    raise AssertionError(f"no end after {most} steps: {answers}")


def found(done: Walk) -> Outcome:
    """The first finding of a check."""
    return done.findings[0].outcome


def step_at(job: CheckContext, answers: Mapping[str, str]) -> Step:
    """The step that these answers lead to."""
    step = walk(METHOD, job, answers).step
    assert step is not None
    return step


def do_steps(sitting: TaskSitting, number: int = 1) -> None:
    """Do so many steps of a task, a wait as one of them; the plug is out when it is asked."""
    for _ in range(number):
        if isinstance(sitting.step, Caution):
            sitting.answer("plug out")
        sitting.answer("")


def check_body(outcome: Outcome, run: str, holds: kinds.Holds | None = None) -> dict[str, object]:
    """Give what the journal holds of a result."""
    return dict(kinds.CHECK.write(kept_result(outcome, run, holds)))
