"""The tools that measure: how long each is, and who says how true."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from shopboard.base.text import counted
from shopboard.describing.ask import Row, choice, length, look, ticks, words
from shopboard.describing.talk import Asking, Talk
from shopboard.metrology.quantity import Unit, parse_length
from shopboard.usual.build import NewTool
from shopboard.usual.parts import in_unit
from shopboard.usual.tools import FEELERS, Promise, UsualTool, leaf_thicknesses, tools

_MOSTLY = ("square", "feeler", "calliper")
"""What nearly every shop has that checks its machines."""

_SIZE = {"calliper": "how far does it open?", "indicator": "how much travel does it have?"}

_ANOTHER = "another"

_NO_PROMISE = Promise("", {})
"""Of a tool of which nobody says how true it is, nor asks."""


@dataclass(frozen=True)
class _Chosen:
    usual: UsualTool
    id: str
    size: str
    promise: Promise

    def says(self, unit: Unit) -> dict[str, Any]:
        """Give what the file says of it; of two of a sort its length is in the name."""
        said = in_unit({**dict(self.promise.says)}, unit)
        sized = {self.usual.size_key: self.size} if self.usual.sizes else {}
        name = f"{self.usual.name}, {self.size}" if sized else self.usual.name
        return {"id": self.id, "name": name, **sized, **said}


def tools_of(talk: Talk) -> Asking[list[NewTool]]:
    """Ask what measures in the shop."""
    usual = {one.sort: one for one in tools(talk.unit)}
    chosen = yield from ticks(
        "tools",
        "What do you have to measure with?",
        {sort: one.name for sort, one in usual.items()},
        "Those that will be used to prove a machine; of several, the number comes next.",
        set_already=_MOSTLY,
        beside={"tape": "a rule is taken to be at hand"},
    )
    drawer = [_first(talk, usual[sort], ()) for sort in chosen]
    if drawer:
        yield from look(
            "drawer",
            "Are your tools like these?",
            lambda: _rows(talk, drawer, [usual[sort] for sort in chosen]),
            "A tool that nobody vouches for is proven first, by a check of its own.",
        )
    talk.longest = max(
        (
            (length_of(one.size, talk.unit), one.size)
            for one in drawer
            if one.usual.sort == "square"
        ),
        default=talk.longest,
    )
    return [NewTool(one.usual.sort, one.says(talk.unit), one.promise.prove_first) for one in drawer]


def length_of(words: str, unit: Unit) -> float:
    """Give a length that the shop's reader has taken, mm."""
    return parse_length(words, unit).mm


def _first(talk: Talk, usual: UsualTool, taken: Sequence[_Chosen]) -> _Chosen:
    """Give a tool as it is taken to be: of no promise, where there is such a one."""
    ids = [one.id for one in taken]
    ident, number = usual.id, 1
    while ident in ids:
        number += 1
        ident = f"{usual.id}-{number}"
    first = next(iter(usual.promises), _NO_PROMISE)
    unsure = next((one for one in usual.promises if one.prove_first), first)
    sizes = in_unit(list(usual.sizes), talk.unit)
    return _Chosen(usual, ident, sizes[min(number - 1, len(sizes) - 1)] if sizes else "", unsure)


def _rows(talk: Talk, drawer: list[_Chosen], sorts: Sequence[UsualTool]) -> dict[str, Row]:
    rows = {}
    for at, one in enumerate(drawer):
        told = in_unit(one.promise.words, talk.unit)
        name = one.says(talk.unit)["name"]
        rows[one.id] = Row(name, told, partial(_change, talk, drawer, at))
    for usual in sorts:
        label = f"one more: {usual.name.lower()}"
        rows[f"more.{usual.sort}"] = Row(label, "", partial(_more, talk, drawer, usual))
    return rows


def _more(talk: Talk, drawer: list[_Chosen], usual: UsualTool) -> Asking[None]:
    last = max(at for at, one in enumerate(drawer) if one.usual.sort == usual.sort)
    drawer.insert(last + 1, _first(talk, usual, drawer))
    yield from _change(talk, drawer, last + 1)


def _change(talk: Talk, drawer: list[_Chosen], at: int) -> Asking[None]:
    """Ask how long a tool is, and who says how true it is."""
    one = drawer[at]
    usual = one.usual
    if usual.sizes:
        one = replace(one, size=(yield from _size(talk, one)))
    drawer[at] = one
    promises = usual.promises
    if not promises:
        return
    if usual.sort == "feeler":  # leaves of the other unit do as well
        promises = tuple(one for unit in ("inch", "mm") for one in FEELERS[unit].promises)
    options = {str(number): in_unit(p.words, talk.unit) for number, p in enumerate(promises, 1)}
    typed = "within" in promises[0].says or usual.sort == "square"
    if typed:
        options[_ANOTHER] = "another figure from its maker"
    elif usual.sort == "feeler":
        options[_ANOTHER] = "another set: tick its leaves"
    default = str(promises.index(one.promise) + 1) if one.promise in promises else _ANOTHER
    title = f"{usual.name}: who says how true it is?" if typed else f"{usual.name}: which?"
    answer = yield from choice(f"{one.id}.promise", title, options, default)
    if answer == _ANOTHER:
        own = _own_promise if typed else _own_leaves
        promise = yield from own(talk, one)
    else:
        promise = promises[int(answer) - 1]
    drawer[at] = replace(one, promise=promise)


def _size(talk: Talk, one: _Chosen) -> Asking[str]:
    sizes = in_unit(list(one.usual.sizes), talk.unit)
    options = {**{size: size for size in sizes}, _ANOTHER: "another"}
    asked = _SIZE.get(one.usual.sort, "how long is it?")
    title = f"{one.usual.name}: {asked}"
    default = one.size if one.size in sizes else _ANOTHER
    size = yield from choice(f"{one.id}.size", title, options, default)
    if size == _ANOTHER:
        place = (f"drawer.{one.usual.sort}", one.usual.size_key)
        size = yield from length(talk, f"{one.id}.length", title, place, one.size)
    return size


def _own_promise(talk: Talk, one: _Chosen) -> Asking[Promise]:
    sort = one.usual.sort
    default, behind = in_unit(["[1 thou|0.02 mm]", "[in|mm]"], talk.unit)
    if sort == "square":  # an angle: so much over the length of its blade
        default, behind = f"{default} over {one.size}", f"{behind} over {one.size}"
    within = yield from words(
        *(talk, f"{one.id}.within", "How far may it be off, either way?"),
        *((f"drawer.{sort}", "within"), default),
        behind=behind,
    )
    return Promise(f"its maker says {within}", {"within": within})


def _own_leaves(talk: Talk, one: _Chosen) -> Asking[Promise]:
    """Ask which leaves a set has; those of the set that it was taken for are ticked."""
    now = one.promise.says
    every = leaf_thicknesses(talk.unit)
    leaves = yield from ticks(
        f"{one.id}.leaves",
        f"{one.usual.name}: which does it have?",
        {leaf: leaf for leaf in every},
        "As marked on them.",
        set_already=[leaf for leaf in every if leaf in now["leaves"]],
        least="tick a leaf, at least one; + shows more",
    )
    words = f"{counted(len(leaves), 'leaf', 'leaves')}, {leaves[0]} to {leaves[-1]}"
    return Promise(words, {**now, "leaves": leaves})
