"""`reckon` counts what `check` counts: the same numbers, the same error, U and verdict."""

from __future__ import annotations

import math

import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import ReckoningError
from shopboard.checks.usual import USUAL_DRAWER
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.limits import parse_limits
from tests.builders import make_job
from tests.checks.cuts import NOWHERE
from tests.checks.machines import closed
from tests.checks.readings import GOOD, KNIVES, MITRE, TOLERANCES

INCH_LEAVES = FeelerSet("leaves", "leaves", tuple(0.0254 * thou for thou in range(1, 26)))
DRAWER = USUAL_DRAWER._replace(feelers=(INCH_LEAVES,))
OTHER_NUMBERS = {"coplanar", "flatness", "straightness", "three-squares"}
"""`reckon` takes heights of points there, or angles of pairs, which no check reads."""

SAME: dict[str, tuple[str, dict[str, str], dict[str, str]]] = {
    "blade-tension": ("blade-tension", {}, {"over": "5in", "stretch": "0.003in"}),
    "carry": (
        "carry",  # one knife is clearly the worst
        {**dict.fromkeys(KNIVES, "1/8 in"), "knife2_back": "8 mm"},
        {"carry": "8mm", "circle": "3in"},
    ),
    "carry, a set": (
        "carry",
        {**dict.fromkeys(KNIVES, "1/8 in"), "knife2_back": "8 mm", "knife3_front": "7.9 mm"},
        {**dict.fromkeys(KNIVES, "1/8in"), "knife2_back": "8mm", "knife3_front": "7.9mm",
         "circle": "3in"},
    ),
    "carry, a set off as far to either side": (
        "carry",
        {**dict.fromkeys(KNIVES, "4 mm"), "knife2_back": "0 mm", "knife3_front": "5.4 mm"},
        {**dict.fromkeys(KNIVES, "4mm"), "knife2_back": "0mm", "knife3_front": "5.4mm",
         "circle": "3in"},
    ),
    "diagonals": (
        "diagonals",
        {},
        {"d1": "1081.67mm", "d2": "1081.67mm", "width": "600mm", "other_width": "600mm",
         "length": "900mm", "other_length": "900mm"},
    ),
    "centres": (
        "centres",
        {},
        {"nearer": "away", "across": "20 thou", "higher": "high", "up": "10 thou"},
    ),
    "drift-angle": ("drift-angle", {}, {"side": "right", "length": "20in", "offset": "1/4in"}),
    "wind": (
        "wind",
        {"raised.goes": ".0045 in", "raised.refused": ".0055 in"},
        {"high": "left", "sticks": "20in", "across": "6in", "raised": "5thou"},
    ),
    "drilled-angle": (
        "drilled-angle",
        {},
        {"against": "bevel", "low": "1in", "high": "1 1/16in", "rise": "6in", "depth": "1.5in"},
    ),
    "taper": (
        "taper",
        {},
        {"carried": "bed", "head": "1.51in", "tail": "1.5in", "length": "12in", "between": "16in"},
    ),
    "edge-pair": (
        "edge-pair",
        {"use": "edges"},
        {"open": "fence", "thickness": "3/4in", "gap": "5.5thou"},
    ),
    "edge-pair, straightedge": (
        "edge-pair",
        {"use": "straightedge", "open": "away", "thickness": "10 in"},
        {"use": "straightedge", "open": "away", "thickness": "10in", "gap": "5.5thou"},
    ),
    "five-cut": ("five-cut", {}, {"a": "1.012in", "b": "1.008in", "length": "16in"}),
    "flip": (
        "flip",
        {"use": "crosscut"},
        {"open": "fence", "width": "6in", "gap": "4.5thou"},
    ),
    "flip, on edge": (
        "flip",
        {"use": "on-edge", "open": "top"},
        {"open": "top", "width": "6in", "gap": "4.5thou"},
    ),
    "flip, mitre": ("flip", MITRE, {"open": "tip", "width": "5in", "gap": "4.5thou"}),
    "frame": ("frame", {}, {"open": "toe", "width": "2.5in", "gap": "49.5thou"}),
    "leaf-gap": (
        "leaf-gap",
        {"goes": "0.003", "refused": "0.004"},
        {"goes": "3thou", "refused": "4thou"},
    ),
    "runout": ("runout", {}, {"low": "0.001in", "high": "0.002in"}),
    "snipe": ("snipe", {}, {"middle": ".750in", "lead": ".740in", "tail": ".747in"}),
    "square": (
        "square",
        {"light": "top", "goes": "0.012", "refused": "0.015", "lever": "150 mm"},
        {"light": "top", "goes": "12thou", "refused": "15thou", "lever": "150mm",
         "square_error": "0.035mm"},
    ),
    "square-flip": ("square-flip", {}, {"at": "6in", "lies": "right", "gap": "0.006in"}),
    "sweep": ("sweep", {}, {"span": "9in", "front": "2thou", "back": "0"}),
    "thickness": ("thickness", {}, {"left": ".756in", "right": ".750in", "width": "12in"}),
    "three-straightedges": (
        "three-straightedges",
        {f"{pair}_light": "middle" for pair in ("ab", "ac", "bc")}
        | {f"{pair}.{end}": thou for pair in ("ab", "ac", "bc")
           for end, thou in (("goes", ".002"), ("refused", ".003"))},
        dict.fromkeys(("ab", "ac", "bc"), "2.5thou"),
    ),
    "timed": ("timed", {}, {"time": "4 s"}),
    "tram": (
        "tram",
        {},
        {"radius": "4in", "near": "2thou", "right": "1thou", "far": "0", "left": "1thou"},
    ),
}  # fmt: skip
"""Method, what is answered beside or in place of usual readings, and the same for `reckon`."""


def job_for(method: str) -> CheckContext:
    limits = parse_limits(TOLERANCES.get(method, "0.1 thou to 0.4 in" if method == "leaf-gap"
                                         else "3 thou/ft"))  # fmt: skip
    geometry = NOWHERE._replace(lever=150.0) if method == "square" else NOWHERE
    proves = "" if "square" not in method or method == "square" else "s"
    return make_job(drawer=DRAWER, geometry=geometry, tolerance=limits, sizes={}, proves=proves)


def both(name: str) -> tuple[Outcome, Outcome]:
    method, answers, values = SAME[name]
    job = job_for(method)
    checked = closed(method, job, {"care": "understood", **GOOD.get(method, {}), **answers})
    tolerance = job.tolerance.typed
    return checked, registry.reckoner(method).reckon({**values, "tolerance": tolerance})


def names_in(outcome: Outcome) -> set[str]:
    return {one.name for one in outcome.estimate.budget.sources if one.u > 0}


def test_every_method_with_a_number_is_here() -> None:
    numbers = {name for name in registry.names() if registry.method(name).kind not in YES_NO_WORDS}
    assert {method for method, _, _ in SAME.values()} == numbers - OTHER_NUMBERS


@pytest.mark.parametrize("name", SAME)
def test_the_same_numbers_give_the_same(name: str) -> None:
    checked, reckoned = both(name)
    assert reckoned.estimate.error == pytest.approx(checked.estimate.error, rel=1e-6, abs=1e-12)
    # Of several knives the others count for a little, too.
    u = checked.estimate.budget.u
    assert reckoned.estimate.budget.u == pytest.approx(u, rel=0.03 if name == "carry" else 0.005)
    assert name == "carry" or names_in(reckoned) == names_in(checked)
    assert reckoned.probability == pytest.approx(checked.probability, abs=0.005)
    assert reckoned.verdict == checked.verdict


def test_a_strip_that_a_check_calls_near_is_not_reckoned_true() -> None:
    """Four cuts seat each by itself: without that the strip would be true at 0.97."""
    found = registry.reckoner("five-cut").reckon(
        {"a": "25.4mm", "b": "25.03mm", "length": "406.4mm", "tolerance": "3thou/ft"}
    )
    assert found.verdict == "near"
    assert found.probability is not None
    assert not math.isclose(found.probability, 0.971, abs_tol=0.05)
    assert "how well it repeats" in [one.name for one in found.estimate.budget.sources]


@pytest.mark.parametrize(
    ("method", "values", "name"),
    [
        ("timed", {"time": "0", "tolerance": "0 to 10 s"}, "time"),
        ("five-cut", {"a": "0", "b": "25mm", "length": "400mm"}, "a"),
        ("five-cut", {"a": "25mm", "b": "0 mm", "length": "400mm"}, "b"),
    ],
)
def test_what_a_check_refuses_as_nothing_is_not_reckoned(
    method: str, values: dict[str, str], name: str
) -> None:
    """A cutter that stands still at once, a strip without width: nobody has read that."""
    with pytest.raises(ReckoningError, match=f"^{name}=.*larger than 0"):
        registry.reckoner(method).reckon(values)


SIZES = {
    "blade-tension": "over",
    "carry": "circle",
    "centres": "across",
    "drift-angle": "length",
    "flip": "width",
    "frame": "width",
    "leaf-gap": "refused",
    "snipe": "middle",
    "square-flip": "at",
    "sweep": "span",
    "taper": "between",
    "wind": "across",
    "drilled-angle": "rise",
    "thickness": "width",
    "tram": "radius",
}


@pytest.mark.parametrize("method", SIZES)
def test_what_a_check_refuses_as_too_large_is_not_reckoned(method: str) -> None:
    """A board of 99999 in was reckoned true; the check takes none above 10 m."""
    _, _, values = SAME[method]
    with pytest.raises(ReckoningError, match=f"{SIZES[method]}=99999in: .* (most|more than)"):
        registry.reckoner(method).reckon({**values, SIZES[method]: "99999in"})


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"knife1_front": "1mm"}, "knife1_back= is missing"),
        ({"knife1_front": "1mm", "knife3_back": "1mm"}, "knife2_front= is missing"),
        ({**dict.fromkeys(KNIVES, "1mm"), "carry": "1mm"}, "carry= does not go with a set"),
        ({}, "give carry= or height=.*knife1_front="),
    ],
)
def test_a_set_of_knives_is_whole(values: dict[str, str], why: str) -> None:
    with pytest.raises(ReckoningError, match=why):
        registry.reckoner("carry").reckon({**values, "circle": "3in"})


def test_what_is_taken_as_exact_stays_exact() -> None:
    frame = registry.reckoner("frame").reckon({"width": "2in", "angle_error": "0.1deg"})
    assert frame.estimate.budget.u < 1e-9
    squares = registry.reckoner("three-squares").reckon(
        {"ab": "1thou/ft", "ac": "0thou/ft", "bc": "2thou/ft"}
    )
    assert squares.estimate.budget.sources == ()
