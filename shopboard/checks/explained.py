"""What a method declares of itself, as a person is told: what it proves, takes and says."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.doubled import DoubledGap
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.registry import method
from shopboard.checks.usual import USUAL_JOB
from shopboard.checks.walk import Method
from shopboard.metrology.kind import YES_NO_WORDS, Kind


class Explained(NamedTuple):
    """A method in words."""

    name: str
    title: str
    finds: str
    """What it proves, one clause."""
    kind: Kind
    """What its tolerance limits."""
    has_tolerance: bool
    tools: str
    """What it takes; ``-``: nothing."""
    sizes: tuple[str, ...]
    """Sizes of the point that it asks for, or goes by."""
    signs: tuple[str, ...]
    """What its error means above 0 and below, one line each."""
    minutes: float
    """How long it usually takes, with its correction."""
    drawn: Lines
    """Its set-up, with an error above 0 where the drawing shows one; empty: there is none."""
    proves: str
    """What sort of tool of the drawer it proves; empty: it checks a machine."""


def explained(name: str) -> Explained:
    """Explain a method.

    Raises:
        KeyError: when there is no such method.
    """
    found = method(name)
    return Explained(
        name=name,
        title=found.title,
        finds=found.finds,
        kind=found.kind,
        has_tolerance=found.kind not in YES_NO_WORDS,
        tools=found.tools,
        sizes=sizes_of(found),
        signs=tuple(_signs(found)),
        minutes=found.minutes,
        drawn=_drawn(found),
        proves=found.proves,
    )


def sizes_of(found: Method) -> tuple[str, ...]:
    """Give the sizes of the shop file that a method asks for, and those it goes by unasked."""
    asked: list[str] = []
    if isinstance(found, DoubledGap):
        asked = [one.lever.size for one in found.uses]
    elif isinstance(found, DeclaredCheck):
        asked = [one.size for one in found.asked(USUAL_JOB) if isinstance(one, Reading)]
    return tuple(dict.fromkeys(filter(None, (*asked, *found.takes_sizes))))


def _signs(found: Method) -> list[str]:
    """Say what its error means; the shop's own words (light_at_top) go before these."""
    if found.kind in YES_NO_WORDS:
        return []
    if found.signs:
        return found.signs.split("; ")
    if isinstance(found, DoubledGap):
        alike = len({(one.plus, one.minus) for one in found.uses}) == 1
        uses = found.uses[:1] if alike else found.uses
        said = (_either(one.plus, one.minus, "" if alike else f" ({one.name})") for one in uses)
        return [line for lines in said for line in lines]
    if found.is_size:
        return ["it is a size, never below 0: 0 is best"]
    return _either(found.plus, found.minus) if isinstance(found, DeclaredCheck) else []


def _drawn(found: Method) -> Lines:
    """Draw the last step before something is read, or else the first reading."""
    if not isinstance(found, GuidedCheck):
        return ()
    keys = ["leaf", "light"]
    if isinstance(found, DeclaredCheck):
        keys = [one.key for one in reversed(found.to_do(USUAL_JOB))]
        keys += [one.key for one in found.asked(USUAL_JOB)]
    drawings = (found.sketch(USUAL_JOB, AtStep(key, 1), 1) for key in keys)
    return next(filter(None, drawings), ())


def _either(plus: str, minus: str, use: str = "") -> list[str]:
    return [f"plus{use}: {plus}", f"minus{use}: {minus}"]
