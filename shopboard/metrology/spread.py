"""What is known of one value: even spreads and a normal one, added.

A feeler bracket and a square's grade say "anywhere between", evenly; the many
small sources together are nearly normal. The sum of these is written in closed
form (differences of repeated integrals of the normal distribution), so that a
dominant even spread is never pretended to be normal.
"""

import math
from collections.abc import Mapping
from itertools import product
from operator import mul

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.student import normal_cdf, normal_density

_MOST_KEPT = 4
"""Even parts that keep their shape; narrower ones are pooled with the normal part. A square and
feeler reading has three: bracket, lever, square."""

_BESIDE_NORMAL = 0.05
_BESIDE_EVEN = 1e-4
"""An even part below this share of the normal one, or of the widest even one, is pooled: its shape
no longer shows (error of the probability below 1e-6), and the closed form would cancel."""
_LEAST_PRODUCT = 1e-9
"""What the even parts that keep their shape come to when multiplied, as shares of the widest: the
closed form is divided by it, and with less the last digits of a float would show in its sixth."""


class Spread(NamedTuple):
    """Distribution of a value: centre, even half-widths, standard deviation of the rest."""

    centre: float
    even: tuple[float, ...] = ()
    """Half-widths of the even (rectangular) parts."""
    sigma: float = 0.0
    """Standard deviation of the normal part."""
    size: bool = False
    """True for a size, such as run-out, which is never below 0: the part of the distribution that
    would lie there is folded over. (What is read is a size, too, |value + error|; where all sizes
    are as likely before, that is what is known of it after: Bayes' rule.)"""

    @property
    def u(self) -> float:
        """Standard deviation of the whole."""
        return math.hypot(self.sigma, *(half / math.sqrt(3) for half in self.even))

    def cdf(self, x: float) -> float:
        """Probability that the value is below x.

        The widest even parts keep their shape; further ones are pooled with the normal part.
        """
        if not self.size or self.u == 0:
            return self._unfolded(x)
        return max(0.0, self._unfolded(x) - self._unfolded(-x)) if x > 0 else 0.0

    def _unfolded(self, x: float) -> float:
        widths = sorted(map(abs, self.even), reverse=True)
        if abs(x - self.centre) > sum(widths) + 12 * self.sigma:
            return 1.0 if x > self.centre else 0.0  # nothing reaches so far, pooled or not
        scale = max(self.sigma, *widths) if widths else self.sigma
        if scale == 0:
            return 1.0 if x >= self.centre else 0.0
        least = max(_BESIDE_NORMAL * self.sigma, _BESIDE_EVEN * scale)
        kept = [half / scale for half in widths[:_MOST_KEPT] if half > least]
        while math.prod(2 * half for half in kept) < _LEAST_PRODUCT:
            kept.pop()
        pooled = (half / scale / math.sqrt(3) for half in widths[len(kept) :])
        sigma = math.hypot(self.sigma / scale, *pooled)
        return min(1.0, max(0.0, _cdf((x - self.centre) / scale, kept, sigma)))


IN_WORK = "in_work_nm"
"""Reading that gives the length that shows in the work, where it is not the one that is judged;
None: it was not measured."""


def in_work(judged: Spread, readings: Mapping[str, object]) -> Spread:
    """Give what is known of the value that shows in the work: as well known as that judged.

    Args:
        judged: what is known of the value that is held against the tolerance.
        readings: as the record keeps them.
    """
    shows = readings.get(IN_WORK)
    return judged._replace(centre=shows / 1e6) if isinstance(shows, int) else judged


def _cdf(d: float, even: list[float], sigma: float) -> float:
    """Probability of a sum centred on 0, its widest part about 1: differences over every corner."""
    if abs(d) >= sum(even) + 12 * sigma:
        return 1.0 if d > 0 else 0.0
    corners = sum(
        math.prod(signs) * _repeated_integral(len(even), d + sum(map(mul, signs, even)), sigma)
        for signs in product((1, -1), repeat=len(even))
    )
    return corners / math.prod(2 * half for half in even)


def _repeated_integral(times: int, x: float, sigma: float) -> float:
    """Integrate the normal distribution function up to x, so many times over."""
    if sigma < 1e-12:
        return max(x, 0.0) ** times / math.factorial(times)
    z = x / sigma
    before, value = normal_density(z), normal_cdf(z)
    for order in range(1, times + 1):
        before, value = value, (z * value + before) / order
    return float(value * sigma**times)
