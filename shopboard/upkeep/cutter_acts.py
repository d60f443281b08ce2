"""What can be done with a cutter, and how it stands afterwards. Pure.

Every act is allowed from some states only, so that any row of acts leaves a
state that can be: one cutter of a kind on a machine, an edge that is there,
use that is never negative.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import plain_signs
from shopboard.checks.steps import AnswerError
from shopboard.journal.kinds import CutterUse
from shopboard.shop.machine import Sharpness, Where
from shopboard.shop.problems import shorten
from shopboard.upkeep.cutters import MOST_LIVES, CutterStanding

COST_LIMIT = 1e6
_MONEY = re.compile(r"[0-9]{1,9}(\.[0-9]{0,4})?|\.[0-9]{1,4}")


class ActError(AnswerError):
    """An act that cannot be done with the cutter as it stands, in a sentence."""


class Act(NamedTuple):
    """Something that is done with a cutter."""

    name: str
    """As the command line says it."""
    words: str
    """As the board says it."""
    asks: Literal["", "cost", "words", "change"] = ""
    """What must be told with it; change: it is done step by step at the machine."""


ACTS = (
    Act("put on", "put it on the machine", "change"),
    Act("turn", "turn the knives to their next edge", "change"),
    Act("back", "it is back from the sharpener, sharp", "cost"),
    Act("cleaned", "it is cleaned"),
    Act("clean", "clean it: off, clean, on again", "change"),
    Act("send out", "it goes to the sharpener"),
    Act("sharpened", "it was sharpened here", "cost"),
    Act("dull", "it is dull"),
    Act("still sharp", "I looked: it is still sharp"),
    Act("dirty", "it is dirty"),
    Act("take off", "take it off, put nothing on", "change"),
    Act("new", "a new one takes its place", "cost"),
    Act("worn out", "it is worn out, for good"),
    Act("note", "write a note", "words"),
)
"""In the order in which the board offers them."""

ACTS_BY_NAME = {act.name: act for act in ACTS}


def asks(one: CutterStanding, act: Act) -> str:
    """Give what an act asks of a cutter as it stands: on the machine, a new one is a change."""
    return "change" if act.name == "new" and one.mounted else act.asks


def why_not(one: CutterStanding, name: str) -> str:
    """Say why an act cannot be done with a cutter now; empty when it can."""
    return _RULES[name](one) if name in _RULES else ""


def possible(one: CutterStanding) -> list[Act]:
    """Give the acts that can be done with a cutter now."""
    return [act for act in ACTS if not why_not(one, act.name)]


def _must_lie_here(one: CutterStanding) -> str:
    """What is held by hand need not be taken off anything to be sharpened."""
    if one.mounted and one.cutter.sort != "hand tool":
        return "it is on the machine: take it off first"
    return "it is at the sharpener" if one.where == "at the sharpener" else ""


def _must_be_mounted(one: CutterStanding) -> str:
    return "" if one.mounted else f"it is {one.where}"


def _must_be_here(one: CutterStanding) -> str:
    return "it is at the sharpener" if one.where == "at the sharpener" else ""


def _not_worn_out(one: CutterStanding) -> str:
    return "it is worn out" if one.state == "worn out" else ""


def _can_be_sharpened(one: CutterStanding) -> str:
    return "it cannot be sharpened again" if one.sharpenings == 0 else ""


def _put_on(one: CutterStanding) -> str:
    if one.mounted:
        return "it is on the machine already"
    return _must_be_here(one) or _not_worn_out(one)


def _turn(one: CutterStanding) -> str:
    if one.cutter.edges < 2:
        return "it has one edge"
    last = "its last edge is in use" if one.edge >= one.cutter.edges else ""
    return _must_be_mounted(one) or _not_worn_out(one) or last


def _send(one: CutterStanding) -> str:
    return _must_lie_here(one) or _not_worn_out(one) or _can_be_sharpened(one)


def _back(one: CutterStanding) -> str:
    return "" if one.where == "at the sharpener" else f"it is {one.where}, not at the sharpener"


def _cleaned(one: CutterStanding) -> str:
    if one.state == "dull":
        return "it is dull: cleaning does not make it sharp"
    is_clean = "" if one.state == "dirty" else "it is clean"
    return _must_be_here(one) or _not_worn_out(one) or is_clean


def _clean(one: CutterStanding) -> str:
    """It comes off for that; what is held by hand need not."""
    by_hand = "it is held by hand: clean it" if one.cutter.sort == "hand tool" else ""
    return by_hand or _must_be_mounted(one) or _cleaned(one)


def _dirty(one: CutterStanding) -> str:
    return _must_be_here(one) or ("" if one.state == "sharp" else f"it is {one.state}")


def _dull(one: CutterStanding) -> str:
    return _must_be_here(one) or (f"it is {one.state}" if one.state in ("dull", "worn out") else "")


def _still_sharp(one: CutterStanding) -> str:
    """Only where it is asked; else its state on record says it."""
    asked = "" if one.doubted else "it is not past its rated life, or has been looked at since"
    return (
        _must_be_here(one)
        or ("" if one.state in ("sharp", "dirty") else f"it is {one.state}")
        or asked
    )


def _sharpened(one: CutterStanding) -> str:
    is_sharp = "it is sharp" if one.state == "sharp" and not one.past_life else ""
    return _must_lie_here(one) or _not_worn_out(one) or is_sharp or _can_be_sharpened(one)


def _new(one: CutterStanding) -> str:
    """A worn one is replaced, and so is one that is thrown away rather than sharpened."""
    thrown_away = not one.sharpenings and (one.mounted or one.state == "dull")
    if one.state != "worn out" and not thrown_away:
        return "it is not worn out"
    return _must_be_here(one)


_RULES: dict[str, Callable[[CutterStanding], str]] = {
    "put on": _put_on,
    "turn": _turn,
    "take off": _must_be_mounted,
    "back": lambda one: _back(one) or _not_worn_out(one),
    "cleaned": _cleaned,
    "clean": _clean,
    "send out": _send,
    "sharpened": _sharpened,
    "dirty": _dirty,
    "still sharp": _still_sharp,
    "dull": _dull,
    "new": _new,
    "worn out": _not_worn_out,
}


def read_cost(typed: str) -> float:
    """Read an amount of the shop's money: ``18.50``.

    Raises:
        ActError: when it is none.
    """
    text = plain_signs(typed).strip()
    if not _MONEY.fullmatch(text):
        raise ActError(f"{shorten(text)} is not an amount of money: write a bare number, 18.50")
    return float(text)


def after(
    one: CutterStanding, name: str, now: datetime, cost: float | None = None, note: str = ""
) -> CutterStanding:
    """Give a cutter as it stands after an act that changes nothing on the machine.

    Args:
        one: how it stands.
        name: the act: one of ACTS for which `asks` does not say "change".
        now: the time.
        cost: what it cost, where the act costs anything.
        note: the words of a note.

    Raises:
        ActError: when it cannot be done.
    """
    refusal = why_not(one, name)
    if refusal:
        raise ActError(f"{one.cutter.name}: {refusal}")
    if asks(one, ACTS_BY_NAME[name]) == "change":
        raise ActError(f"{one.cutter.name}: that is done step by step at the machine")
    if cost is not None and not 0 <= cost <= COST_LIMIT:
        raise ActError(f"a cost lies between 0 and {COST_LIMIT:,.0f}")
    match name:
        case "back" | "sharpened":
            return _sharp_again(one, cost)
        case "new":
            return renewed(one, cost)
        case "send out":
            return one._replace(where="at the sharpener", sent=now)
        case "cleaned":
            return one._replace(state="sharp")
        case "dirty" | "dull":
            return found(one, "dirty" if name == "dirty" else "dull")
        case "still sharp":
            return one._replace(looked=one.use)
        case "worn out":
            here = one if one.mounted else one._replace(where="on the shelf", sent=None)
            return here._replace(state="worn out")
        case _:
            return one._replace(note=note)


def _fresh(one: CutterStanding, cost: float | None) -> CutterStanding:
    known = one.cost if cost is None else cost
    return one._replace(state="sharp", edge=1, use=CutterUse(), looked=CutterUse(), cost=known)


def _sharp_again(one: CutterStanding, cost: float | None) -> CutterStanding:
    left = None if one.sharpenings is None else max(one.sharpenings - 1, 0)
    where: Where = "on the machine" if one.mounted else "on the shelf"
    return _fresh(one, cost)._replace(where=where, sharpenings=left, sent=None)


def renewed(one: CutterStanding, cost: float | None) -> CutterStanding:
    """Put a new one in its place; its price is that of an edge only where it is thrown away."""
    per_edge = None if one.cutter.sharpenings else cost
    return _fresh(one, per_edge)._replace(sharpenings=one.cutter.sharpenings)


def found(one: CutterStanding, state: Sharpness) -> CutterStanding:
    """Give a cutter as somebody found it; its first time dull tells how long it stayed sharp."""
    if one.state in ("dull", "worn out") and state != "worn out":
        return one  # what is dull stays so until it is sharpened
    lives = one.lives
    if state == "dull" and any(one.use):
        lives = (one.use, *lives)[:MOST_LIVES]
    return one._replace(state=state, lives=lives)
