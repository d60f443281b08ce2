"""Somebody who does a check: reads what there is to read, with a hand and an eye that err."""

from __future__ import annotations

import math
import random

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Choice, Do, Finding, Number, Step, Words
from shopboard.checks.tools import tools_taken
from shopboard.demo import of_surfaces, of_test_cuts
from shopboard.demo.point_truth import PointTruth
from shopboard.demo.scene import Seen, ToRead
from shopboard.demo.true_tools import TrueTools
from shopboard.metrology.feeler import thickest
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import leaf

SCENES = {**of_test_cuts.SCENES, **of_surfaces.SCENES}
"""By method; `square` stands by itself, and what is looked at needs none."""

LOOKED_AT = ("go-no-go", "seating", "note")
CAN = (*SCENES, "square", *LOOKED_AT)
"""Methods that this person can do."""

_MOST_CORRECTIONS = 2
"""After so many one leaves it, and looks for what is behind it another day."""

_DIAL_MM = 0.002
"""Standard deviation with which a pointer is read."""

_SEES_MM = 0.006
"""A gap through which light is seen."""

_NOTES = ("nothing new", "as last time", "a little more than last time", "wiped clean, as it was")
_WRONG = ("it has worked loose", "it is not quite as it should be")


class Doing:
    """One check being done: it answers each step that is asked."""

    def __init__(
        self,
        method: str,
        job: CheckContext,
        truth: PointTruth,
        tools: TrueTools,
        rng: random.Random,
        *,
        corrects: bool | None = None,
        misread: float = 0.0,
    ) -> None:
        """Begin.

        Args:
            method: how it is checked.
            job: what the check is told of its point.
            truth: how the point really stands; a correction moves it.
            tools: what they are really off by.
            rng: chance.
            corrects: whether what can be set is set; None: as the check proposes.
            misread: what is read beyond what is there, as by a chip under the square.
        """
        self.method, self._job, self._truth = method, job, truth
        self._tools, self._rng = tools, rng
        self._corrects, self._misread = corrects, misread
        self._scenes: dict[tuple[str, ...], ToRead] = {}
        self._felt: dict[tuple[str, ...], tuple[float, float]] = {}
        self._chosen: dict[str, str] = {}
        self._found: float | None = None
        self._corrected = 0
        self.errors: list[float] = []
        """How it really stood at each result."""

    def answer(self, step: Step) -> str:
        """Answer a step."""
        if isinstance(step, Finding):
            self._found = step.outcome.estimate.error
            self.errors.append(self._truth.error)
            return "record"
        if isinstance(step, Do):
            if step.moves:
                self._moves()
            return "done"
        said = self._said(step)
        self._chosen[step.key] = said
        return said

    def _moves(self) -> None:
        if self._found is None:
            self._truth.is_set_by_eye(self._rng)
        else:
            self._truth.is_set(self._found, self._rng)

    def _said(self, step: Step) -> str:
        if isinstance(step, Words):
            return self._rng.choice(_NOTES if self.method == "note" else _WRONG)
        parts = step.key.split(".")
        if isinstance(step, Choice):
            return self._picked(step, parts)
        if isinstance(step, Number):
            return self._typed(step, parts)
        return ""

    def _picked(self, step: Choice, parts: list[str]) -> str:
        values = [one.value for one in step.options]
        name = parts[-1]
        if len(values) == 1:
            return values[0]
        if self.method == "square" and name in ("light", "both"):
            return self._square_side(parts, name)
        if name.startswith("leaf") and "typed" in values:
            return "typed"  # one knows the leaves of one's own machine by and by
        if name == "next" and "adjust" in values:
            return "adjust" if self._goes_on(step.default) else "done"
        if values == ["yes", "no"] and self.method in LOOKED_AT:
            return self._looked_at(name)
        if name == "by":
            return values[0]
        if step.default is not None:
            return step.default
        return self._scene(tuple(parts[:-1])).words.get(name, values[0])

    def _goes_on(self, proposed: str | None) -> bool:
        """Tell whether it is corrected now."""
        if self._corrected == _MOST_CORRECTIONS:
            return False
        corrects = proposed == "adjust" if self._corrects is None else self._corrects
        self._corrected += corrects
        return corrects

    def _looked_at(self, name: str) -> str:
        """Say yes or no; of several things one is not as it should be."""
        wrong = self._truth.error >= 0.5 and name in ("answer", "light")
        return "no" if wrong else "yes"

    def _typed(self, step: Number, parts: list[str]) -> str:
        name, suffix, before = parts[-1], "", tuple(parts[:-1])
        if name in ("goes", "refused") and self.method in ("square", "leaf-gap"):
            return self._two_leaves(step, name, before)
        if name in ("goes", "refused") and len(parts) > 1:
            scene = self._scene(tuple(parts[:-2]))
            if parts[-2] in scene.values:
                name, suffix, before = parts[-2], name, tuple(parts[:-2])
        if suffix and not (suffix == "refused" and step.default is not None):
            return self._leaves(self._job.drawer.feelers[0], name, suffix, before)
        if step.default is not None:
            return step.default
        value = self._scene(before).values.get(name, 1.0)
        return self._shown(step, name, value)

    def _shown(self, step: Number, name: str, value: float) -> str:
        """Write what a tool shows: off by what it is off, and read to its divisions."""
        if step.plain:
            return f"{value + self._rng.uniform(-0.1, 0.1):.1f}"
        tool = self._tool_of(name)
        off = {
            "calliper": self._tools.off("calliper"),
            # off by as much at the same place of its travel, and read a hair otherwise each time
            "indicator": self._tools.off("indicator") * math.sin(2 * value + 1)
            + self._rng.gauss(0.0, _DIAL_MM),
            "rule": self._rng.uniform(-0.2, 0.2),
        }.get(tool, 0.0)
        if tool == "rule" and value == 0.0:
            off = 0.0
        inch = by_unit(step.unit, inch=True, mm=False)
        fine = tool in ("calliper", "indicator")
        each = (
            (MM_PER_INCH / 2000 if inch else 0.01) if fine else (MM_PER_INCH / 64 if inch else 0.5)
        )
        read = round((value + off) / each) * each
        if step.above >= 0:  # nothing is less than nothing, and what is seen is something
            read = max(read, each if value > 0 else 0.0)
        return f"{read / MM_PER_INCH:.6g} in" if inch else f"{read:.6g} mm"

    def _tool_of(self, name: str) -> str:
        method = registry.method(self.method)
        asked = method.asked(self._job) if isinstance(method, DeclaredCheck) else ()
        return next((one.tool for one in asked if isinstance(one, Reading) and one.key == name), "")

    def _two_leaves(self, step: Number, which: str, before: tuple[str, ...]) -> str:
        """Type the leaf that goes, or the one that won't, in a gap that is read leaf by leaf."""
        taken = tools_taken(self._job, self._chosen.get("tools"))
        feelers = taken.feelers if taken else self._job.drawer.feelers[0]
        if before not in self._felt:
            gap = min(abs(self._gap(before)), step.at_most * 0.95)
            self._felt[before] = self._tools.bracket(feelers, gap, self._rng)
        goes, refused = self._felt[before]
        if math.isinf(refused):
            refused = goes + 0.1
        return (
            "0"
            if which == "goes" and not goes
            else leaf(goes if which == "goes" else refused, feelers.unit)
        )

    def _leaves(self, feelers: FeelerSet, name: str, suffix: str, before: tuple[str, ...]) -> str:
        key = (*before, name)
        gap = self._scene(before).values[name]
        if key not in self._felt:
            self._felt[key] = self._tools.bracket(feelers, gap, self._rng)
        goes, refused = self._felt[key]
        if math.isinf(refused):  # wider than the leaves: by calliper
            return f"{max(gap, thickest(feelers) + 0.02):.2f} mm"
        return (
            leaf(goes if suffix == "goes" else refused, feelers.unit)
            if goes or suffix != "goes"
            else "0"
        )

    def _gap(self, before: tuple[str, ...]) -> float:
        """Give the gap that leaves are tried in, with the sign of its end for a square."""
        if self.method != "square":
            return self._scene(before).values["gap"]
        taken = tools_taken(self._job, self._chosen.get("tools"))
        if taken is None:
            return 0.0
        own, error = self._tools.squares[taken.square.id], self._truth.error + self._misread
        if before and before[-1] == "turned":
            # against the opposite face the same lean shows at the other end
            error = -error if self._job.geometry.turn == "other side" else error
            own = own if self._job.geometry.turn == "other side" else -own
        return taken.lever * math.tan(error + own)

    def _square_side(self, parts: list[str], name: str) -> str:
        gap = self._gap(tuple(parts[:-1]))
        if abs(gap) < _SEES_MM:
            return "none" if name == "light" else "neither"
        return "top" if gap > 0 else "bottom"

    def _scene(self, before: tuple[str, ...]) -> ToRead:
        if before not in self._scenes:
            seen = Seen(
                *(self._truth.error + self._misread, self._job, self._tools, self._rng),
                random.Random(self._truth.form),  # noqa: S311 - nothing secret
            )
            self._scenes[before] = SCENES[self.method](seen)
        return self._scenes[before]
