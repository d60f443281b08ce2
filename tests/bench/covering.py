"""How often U holds what was planted: every method, simulated apart from the program.

Run with ``python -m tests.bench.covering [--trials 2000] [--seed 1] [NAME...]``. Of each method it
tells

- cover: in how many of 100 trials U holds the planted error (95 are stated),
- caution: U over the half-width that would just hold 95 of these 100; 1 is no caution at all,
- wrong TRUE: of the points called true, how many are out, where what is planted lies evenly on
  both sides of the limits (at most 5 of 100 are stated).
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from shopboard.metrology.conformity import Tolerance, probability_within, verdict
from shopboard.metrology.instruments import grade_limit
from shopboard.metrology.kind import Kind
from shopboard.metrology.uncertainty import Estimate
from tests.checks import (
    test_blade_tension,
    test_carry,
    test_centres,
    test_coplanar,
    test_diagonals,
    test_drift_angle,
    test_drilled_angle,
    test_edge_pair,
    test_five_cut,
    test_flatness,
    test_flip,
    test_frame,
    test_leaf_gap,
    test_near_offers,
    test_proving_in_space,
    test_runout,
    test_snipe,
    test_straightness,
    test_sweep,
    test_taper,
    test_thickness,
    test_timed,
    test_tram,
    test_wind,
)
from tests.metrology.test_coverage import check_once
from tests.metrology.test_feeler import INCH_SET

Trial = Callable[[np.random.Generator], tuple[float, Estimate]]


@dataclass(frozen=True)
class Scene:
    """One method, as it is simulated in its own tests."""

    trial: Trial
    low: float
    high: float
    """Limits that what is planted lies on both sides of."""
    kind: Kind = "angle"


def _angle(trial: Trial, most: float) -> Scene:
    """Errors up to `most` (rad) either way, against half of that."""
    return Scene(trial, -most / 2, most / 2)


def _size(trial: Trial, most: float) -> Scene:
    """Sizes up to `most` (mm), against half of that."""
    return Scene(trial, -most / 2, most / 2, "length")


def _square(rng: np.random.Generator, turn: bool) -> tuple[float, Estimate]:
    limit, face = grade_limit("2", 150) / 150, rng.uniform(-0.5, 0.5) / 150
    chance = random.Random(int(rng.integers(2**40)))
    return face, check_once(chance, INCH_SET, 150.0, limit, turn, face)


def _tilted(rng: np.random.Generator) -> tuple[float, Estimate]:
    return test_tram.trial(rng, rng.uniform(0, 0.0012))


SCENES: dict[str, Scene] = {
    "blade-tension": Scene(test_blade_tension.trial, 60.0, 140.0, "stress"),
    **{
        f"carry, {how}": Scene(partial(test_carry.trial, how=how), 0.0, 3 * 0.0254, "length")
        for how in test_carry.SETS
    },
    "centres, calliper": _size(partial(test_centres.trial, by_rule=False, most=1.0), 1.0),
    "centres, rule": _size(partial(test_centres.trial, by_rule=True, most=1.0), 1.0),
    "coplanar": _angle(test_coplanar.trial, 0.0008),
    "diagonals": _angle(test_diagonals.trial, 0.01),
    "drift-angle": _angle(test_drift_angle.trial, 0.07),
    "drilled-angle, square": _angle(partial(test_drilled_angle.trial, against="square"), 0.04),
    "drilled-angle, bevel": _angle(partial(test_drilled_angle.trial, against="bevel"), 0.04),
    "edge-pair, edges": _angle(partial(test_edge_pair.trial, use="edges"), 0.006),
    "edge-pair, straightedge": _angle(partial(test_edge_pair.trial, use="straightedge"), 0.006),
    "five-cut": _angle(test_five_cut.trial, 0.004),
    "flatness": _size(test_flatness.trial, 0.6),
    "flip, crosscut": _angle(
        partial(test_flip.trial, use="crosscut", ends=("fence", "away")), 0.004
    ),
    "flip, on edge": _angle(partial(test_flip.trial, use="on-edge", ends=("table", "top")), 0.004),
    "flip, mitre": _angle(partial(test_flip.trial, use="mitre", ends=("tip", "heel")), 0.004),
    "frame": _angle(test_frame.trial, 0.002),
    "leaf-gap": Scene(test_leaf_gap.trial, 3 * 0.0254, 9 * 0.0254, "length"),
    "runout, shaft": _size(partial(test_runout.trial, part="shaft"), 0.2),
    "runout, flange": _size(partial(test_runout.trial, part="flange"), 0.2),
    "snipe": Scene(test_snipe.trial, 0.0, 0.15, "length"),
    "square": _angle(partial(_square, turn=False), 0.5 / 150),
    "square, turned over": _angle(partial(_square, turn=True), 0.5 / 150),
    "square, read again": _angle(test_near_offers.trial, 0.0012),
    "square-flip": _angle(test_proving_in_space.line_trial, 1e-3),
    "straightness": _size(test_straightness.trial, 0.3),
    "sweep": _angle(test_sweep.trial, 0.008),
    "taper": _angle(test_taper.trial, 0.002),
    "thickness": _angle(test_thickness.trial, 0.002),
    "three-squares": _angle(test_proving_in_space.squares_trial, 8e-4),
    "three-straightedges": _size(test_proving_in_space.edges_trial, 0.12),
    "timed": Scene(test_timed.trial, 0.0, 6.0, "time"),
    "tram": _angle(_tilted, 0.0012),
    "wind": _angle(test_wind.trial, 0.006),
}
"""Every method that gives a number, by name and what was stood up."""

EVEN = (
    "one even spread makes most of it: 1.96 u of that is 1.13 times its half-width, beyond which"
    " nothing lies"
)
ASSUMED = "how a hand or a cut repeats is known to a quarter (k 2.1 to 2.3), and drawn as if known"
WORST = "the worst of several: each one that may be the worst counts in full"
LEAF = "what touches is known to the thinnest leaf either way, and is 0 more often than not"
AXES = "near 0 two axes can only add; how dents are found is known to a quarter, drawn as if known"
CAUTIOUS = {
    "carry, nearly alike": WORST,
    "carry, one off": WORST,
    "carry, scattered": WORST,
    "centres, calliper": AXES,
    "centres, rule": AXES,
    "coplanar": WORST,
    "drift-angle": ASSUMED,
    "flatness": LEAF,
    "flip, crosscut": ASSUMED,
    "flip, on edge": ASSUMED,
    "flip, mitre": ASSUMED,
    "frame": ASSUMED,
    "leaf-gap": EVEN,
    "square": EVEN,
    "square, turned over": EVEN,
    "square, read again": EVEN,
    "straightness": LEAF,
    "sweep": EVEN,
    "tram": EVEN,
}
"""Why some hold more than 98 of 100: told beside them."""

MUCH = 0.98


@dataclass(frozen=True)
class Told:
    """What some trials of one scene tell."""

    name: str
    trials: int
    held: int
    caution: float
    called_true: int
    wrongly: int

    @property
    def row(self) -> str:
        """One line of the table."""
        much = self.held > MUCH * self.trials
        why = f"   {CAUTIOUS.get(self.name, 'NOT EXPLAINED')}" if much else ""
        wrong = 100 * self.wrongly / self.called_true if self.called_true else 0.0
        return (
            f"{self.name:24} {100 * self.held / self.trials:6.1f} {self.caution:8.2f}"
            f" {wrong:11.1f} of {self.called_true:<5}{why}"
        )


def run(name: str, trials: int, seed: int, share: float = 1.0) -> Told:
    """Simulate one scene; `share` of U is held against what was planted."""
    scene = SCENES[name]
    rng = np.random.default_rng([seed, sorted(SCENES).index(name)])
    tolerance = Tolerance(scene.low, scene.high, "", scene.kind)
    done = [scene.trial(rng) for _ in range(trials)]
    off = [abs(found.error - true) / (share * found.budget.expanded) for true, found in done]
    true = [
        planted
        for planted, found in done
        if verdict(probability_within(found.spread, tolerance)) == "true"
    ]
    return Told(
        name,
        trials,
        sum(one <= 1 for one in off),
        1 / float(np.quantile(off, 0.95)),
        len(true),
        sum(not tolerance.low <= one <= tolerance.high for one in true),
    )


def least(trials: int, share: float = 0.95) -> float:
    """Give what so many trials must hold: 95 of 100, less three standard deviations."""
    return share * trials - 3 * math.sqrt(trials * share * (1 - share))


def most(trials: int, share: float = 0.05) -> float:
    """Give what so many may miss at the most."""
    return share * trials + 3 * math.sqrt(trials * share * (1 - share))


def main(argv: Sequence[str] | None = None) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="methods; all when left out")
    parser.add_argument("--trials", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(argv)
    sys.stdout.write(f"{given.trials} trials each, seed {given.seed}\n")
    sys.stdout.write(
        f"{'method':24} {'cover':>6} {'caution':>8} {'wrong TRUE':>11} of called true\n"
    )
    for name in SCENES:
        if not given.names or any(name.startswith(one) for one in given.names):
            sys.stdout.write(run(name, given.trials, given.seed).row + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
