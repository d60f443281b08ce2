"""What a point's changes say of how it wanders: steadily, and at random.

Over a time x a point is taken to change by rate * x, and by a random walk of variance growth * x
beside it; each change is seen with its uncertainty. For a given growth the rate is the weighted
line through the origin. How likely each growth is, is summed up over a grid (Bayes' rule), so
that few changes give a wide answer and not a bold one.

Before any change is seen a point with a sensible interval is taken to use up about half of its
tolerance's width within it, rather less: the steady part has a standard deviation of that half,
the random part of about a third of it. That is wide enough for the interval of the rate to hold
any rate up to that as often as it says. Both have long tails, so that a point that wanders far
more is soon believed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.line import through_origin
from shopboard.metrology.student import normal_cdf

_USUAL = 0.3
"""Median of the random part's standard deviation after one interval, in half-widths; its logarithm
is normal with a standard deviation of 1."""

_SIZES = tuple((2.0**k, k * math.log(0.25)) for k in range(6))
"""Standard deviations that the steady part may have after one interval, in half-widths, each with
the logarithm of how likely it is: twice as large is a quarter as likely."""

_SIZES_TOTAL = math.log(sum(math.exp(weight) for _, weight in _SIZES))

_COARSE = tuple(-3 + 1.15 * i for i in range(8))
"""Grid of the logarithm of the random part's size, in standard deviations, on which it is found
where it is likely."""

_FINE = 11
"""Points of the grid there, on which the sum is made."""

_FAINT = 9.0
"""What is less likely than the likeliest by this power of e does not show."""

_LEAST = 1e-6
"""Share of the half-width below which no change is known, whatever it claims."""

_ONE_SIDED = 1.6449
"""A standard normal value is below it with 95 %."""

_NOTHING = 1e-300
"""Stands for a standard deviation of 0."""


class TimeSpan(NamedTuple):
    """One change over one span of time."""

    time: float
    """Days, or minutes of running: all by one clock."""
    change: float
    """Of the point's error, in its own unit (rad, mm, MPa, ...)."""
    u: float
    """Standard uncertainty of the change."""
    shared: float = 0.0
    """Standard uncertainty of the result at which this span begins and the one before it ended;
    0 where the point was set, and measured anew, between them."""


class Scale(NamedTuple):
    """What a point is taken to use up before anything is seen of it: about so much in this time."""

    half_width: float
    """Half of the tolerance's width."""
    time: float
    """The interval by the same clock."""


class Rate(NamedTuple):
    """One rate that a point may have."""

    weight: float
    """How likely; all of them make 1."""
    mean: float
    """In the unit of the error, per day or minute."""
    variance: float
    """Of the rate, in the square of its unit."""


class Likely(NamedTuple):
    """One way in which a point may wander."""

    weight: float
    """How likely; all of them make 1."""
    rate: float
    """Mean of the rate."""
    variance: float
    """Variance of the rate."""
    growth: float
    """Variance of the random part per time."""


class Belief(NamedTuple):
    """What is known of how a point wanders."""

    parts: tuple[Likely, ...]
    rates: tuple[Rate, ...]
    """The same rates, told apart finely enough for an interval."""
    log_evidence: float
    """Logarithm of how likely the changes were, in half-widths."""

    @property
    def mean(self) -> float:
        """Expected rate."""
        return sum(part.weight * part.rate for part in self.parts)

    def quantile(self, probability: float) -> float:
        """Give the rate that the true one is below, with this probability."""
        rates = [(weight, mean, math.sqrt(variance)) for weight, mean, variance in self.rates]
        # a normal value lies six standard deviations off once in a billion
        low = min(mean - 6 * sd for _, mean, sd in rates)
        high = max(mean + 6 * sd for _, mean, sd in rates)
        for _ in range(24):
            middle = (low + high) / 2
            below = sum(w * normal_cdf((middle - mean) / sd) for w, mean, sd in rates)
            low, high = (middle, high) if below < probability else (low, middle)
        return (low + high) / 2

    def surprise(self, span: TimeSpan) -> float:
        """Probability that another change over this time is as far off, either way."""
        above = 0.0
        for weight, rate, variance, growth in self.parts:
            sd = math.sqrt(variance * span.time**2 + growth * span.time + span.u**2) or _NOTHING
            above += weight * normal_cdf((rate * span.time - span.change) / sd)
        return 2 * min(above, 1 - above)


def believe(spans: Sequence[TimeSpan], scale: Scale) -> Belief:
    """Work out how a point is likely to wander from its changes.

    Args:
        spans: in their order; of two that share a result, the later one comes right after.
        scale: what is taken beforehand, by the same clock and in the same unit.
    """
    own = _own(spans, scale)
    # what is likely may lie anywhere and be narrow: found coarsely first, then summed finely there
    step = _COARSE[1] - _COARSE[0]
    coarse = [_given(own, k).log_weight for k in _COARSE]
    best = max(coarse)
    likely = [k for k, weight in zip(_COARSE, coarse, strict=True) if weight > best - _FAINT]
    low, width = likely[0] - step, likely[-1] - likely[0] + 2 * step
    step = width / (_FINE - 1)
    fine = [_given(own, low + step * i) for i in range(_FINE)]
    best = max(found.log_weight for found in fine)
    kept = [found for found in fine if found.log_weight > best - _FAINT]
    shares = [math.exp(found.log_weight - best) for found in kept]
    total = sum(shares)
    unit = scale.half_width / scale.time
    parts, rates = [], []
    for share, found in zip(shares, kept, strict=True):
        weight = share / total
        mean, variance = _together(found.rates)
        growth = found.growth * scale.half_width * unit
        parts.append(Likely(weight, mean * unit, variance * unit**2, growth))
        rates += [Rate(weight * w, m * unit, v * unit**2) for w, m, v in found.rates]
    # of the many rates those that cannot show are left out: an interval is asked for often
    least = math.exp(-_FAINT) * max(rate.weight for rate in rates)
    shown = tuple(rate for rate in rates if rate.weight > least)
    # the sum over the grid stands for an integral; the size's own density is the normal one
    return Belief(tuple(parts), shown, best + math.log(total * step / math.sqrt(math.tau)))


def shows(spans: Sequence[TimeSpan], scale: Scale) -> bool:
    """Tell whether changes are larger than their uncertainties alone make them, with 95 %.

    Their squares over the variances are a chi-square value then, whose cube root is nearly normal
    (Wilson and Hilferty 1931).
    """
    _, changes, variances = _apart(_own(spans, scale), 0.0)
    if not changes:
        return False
    chi2 = sum(change * change / v for change, v in zip(changes, variances, strict=True))
    scatter = 2 / (9 * len(changes))
    return math.cbrt(chi2 / len(changes)) > 1 - scatter + _ONE_SIDED * math.sqrt(scatter)


def _own(spans: Sequence[TimeSpan], scale: Scale) -> list[TimeSpan]:
    """Give spans in half-widths and intervals."""
    width = scale.half_width
    return [
        TimeSpan(time / scale.time, change / width, u / width, shared / width)
        for time, change, u, shared in spans
    ]


class _Given(NamedTuple):
    """What follows when the random part has one size."""

    log_weight: float
    """Logarithm of how likely the changes and this size are together."""
    growth: float
    rates: list[Rate]


def _given(spans: Sequence[TimeSpan], k: float) -> _Given:
    """Give the rate for one size of the random part; everything in half-widths and intervals."""
    growth = (_USUAL * math.exp(k)) ** 2
    times, changes, variances = _apart(spans, growth)
    log_weight = -0.5 * (k * k + sum(map(math.log, variances)) + len(spans) * math.log(math.tau))
    precision = slope = 0.0
    if any(times):
        line = through_origin(times, changes, variances)
        precision, slope = line.u_slope**-2, line.slope
        log_weight -= 0.5 * line.chi2
    else:  # changes over no time tell nothing of a rate
        log_weight -= 0.5 * sum(c * c / v for c, v in zip(changes, variances, strict=True))
    rates = []
    for size, before in _SIZES:  # normal of this size beforehand: the product of two normals
        more = size * size * precision
        fits = before - 0.5 * (precision * slope * slope / (1 + more) + math.log1p(more))
        rates.append(Rate(fits, more / (1 + more) * slope, size * size / (1 + more)))
    best = max(rate.weight for rate in rates)
    shares = [math.exp(rate.weight - best) for rate in rates]
    total = sum(shares)
    log_weight += best + math.log(total) - _SIZES_TOTAL
    even = [rate._replace(weight=s / total) for s, rate in zip(shares, rates, strict=True)]
    return _Given(log_weight, growth, even)


def _together(rates: Sequence[Rate]) -> tuple[float, float]:
    """Give mean and variance of rates as one."""
    mean = sum(weight * one for weight, one, _ in rates)
    return mean, sum(weight * (own + (one - mean) ** 2) for weight, one, own in rates)


def _apart(
    spans: Sequence[TimeSpan], growth: float
) -> tuple[list[float], list[float], list[float]]:
    """Give times, changes and variances that are independent of each other.

    A result that ends one span and begins the next is in both, once up and once down. Each span
    is freed of what the one before says of it (elimination in a band matrix).
    """
    if not any(span.shared for span in spans):
        variances = [growth * time + u * u + _LEAST**2 for time, _, u, _ in spans]
        return [span.time for span in spans], [span.change for span in spans], variances
    times: list[float] = []
    changes: list[float] = []
    variances = []
    for time, change, u, shared in spans:
        variance = growth * time + u * u + _LEAST**2
        if shared and variances:
            link = shared * shared / variances[-1]
            time, change = time + link * times[-1], change + link * changes[-1]
            variance -= link * shared * shared
        times.append(time)
        changes.append(change)
        variances.append(variance)
    return times, changes, variances
