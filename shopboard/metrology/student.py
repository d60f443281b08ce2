"""Normal and Student distributions, as far as a coverage factor needs them.

Checked in the tests against GUM Table G.2 and scipy.
"""

from __future__ import annotations

import math
from functools import lru_cache

_TINY = 1e-300

_NEARLY_NORMAL = 1e6
"""Degrees of freedom from where the continued fraction loses digits and the normal form has them:
its own error falls with the square of the degrees of freedom."""


def normal_cdf(z: float) -> float:
    """Probability that a standard normal value is below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_density(z: float) -> float:
    """Density of the standard normal distribution at z."""
    return math.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """Regularised incomplete beta function by its continued fraction (modified Lentz)."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):  # the fraction converges fast only on this side
        return 1.0 - _incomplete_beta(b, a, 1 - x)
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    c, d = 1.0, 1.0 / max(1 - (a + b) * x / (a + 1), _TINY)
    fraction = d
    for m in range(1, 300):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1.0 / (1.0 + term * d or _TINY)
            c = 1.0 + term / c or _TINY
            fraction *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * fraction / a


def student_cdf(t: float, dof: float) -> float:
    """Probability that a Student value with `dof` degrees of freedom, whole or not, is below t."""
    if math.isinf(dof):
        return normal_cdf(t)
    if dof > _NEARLY_NORMAL:  # Abramowitz and Stegun 26.7.8, from memory
        return normal_cdf(t * (1 - 0.25 / dof) / math.sqrt(1 + t * t / (2 * dof)))
    tail = 0.5 * _incomplete_beta(dof / 2, 0.5, dof / (dof + t * t))
    return 1 - tail if t >= 0 else tail


@lru_cache(maxsize=1024)  # a check asks for the same few again at its every step
def coverage_factor(dof: float, probability: float = 0.95) -> float:
    """Two-sided coverage factor k for `dof` degrees of freedom (GUM G.3; not truncated).

    Raises:
        ValueError: for dof below 1, or a probability outside (0, 1).
    """
    if not dof >= 1:
        raise ValueError("at least one degree of freedom is needed")
    if not 0 < probability < 1:
        raise ValueError("a probability lies between 0 and 1")
    target = 0.5 + probability / 2
    k, step = 0.0, (probability / 2) / _student_density(0.0, dof)
    while step > 1e-12 * k:  # above 0 it bends down: Newton's step ends short, but for rounding
        k += step
        step = (target - student_cdf(k, dof)) / _student_density(k, dof)
    return k


def _student_density(t: float, dof: float) -> float:
    """Density of Student's distribution at t; to fewer digits where the dof are very many."""
    if dof > _NEARLY_NORMAL:
        return normal_density(t)
    front = math.exp(math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2)) / math.sqrt(dof * math.pi)
    return front * math.exp(-(dof + 1) / 2 * math.log1p(t * t / dof))


@lru_cache(maxsize=1024)
def wider_than_normal(dof: float) -> float:
    """How much farther out Student's distribution leaves 5 % at one end than the normal one does.

    Raises:
        ValueError: for dof below 1.
    """
    if math.isinf(dof):
        return 1.0
    return coverage_factor(dof, 0.90) / coverage_factor(math.inf, 0.90)
