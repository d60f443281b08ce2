"""What the work asks of a point, where a check is made for a project.

It may be tighter than the shop file's tolerance; then it is what is set to.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import RECORD_UNITS, Kind, limit_words
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import Spread


class Need(NamedTuple):
    """How large a point's error may be for a joint, or for a whole project."""

    size: float
    """Largest size of the error, either way, rad or mm."""
    level: float
    """Probability with which it must not be passed."""
    whom: str
    """What it is for, its name: ``Staves``."""
    of: str = ""
    """The same as a command names it: ``lamp`` or ``lamp.staves``."""
    how: str = ""
    """What the check takes beyond the usual so that it can prove it; empty: nothing."""
    aim: float = 0.0
    """The error that is set to: nought, unless the shop file's tolerance asks for something else,
    rad or mm."""
    by_others: bool = False
    """It is not what its project is said to need, but what the other points leave, as they are and
    as well as they can be checked."""

    def words(self, kind: Kind, unit: Unit) -> str:
        """Say what is wanted: ``for Staves: 2.0 thou/ft``."""
        words = f"for {self.whom}: {limit_words(self.size, kind, unit)}"
        return f"{words}, as the others stand" if self.by_others else words

    def is_met(self, spread: Spread) -> bool:
        """Tell whether an error is known to be no larger; one whose centre is larger never is."""
        size = self.size
        if abs(spread.centre) > size or spread.u == 0:
            return abs(spread.centre) <= size
        return spread.cdf(size) - spread.cdf(-size) >= self.level

    def band(self, tolerance: Tolerance, unit: Unit) -> Tolerance:
        """Give the values that both the work and the shop file allow.

        Where no value is allowed by both, those that the work allows.
        """
        low, high = max(tolerance.low, -self.size), min(tolerance.high, self.size)
        if low >= high:
            low, high = -self.size, self.size
        if (low, high) == (tolerance.low, tolerance.high):
            return tolerance
        typed = limit_words(self.size, tolerance.kind, unit)
        return Tolerance(low, high, f"{typed}, for {self.whom}", tolerance.kind)


def need_kept(need: Need, kind: Kind) -> dict[str, object]:
    """Give what the work asks as the beginning of a check keeps it."""
    unit, factor = RECORD_UNITS[kind]
    return {
        "size": round(need.size * factor),
        "unit": unit,
        "level_ppm": round(need.level * 1e6),
        "whom": need.whom,
        "of": need.of,
        "how": need.how,
        "aim": round(need.aim * factor),
        **({"by_others": True} if need.by_others else {}),
    }


def need_read(body: object, kind: Kind) -> Need | None:
    """Read it back; None where there is none, or none that this program understands."""
    unit, factor = RECORD_UNITS[kind]
    if not isinstance(body, Mapping) or body.get("unit") != unit:
        return None
    size, level = body.get("size"), body.get("level_ppm")
    if not isinstance(size, int) or not isinstance(level, int) or size <= 0:
        return None
    if not 0 < level < 1_000_000:
        return None
    whom, of, how = (str(body.get(name) or "") for name in ("whom", "of", "how"))
    aim = body.get("aim")
    return Need(
        *(size / factor, level / 1e6, whom, of, how),
        aim / factor if isinstance(aim, int) else 0.0,
        by_others=body.get("by_others") is True,
    )


def set_to(need: Need | None, band: Tolerance) -> Tolerance:
    """Give the band narrowed so that its middle is what is set to."""
    if need is None:
        return band
    half = min(need.aim - band.low, band.high - need.aim)
    return band._replace(low=need.aim - half, high=need.aim + half) if half > 0 else band
