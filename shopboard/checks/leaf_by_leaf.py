"""A gap read leaf by leaf: which leaf is tried next, what is said of it, or both are typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from shopboard.checks.asked import Pick, Reading
from shopboard.checks.job import CheckContext
from shopboard.checks.repeated import RepeatedCheck
from shopboard.checks.repeats import SetT
from shopboard.checks.steps import Choice, Number, Option, Step
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, fills
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.quantity import parse_length
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import as_typed, held, leaf

_WIDER = "Wider than all your leaves: type the {} that it can be, by calliper or rule."
"""What to type for a gap that the leaves at hand do not fill."""


class LeafByLeaf(RepeatedCheck[SetT]):
    """Base of the checks whose gap is asked leaf by leaf."""

    ask_in_vain = False
    begins: tuple[str, ...] = ()
    """Names that a file of answers gives to read it again."""

    def estimate_of(self, job: CheckContext, sets: Sequence[SetT]) -> Estimate:
        """Give the error, or the mean of several sets, and its budget."""
        raise NotImplementedError

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Name what a file of answers gives to read it again."""
        return tuple(Pick(name, "", ()) for name in self.begins)

    def found_in(self, job: CheckContext, taken: SetT) -> float:
        """Give the error from one set."""
        return self.estimate_of(job, [taken]).error

    def repeats_within(self, job: CheckContext, taken: SetT) -> float:
        """Give the standard deviation by which one set repeats."""
        return self.estimate_of(job, [taken]).budget.u_repeat


@dataclass(frozen=True)
class LeafBracket:
    """A gap between two thicknesses, mm."""

    goes: float
    refused: float
    tries: int
    """Leaves tried."""
    leaves: int
    """Leaves in the thickest stack that makes the bracket."""


@dataclass(frozen=True)
class LeafPlace:
    """A gap, and the words that are its own."""

    feelers: FeelerSet
    where: str
    """Where the leaf is tried: ``at the TOP``."""
    next: Callable[[Bracket, int], Stack | None]
    """Chooses a leaf from what is known and how many were tried; None: another decides nothing."""
    of: tuple[object, ...]
    """What that choice follows from: where it is the same, so are the leaves."""
    widest: float
    """No gap here is wider, mm."""
    too_wide: str
    """Why it cannot be."""
    how: str = "Slide it in without force."
    below_none: str = "a leaf cannot be thinner than 0"
    too_thick: str = "did not go, so what goes must be thinner"
    """Why a leaf cannot go that is thicker than one that did not."""


def ask_leaves(
    place: LeafPlace, answers: Mapping[str, str], prefix: str, known: Sequence[Try] = ()
) -> Step | LeafBracket:
    """Give the next leaf to try, or the gap once no further one would decide anything.

    Args:
        place: the gap.
        answers: answers so far.
        prefix: put before every key.
        known: leaves that were tried there before.
    """
    tries, leaves = [*known], 1
    while True:
        bracket = bracket_of(tries)
        stack = place.next(bracket, len(tries))
        if stack is None and bracket.refused is not None:
            return LeafBracket(bracket.goes, bracket.refused, len(tries), leaves)
        key = f"{prefix}leaf{len(tries) + 1}"
        said = answers.get(key)
        if stack is None or said == "typed":
            return _ask_typed(place, answers, prefix, len(tries), bracket)
        if said is None:
            return _ask_leaf(place, prefix, tries, stack, bracket)
        tries.append(Try(stack.thickness, said == "goes"))
        leaves = max(leaves, len(stack.leaves))


def _ask_leaf(
    place: LeafPlace, prefix: str, tries: Sequence[Try], stack: Stack, bracket: Bracket
) -> Choice:
    unit, number = place.feelers.unit, len(tries) + 1
    known = [f"{held((bracket.goes,), unit)} goes"] if bracket.goes else []
    if bracket.refused is not None:
        known.append(f"{held((bracket.refused,), unit)} won't go")
    leaves = held(stack.leaves, unit)
    together = "Hold them together. " if len(stack.leaves) > 1 else ""
    more = most_more(place, tries, stack)
    return Choice(
        key=f"{prefix}leaf{number}",
        title=f"Try {leaves} {place.where}.",
        lines=(f"{together}{place.how}",),
        big=f"{leaves} {place.where}",
        count=f"leaf {number}, {f'at most {more} more' if more else 'the last one'}",
        known=f"So far: {', '.join(known)}" if known else "",
        options=(
            Option("goes", "goes in"),
            Option("refused", "won't go"),
            Option("typed", "type the two leaves instead"),
        ),
        implied_by=((f"{prefix}goes", "typed"), (f"{prefix}refused", "typed")),
    )


def most_more(place: LeafPlace, tries: Sequence[Try], stack: Stack) -> int:
    """Give how many leaves are tried after this one at the most, whichever goes or won't.

    Each leaf lies within what the ones before it left open, so that it is met on one way only:
    there are no more ways to follow than stacks. What was found at one leaf holds at the next.
    """
    found = _found_before(place.of)
    bracket = bracket_of(tries)
    place_in_it = (bracket.goes, bracket.refused, len(tries), stack.thickness)
    if place_in_it not in found:
        most = 0
        for goes in (True, False):
            after = [*tries, Try(stack.thickness, goes)]
            following = place.next(bracket_of(after), len(after))
            if following is not None:
                most = max(most, 1 + most_more(place, after, following))
        found[place_in_it] = most
    return found[place_in_it]


_Found = dict[tuple[float, float | None, int, float], int]

_PLACES = 4
"""Gaps of which it is kept what was found: those of the check in hand."""

_found: list[tuple[tuple[object, ...], _Found]] = []


def _found_before(of: tuple[object, ...]) -> _Found:
    """Give what was found of a gap so far."""
    for known, found in _found:
        if known == of:
            return found
    new: _Found = {}
    _found.insert(0, (of, new))
    del _found[_PLACES:]
    return new


def _ask_typed(
    place: LeafPlace, answers: Mapping[str, str], prefix: str, tries: int, known: Bracket
) -> Step | LeafBracket:
    """Ask for the two leaves; they must agree with what the leaves tried so far have shown."""
    goes_key, refused_key = f"{prefix}goes", f"{prefix}refused"
    feelers, unit = place.feelers, place.feelers.unit
    most = place.widest if known.refused is None else known.refused
    did_not = leaf(most, unit)
    if goes_key not in answers:
        first = () if known.goes else ("Type 0 when the thinnest leaf won't go.",)
        return Number(
            key=goes_key,
            title="Which is the thickest that goes?",
            lines=first if known.refused else (*first, _WIDER.format("least")),
            unit=unit,
            above=known.goes,
            may_equal=True,
            # thinner than what did not go, by less than two leaves ever differ by
            at_most=most if known.refused is None else most - 1e-4,
            too_small=f"{leaf(known.goes, unit)} went already" if known.goes else place.below_none,
            too_large=place.too_wide if known.refused is None else f"{did_not} {place.too_thick}",
        )
    goes = parse_length(answers[goes_key], unit).mm
    if refused_key not in answers:
        typed = as_typed(answers[goes_key], goes, unit)
        return Number(
            key=refused_key,
            title="Which is the thinnest that won't go?",
            lines=(
                *((f"{typed} goes.",) if goes else ()),
                *(() if fills(feelers, goes) else (_WIDER.format("most"),)),
            ),
            unit=unit,
            above=goes,
            at_most=most,
            too_small=f"{typed} goes, so what won't go must be thicker",
            too_large=place.too_wide if known.refused is None else f"{did_not} did not go already",
        )
    refused = parse_length(answers[refused_key], unit).mm
    return LeafBracket(goes, refused, tries + 2, feelers.most_leaves)
