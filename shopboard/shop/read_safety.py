"""Reading the safety questions of a shop's own, and which of the usual ones have no place."""

from __future__ import annotations

from collections.abc import Iterable

from shopboard.shop.allowed import Allowed, one_word
from shopboard.shop.hints import did_you_mean
from shopboard.shop.kinds import FLAG, ID, list_of
from shopboard.shop.machine import MachineKind, SafetyQuestion
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault
from shopboard.shop.settings import read_as
from shopboard.shop.table import Parser, Table, reads


def _usual_of_shop() -> Allowed:
    from shopboard.shop.default_safety import usual_of_shop

    return one_word(one.id for one in usual_of_shop())


def _usual_of_machines() -> Allowed:
    from shopboard.shop.default_safety import where_usual

    return one_word(where_usual())


_OF_SHOP = list_of(Parser(ID.read, "", _usual_of_shop), least=1)
_OF_MACHINES = list_of(Parser(ID.read, "", _usual_of_machines), least=1)
MOST_ANSWERS = 9
"""To one question: each has its digit on the number pad."""


@reads("[[machine.safety]]")
def read_question(t: Table) -> SafetyQuestion:
    """Read a safety question about a machine."""
    return _question(t, running=t.take("running", FLAG, False))


@reads("[[safety]]")
def read_shop_question(t: Table) -> SafetyQuestion:
    """Read a safety question about the shop itself."""
    return _question(t)


def _question(t: Table, *, running: bool = False) -> SafetyQuestion:
    question = read_as(t, SafetyQuestion, running=running)
    seen: set[str] = set()
    for key, answers in (("wanted", question.wanted), ("others", question.others)):
        for index, answer in enumerate(answers):
            path = (*t.path, key, index)
            plainly = " ".join(answer.lower().split())
            if answer and plainly in seen:
                what = f"{shorten(answer)} is an answer of this question already"
                t.report.add(Fault(path, what, "write each state once"))
            seen.add(plainly)
    if len(question.wanted) + len(question.others) > MOST_ANSWERS:
        t.refuse("others", "too many answers", f"{MOST_ANSWERS} in all, those wanted among them")
    return question


def read_not_asked(t: Table, kind: MachineKind | None) -> tuple[str, ...]:
    """Read which of the usual questions are not asked.

    Args:
        t: the machine, or the head of the shop.
        kind: the sort of machine; None: the questions about the shop itself.
    """
    names: tuple[str, ...] = t.take("not_asked", _OF_SHOP if kind is None else _OF_MACHINES, ())
    if names:
        from shopboard.shop.default_safety import usual, usual_of_shop

        known = usual_of_shop() if kind is None else usual(kind)
        _refuse_unknown(t, names, [one.id for one in known])
    return names


def _refuse_unknown(t: Table, names: tuple[str, ...], known: Iterable[str]) -> None:
    known = list(known)
    for index, name in enumerate(names):
        path = (*t.path, "not_asked", index)
        if name and name not in known:
            what = f"{shorten(name)} is not among the usual safety questions here"
            allowed = f"there are: {', '.join(known) or 'none'}"
            t.report.add(Fault(path, what, allowed, did_you_mean(name, known)))
