"""Straightness: a straightedge along a face, leaves at five stations.

The straightedge lies on the face's high places; the gaps under it, turned over,
are the face. The error is the minimum zone, the narrowest band between two
parallel lines that holds every station; beside it stand the band about the line
through both ends, and about the least-squares line.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict, far_above, unlikely
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.lying import along
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Do
from shopboard.checks.surface import SurfaceCheck, length_json
from shopboard.metrology.form import Points, end_point, least_squares
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


def _only(word: str) -> tuple[str, tuple[str, ...]]:
    return "light", (word,)


class Straightness(SurfaceCheck):
    """The guided check."""

    name = "straightness"
    title = "Straightness by straightedge"
    finds = "a face is straight: leaves at five places under a straightedge, as long as the face"
    tools = "straightedge, leaves"
    by_hand = "by hand: the largest gap less the smallest, which is never too little"
    minutes = 8.0
    columns = ("x", "y")
    what = "the face"
    takes_sizes = ("length",)
    steps = (
        Do(
            key="lay",
            title="Lay the straightedge along the face.",
            lines=(
                "Wipe both clean. It must not rock:",
                "if it does, hold it still, the same way for every leaf.",
            ),
        ),
    )
    reads = (
        Pick(
            "light",
            "Is there light under the straightedge?",
            (("some", "yes, somewhere"), ("none", "none at all")),
            true="none",
        ),
        Reading(
            "nowhere", "", "leaves", closed_if=("light", "none"), only_if=_only("none"), true=0.0
        ),
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
    aims = (
        "It must be made straighter: packed, scraped or lapped where it is high.",
        "It is straighter than it need be.",
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw straightedge and face, with the gaps read so far."""
        return along([key for key, _ in STATIONS], seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
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

    # U is cautious here (it holds 99 of 100): a station that touches is taken as 0, give or take
    # the thinnest leaf, and every station that might bound the band counts in full.
    def formula(self, values: Values, words: Chosen) -> float:
        """Give the minimum zone of the stations; where no light is, the leaf that is refused."""
        if words.get("light") == "none":
            return values["nowhere"] + values.get("bow", 0.0)
        return minimum_zone(profile(values))

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        if words.get("light") == "none":
            return "error = 0, give or take the thinnest leaf: no light anywhere"
        return "error = minimum zone: the narrowest band that holds every gap"

    def across(self, job: CheckContext) -> float:
        """Give the length of the face."""
        return job.sizes.get("length", 0.0)

    def forms(self, points: Points) -> dict[str, object]:
        """Give the band by each of the three ways."""
        return bands(points)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give the band by each of the three ways."""
        return {} if words.get("light") == "none" else bands(profile(values))

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say whether it is hollow, crowned or in waves."""
        words = "no light" if taken.words["light"] == "none" else shape_words(taken.values)
        found = outcome.estimate
        return replace(
            outcome,
            lean=which_way(found, "length", job.unit, words, words),
            aims=self.aims,
            moves=_moves(job, taken) if job.adjuster else (),
        )


LEAST_MM = 0.05
TEN_TIMES = 10.0
"""A gap of ten times the next smaller one (or of two thou) was probably misread: a face seldom has
so much at one station and nothing beside it (common practice, no source)."""

FLOATS_MM = 0.06
"""A straightedge whose every gap is wider than this (about two thin leaves) lies on nothing."""


def _moves(job: CheckContext, taken: Taken) -> tuple[str, ...]:
    """Say where the face must go: how wide a band is tells an adjuster no direction."""
    if taken.words["light"] == "none":
        return ("There is no light: only a thinner leaf could show which way it must move.",)
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
