"""What may be typed for each reading, from the least to the most that is believed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopboard.checks.asked import Reading
from shopboard.checks.asking import ask_readings
from shopboard.checks.steps import AnswerError, Number
from tests.checks.machines import measured
from tests.checks.readings import Case, job_of

BOUNDS: dict[str, dict[str, tuple[float, float | None]]] = {
    "blade-tension": {"over": (20, None), "stretch": (-0.01, 20)},
    "carry": {"circle": (20, None), "below": (-0.01, 5), "knife1_front": (-0.01, 500)},
    "centres": {"across": (-0.01, 300), "up": (-0.01, 300)},
    "coplanar": {
        "length": (100, 635.5),
        "width": (40, None),
        **dict.fromkeys(("front_out", "back_out"), (-0.01, 5)),
        **dict.fromkeys(("front_lip", "front_end", "back_lip", "back_end"), (-0.01, 10)),
    },
    "diagonals": dict.fromkeys(("d1", "d2", "width", "other_length"), (30, None)),
    "drift-angle": {"length": (50, None), "offset": (-0.01, 500)},
    "drilled-angle": {
        **dict.fromkeys(("low", "high"), (-0.01, 2000)),
        "rise": (30, None),
        "depth": (5, None),
    },
    "taper": {
        **dict.fromkeys(("head", "tail"), (0, 300)),
        **dict.fromkeys(("length", "between"), (20, None)),
    },
    "edge-pair": {"thickness": (5, None), "gap": (-0.01, 50)},
    "five-cut": {"a": (0, 150), "b": (0, 150), "length": (50, None)},
    "flatness": dict.fromkeys(("front", "left", "rising", "closing"), (-0.01, 20)),
    "flip": {"width": (20, None), "gap": (-0.01, 50)},
    "frame": {"width": (10, None), "gap": (-0.01, 50)},
    "runout": dict.fromkeys(("low", "high"), (-30, 30)),
    "snipe": {
        **dict.fromkeys(("middle", "lead", "tail"), (0, 300)),
        **dict.fromkeys(("lead_length", "tail_length"), (-0.01, 1500)),
    },
    "square-flip": {"at": (20, 152.9), "gap": (-0.01, 100)},
    "straightness": dict.fromkeys(("near", "quarter", "far"), (-0.01, 20)),
    "sweep": {"span": (20, None), "front": (-30, 30), "back": (-30, 30)},
    "thickness": {"left": (0, 300), "right": (0, 300), "width": (30, None)},
    "three-squares": {"length": (20, 2000), "ab": (-0.01, 20), "bc": (-0.01, 20)},
    "three-straightedges": dict.fromkeys(("ab", "ac", "bc"), (-0.01, 20)),
    "wind": {"sticks": (100, None), "across": (30, None), "raised": (-0.01, 50)},
    "tram": {"radius": (10, None), **dict.fromkeys(("near", "right", "far", "left"), (-3, 3))},
}
"""In mm, above the one and at the most the other; just below 0 where 0 itself will do. A gap, a
board, a dial's travel of 3 mm; half of one of 50 in (two tables), a square's 6 in and what a rule
is read to: common practice, no source."""


@pytest.mark.parametrize("name", BOUNDS)
def test_what_cannot_be_meant_is_refused_and_all_else_is_taken(name: str) -> None:
    job = job_of(Case(name, {}, ""))
    method = measured(name)
    true = method.formula(*method.perfect(job))  # no reading at a true point is beyond its bounds
    assert job.tolerance.low <= true <= job.tolerance.high
    asked = {one.key: one for one in method.asked(job) if isinstance(one, Reading)}
    for key, (above, limit) in BOUNDS[name].items():
        step = ask_readings(job, [replace(asked[key], only_if=("", ()))], {}, "")
        assert isinstance(step, Number)
        most = limit or 10_000
        for fits in (above + 0.02, most - 0.01):
            step.accept(f"{fits:.3f} mm")
        for wrong in (above - 0.001, most + 0.01):
            with pytest.raises(AnswerError):
                step.accept(f"{wrong:.3f} mm")
        exact = f"{max(above, 0):.3f} mm"
        if above < 0:
            step.accept("0")
        else:
            with pytest.raises(AnswerError):
                step.accept(exact)


STRIP = {"a": 30.0, "b": 30.0, "length": 400.0}
BOARD = {"middle": 19.0, "lead": 19.0, "tail": 19.0, "lead_length": 60.0, "tail_length": 60.0}
PANEL = {
    "d1": 500.0,
    "d2": 500.0,
    "width": 300.0,
    "other_width": 300.0,
    "length": 400.0,
    "other_length": 400.0,
}
FRAME = {"width": 70.71067811865476, "gap": 0.0}
"""Its mitre's face is 100 mm."""

LIMITS = [
    ("five-cut", STRIP, "b", 69.9, 70.1),  # a tenth of the length more than the other end
    ("five-cut", {**STRIP, "length": 60.0}, "a", 35.9, 36.1),
    ("thickness", {"left": 19.0, "right": 19.0, "width": 300.0}, "left", 33.9, 34.1),  # a twentieth
    ("thickness", {"left": 19.0, "right": 19.0, "width": 300.0}, "right", 4.1, 3.9),
    ("snipe", BOARD, "lead", 19.24, 19.26),  # thicker than the middle
    ("snipe", BOARD, "tail", 14.26, 14.24),  # a quarter thinner
    ("snipe", {**BOARD, "lead_length": 0.0}, "lead", 18.86, 18.84),  # a step that reaches nowhere
    ("drift-angle", {"length": 400.0, "offset": 0.0}, "offset", 99.9, 100.1),  # a quarter
    ("blade-tension", {"over": 100.0, "stretch": 0.0}, "stretch", 0.299, 0.301),  # 3 in 1000
    ("diagonals", PANEL, "width", 314.9, 316.0),  # a twentieth; by as much the diagonals fit
    ("diagonals", PANEL, "d1", 508.0, 560.0),
    ("frame", FRAME, "gap", 19.9, 20.1),  # a fifth of the face
    ("flip", {"width": 150.0, "gap": 0.0}, "gap", 29.9, 30.1),  # a fifth of the width
    ("edge-pair", {"thickness": 20.0, "gap": 0.0}, "gap", 3.9, 4.1),
]
"""What is believed, and what is not any more (common practice, no source)."""


@pytest.mark.parametrize(("name", "values", "key", "fits", "wrong"), LIMITS)
def test_readings_that_nothing_leaves_are_not_believed(
    name: str, values: dict[str, float], key: str, fits: float, wrong: float
) -> None:
    method, words = measured(name), {"flush": "flush", "open": "none"}
    assert method.refuse({**values, key: fits}, words) is None
    assert method.refuse({**values, key: wrong}, words) is not None
