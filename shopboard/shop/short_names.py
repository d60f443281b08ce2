"""What the board calls a machine in large letters: a word that is read from two metres. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from shopboard.shop.machine import Machine

LONGEST_SHORT = 8
"""Letters: as many as a pane has room for on the smallest window."""

_BY_KIND = {
    "table saw": "saw",
    "mitre saw": "mitre",
    "drill press": "drill",
    "router table": "router",
    "hand tools": "tools",
}
"""Of the kinds that are not a short word themselves; common practice, no source."""

_SMALL = ("a", "and", "at", "by", "for", "from", "in", "of", "on", "the", "to", "with", "without")
"""Words that name nothing."""


def short_names(machines: Sequence[Machine]) -> tuple[str, ...]:
    """Give each machine's short name, in capitals: what the shop file says, or one that is made.

    One that is made follows from the name, or from the kind where the name is too long, or from
    the last word of what it is (a slot mortiser is a mortiser); what another machine is called
    already, or by its kind, comes last. Where all are taken, two are called the same: their numbers
    and places tell them apart.
    """
    return _made(tuple((one.short, one.name, one.kind) for one in machines))


@lru_cache(maxsize=4)
def _made(machines: Sequence[tuple[str, str, str]]) -> tuple[str, ...]:
    taken = {short.upper() for short, _, _ in machines if short}
    kinds = [_usual(kind).upper() for _, _, kind in machines]
    found: list[str] = []
    for at, (short, name, kind) in enumerate(machines):
        words = [short.upper()] if short else _candidates(name, kind)
        free = [one for one in words if one not in taken]
        others = {*kinds[:at], *kinds[at + 1 :]}
        own = next((one for one in free if one not in others), "")
        word = short.upper() or own or next(iter(free), words[0])
        taken.add(word)
        found.append(word)
    return tuple(found)


def _usual(kind: str) -> str:
    return _BY_KIND.get(kind, kind)


def _candidates(name: str, kind: str) -> list[str]:
    """Give what a machine could be called, the best first; never nothing."""
    before = re.split(r"[,(:;]", name)[0].strip() or name
    split = before.split()
    small = [at for at, one in enumerate(split) if one.lower() in _SMALL and at]
    what = split[: small[0]] if small else split
    words = [one for one in split if one.lower() not in _SMALL]
    whole = [before, _usual(kind), *what[:0:-1], *words, "".join(words)]
    fitting = [one.upper() for one in whole if 2 <= len(one) <= LONGEST_SHORT]
    return [*fitting, before.upper()[:LONGEST_SHORT].rstrip()]
