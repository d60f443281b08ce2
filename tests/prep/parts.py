"""What the tests of needs and answers are made from: joints of every kind, points as known."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, get_args

from hypothesis import strategies as st

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import Wander
from shopboard.metrology.spread import Spread
from shopboard.metrology.wander import Likely, Scale
from shopboard.prep.known import KnownPoint
from shopboard.prep.present import ErrorKnown, present
from shopboard.shop.joint_forms import FORMS, cuts_of, default_fits
from shopboard.shop.project import Closed, FitName, Joint, JointKind, MisfitLimit, ShowsIn
from tests.builders import make_point

KINDS: tuple[JointKind, ...] = get_args(JointKind)

LENGTHS: tuple[ShowsIn, ...] = ("edge line", "length")
"""Cuts whose points have a length here; the others have an angle."""

ANGLE = Tolerance(-math.radians(0.1), math.radians(0.1), "0.1 deg")
LENGTH = Tolerance(-0.1, 0.1, "0.1 mm", "length")

_SIZES = {
    "width": 100.0,
    "length": 900.0,
    "other_length": 500.0,
    "height": 200.0,
    "depth": 300.0,
    "thickness": 22.0,
}


def joint_of(
    kind: JointKind,
    wanted: Mapping[FitName, float] | None = None,
    *,
    alternate: bool = False,
    pieces: int = 0,
    closed: Closed | None = None,
) -> Joint:
    """A joint each of whose cuts has a point of its own; `wanted` is in mm."""
    form = FORMS[kind]
    sizes = {name: _SIZES[name] for name in (*form.sizes, *form.may)}
    cuts = cuts_of(kind, tuple(sizes))
    fits = {name: MisfitLimit(mm, f"{mm} mm", "shop file") for name, mm in (wanted or {}).items()}
    return Joint(
        *("chest", "joint", "The joint", kind, 1, pieces or form.pieces or form.fewest, sizes),
        alternate=alternate and form.turns,
        points={cut: (name_of(cut),) for cut in cuts},
        fits={**default_fits("inch"), **fits},
        closed=closed,
    )


JOINTS = st.builds(
    lambda kind, turned: joint_of(kind, alternate=turned), st.sampled_from(KINDS), st.booleans()
)
"""Joints of every kind, with faces alternated and not."""


def name_of(cut: ShowsIn) -> str:
    """The point that shows in a cut; each is on a machine of its own."""
    return f"m-{cut.replace(' ', '-')}.point"


def known_as(
    cut: ShowsIn, now: ErrorKnown | None, fresh: ErrorKnown | None = None, **more: Any
) -> KnownPoint:
    """The point of a cut, with what is known of its error."""
    tolerance = LENGTH if cut in LENGTHS else ANGLE
    point = make_point(name_of(cut), tolerance=tolerance, shows_in=(cut,))
    state = "true" if now is not None else "unproven"
    known = KnownPoint(point, f"Machine of {cut}", state, now, fresh)  # type: ignore[arg-type]
    return known._replace(**more)


def measured(cut: ShowsIn, error: float, sigma: float, *even: float) -> KnownPoint:
    """The point of a cut, measured just now."""
    spread = Spread(error, even, sigma)
    return known_as(cut, present(spread), present(spread._replace(centre=0.0)))


def all_measured(joint: Joint, error: float = 0.0, sigma: float = 1e-5) -> dict[str, KnownPoint]:
    """Every point of a joint, with the same error, rad or tenths of a mm."""
    times = {cut: 100.0 if cut in LENGTHS else 1.0 for cut in joint.points}
    return {
        name: measured(cut, error * times[cut], sigma * times[cut])
        for cut, (name,) in joint.points.items()
    }


def wander_of(parts: Sequence[tuple[float, float, float, float]]) -> Wander:
    """A wander by days that shows, of parts (weight, rate, variance of the rate, growth)."""
    rate = sum(weight * one for weight, one, _, _ in parts)
    likely = tuple(Likely(*part) for part in parts)
    scale = Scale(1.0, 90.0)
    return Wander(
        *("days", 1.0, rate, rate, rate, 9, 300.0), shows=True, steps=(), quickening=None,
        scale=scale, parts=likely,
    )  # fmt: skip
