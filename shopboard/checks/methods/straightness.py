"""Straightness: a straightedge along a face, leaves at five stations.

The straightedge lies on the face's high places; the gaps under it, turned over,
are the face. The error is the minimum zone, the narrowest band between two
parallel lines that holds every station; beside it stand the band about the line
through both ends, and about the least-squares line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.contradiction import Contradiction, contradict, far_above, unlikely
from shopboard.checks.inputs import own_bow
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Do
from shopboard.checks.surface import SURFACE_FIELDS, length_json, reckon_surface
from shopboard.checks.within_reach import with_straightedges_of
from shopboard.metrology.form import Points, end_point, least_squares
from shopboard.metrology.propagate import Input, steepest
from shopboard.metrology.wording import small_move
from shopboard.metrology.zone import minimum_zone

STATIONS = (
    ("near", "the near end"),
    ("quarter", "a quarter of the way"),
    ("middle", "the middle"),
    ("three-quarters", "three quarters of the way"),
    ("far", "the far end"),
)
"""Keys and names, evenly spaced."""

_DRAWING = (
    "   ███████████████████████████  straightedge",
    "   ▲      ▲     ▲     ▲      ▲  leaf here",
    "   ═══▄▄▄           ▄▄▄▄▄▄════",
    "   ▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒  the face",
    "   near                    far",
    "   (gaps drawn far too large)",
)


def bands(points: Points) -> dict[str, object]:
    """Give the height of the band by each of the three ways."""
    return {
        "end_point": length_json(end_point(points).peak_to_valley(points)),
        "least_squares": length_json(least_squares(points).peak_to_valley(points)),
        "minimum_zone": length_json(minimum_zone(points)),
    }


def profile(gaps: Mapping[str, float]) -> tuple[tuple[float, float], ...]:
    """Give the face from the gaps under the straightedge, mm; its bow lifts the middle most."""
    bow = gaps.get("bow", 0.0)
    lasting = [bow * (1 - (place - 2) ** 2 / 4) for place in range(5)]
    return tuple(
        (float(place), lasting[place] - gaps[key]) for place, (key, _) in enumerate(STATIONS)
    )


class Straightness(MeasuredCheck):
    """The guided check."""

    name = "straightness"
    title = "Straightness by straightedge"
    kind = "length"
    fields = SURFACE_FIELDS
    takes_sizes = ("length",)

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate typed points alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        return reckon_surface(self.name, values, ("x", "y"), bands)

    def to_do(self, job: CheckContext) -> Sequence[Do]:
        """Lay the straightedge on."""
        del job
        return (
            Do(
                key="lay",
                title="Lay the straightedge along the face.",
                lines=(
                    "Wipe both clean. It must not rock:",
                    "if it does, hold it still, the same way for every leaf.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Is there light anywhere, and how wide is the gap at each station."""
        del job
        return (
            Pick(
                "light",
                "Is there light under the straightedge?",
                (("some", "yes, somewhere"), ("none", "none at all")),
            ),
            Reading("nowhere", "", "leaves", closed_if=("light", "none"), only_if=_only("none")),
            *(
                Reading(
                    key,
                    f"How wide is the gap at {name}?",
                    "leaves",
                    may_equal=True,
                    at_most=20,
                    only_if=_only("some"),
                    touches=True,
                )
                for key, name in STATIONS
            ),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> Contradiction | None:
        """Refuse a straightedge that floats, or that touches at one place alone."""
        if words.get("light") == "none":
            return None
        if min(values[key] for key, _ in STATIONS) > FLOATS_MM:
            return contradict(
                "there is a gap at every station, but it must touch somewhere: read them again",
                *(key for key, _ in STATIONS),
            )
        wild = far_above({key: values[key] for key, _ in STATIONS}, LEAST_MM, TEN_TIMES)
        if wild:
            where = dict(STATIONS)[wild]
            return unlikely(f"the gap at {where} is many times the others; read it again", wild)
        return None

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the minimum zone of the stations; where no light is, the leaf that is refused."""
        if words.get("light") == "none":
            return values["nowhere"] + values.get("bow", 0.0)
        return minimum_zone(profile(values))

    # U is cautious here (it holds 99 of 100): a station that touches is taken as 0, give or take
    # the thinnest leaf, and every station that might bound the band counts in full.
    def near(
        self, values: Mapping[str, float], words: Mapping[str, str]
    ) -> Callable[[Mapping[str, float]], float]:
        """Give the formula with its corners."""
        return steepest(lambda read: self.formula(read, words), values)

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        if words.get("light") == "none":
            return "error = 0, give or take the thinnest leaf: no light anywhere"
        return "error = minimum zone: the narrowest band that holds every gap"

    def fit(self, job: CheckContext) -> CheckContext:
        """Take a straightedge that is as long as the face."""
        return with_straightedges_of(job, job.sizes.get("length", 0.0), "the face")

    def own(self, job: CheckContext) -> Mapping[str, Input]:
        """Give the straightedge's own bow."""
        return {"bow": own_bow(job)}

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give the band by each of the three ways."""
        return {} if words.get("light") == "none" else bands(profile(values))

    def perfect(self, job: CheckContext) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a face without light."""
        del job
        return {"nowhere": 0.0}, {"light": "none"}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say whether it is hollow, crowned or in waves."""
        words = "no light" if taken.words["light"] == "none" else shape_words(taken.values)
        found = outcome.estimate
        return replace(
            outcome,
            estimate=found._replace(size=True),
            lean=which_way(found, "length", job.unit, words, words),
            aims=(
                "It must be made straighter: packed, scraped or lapped where it is high.",
                "It is straighter than it need be.",
            ),
            moves=_moves(job, taken) if job.adjuster else (),
        )


LEAST_MM = 0.05
TEN_TIMES = 10.0
"""A gap of ten times the next smaller one (or of two thou) was probably misread: a face seldom has
so much at one station and nothing beside it (common practice, no source)."""

FLOATS_MM = 0.06
"""A straightedge whose every gap is wider than this (about two thin leaves) lies on nothing."""


def _only(word: str) -> tuple[str, tuple[str, ...]]:
    return "light", (word,)


def _moves(job: CheckContext, taken: Taken) -> tuple[str, ...]:
    """Say where the face must go: how wide a band is tells an adjuster no direction."""
    if taken.words["light"] == "none":
        return ("There is no light: only a thinner leaf could tell where it must go.",)
    most, at, mixed = _shape(taken.values)
    if mixed:
        return ("It is in waves: packing cannot make it straight, scraping or grinding can.",)
    by = small_move(most, job.unit)
    if most > 0:
        return (f"Draw the face back by {by} at {at}, or pack out both its ends.",)
    return (f"Pack the face out by {by} at {at}.",)


def shape_words(gaps: Mapping[str, float]) -> str:
    """Name the shape that the gaps show."""
    most, at, mixed = _shape(gaps)
    if math.isclose(most, 0.0, abs_tol=1e-9):
        return "straight"
    shape = "crowned" if most > 0 else "hollow"
    return f"in waves, {shape} most at {at}" if mixed else f"{shape}, most at {at}"


def _shape(gaps: Mapping[str, float]) -> tuple[float, str, bool]:
    """Give how far the face stands out most from its ends, mm; where; whether it is in waves.

    Hollow is minus. In waves it lies back elsewhere by more than half as much.
    """
    heights = [height for _, height in profile(gaps)]
    chord = [heights[0] + (heights[4] - heights[0]) * at / 4 for at in range(5)]
    above = [height - line for height, line in zip(heights, chord, strict=True)]
    where = max((2, 1, 3), key=lambda at: abs(above[at]))  # the middle, of equal ones
    most = above[where]
    mixed = min(above) < -abs(most) / 2 and max(above) > abs(most) / 2
    return most, STATIONS[where][1], mixed


METHOD = Straightness()
