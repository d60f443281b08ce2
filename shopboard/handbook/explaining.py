"""What is explained of the shop file and of the checks, as lines of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from shopboard.checks.explained import Explained
from shopboard.metrology.kind import KINDS
from shopboard.metrology.wording import own_words
from shopboard.shop.sorts import Case, DeclaredKey, Sort
from shopboard.shop.told_keys import examples, left_out
from shopboard.shop.what_for import PAGES, told_of
from shopboard.usual.filling import usual_ids
from shopboard.usual.lookup import KINDS as SORTS_OF_MACHINE

WIDE = 80


def table_lines(sort: Sort) -> Iterator[str]:
    """Explain a table: what it is, then key by key."""
    yield sort.header
    yield from _wrapped(PAGES[sort.name][""].words, 2)
    for keys in sort.one_of:
        barred = sort.keys[keys[0]].barred
        here = f", but {_not(sort, barred)}" if barred else ""
        yield from _wrapped(f"One of {_listed(keys)} must be there{here}.", 2)
    for key in sort.keys:
        yield ""
        yield from key_lines(sort, key)


def key_lines(sort: Sort, name: str, *, place: bool = False) -> Iterator[str]:
    """Explain a key of a table; `place`: and say which table it is."""
    key, told = sort.keys[name], told_of(sort.header, name)
    where = f" in {sort.header}" if place and sort.header else ""
    yield from _wrapped(f"{name}{where}: {when(sort, key)}", 0)
    yield from _wrapped(own_words(told.words, None), 2)
    if key.allowed is None:
        yield f"  {key.asked.header}"
        return
    yield from _wrapped(f"Allowed: {own_words(key.allowed.words, None)}.", 2)
    width = max(map(len, told.each), default=0)
    for word, meant in told.each.items():
        yield from _wrapped(f'"{word}"{" " * (width - len(word))}  {meant}', 4, width + 8)
    if left_out(sort, key):
        yield from _wrapped(f"Left out: {left_out(sort, key)}", 2)
    for kind in SORTS_OF_MACHINE if key.usual else ():
        yield from _wrapped(f"Usual, {kind}: {', '.join(usual_ids(kind))}", 2, 4) if kind else ()
    yield from _wrapped(f"{name} = {' or '.join(examples(sort, key))}", 2, 4)


def when(sort: Sort, key: DeclaredKey) -> str:
    """Say when a key must be there, and when it may not."""
    said = ["required" if key.required else "may be left out"]
    if any(key.key in keys for keys in sort.one_of):
        said = ["one of these must be there"]
    if key.made_of:
        kept = ", and must be written down before that changes" if key.key == "id" else ""
        said = [f"may be left out: it is then made from the {key.made_of}{kept}"]
    if key.usual:
        said = ["required, unless the id is that of a usual one on its sort of machine"]
    if key.needed:
        said = [f"required {_where(sort, key.needed)}"]
    if key.barred:
        said.append(_not(sort, key.barred))
    if key.beside:
        said.append(f"only with {key.beside}")
    return "; ".join(said)


def _not(sort: Sort, cases: Sequence[Case]) -> str:
    """Say in which cases something may not be there, or in which alone it may."""
    where = _where(sort, cases)
    few = where.removeprefix("unless ")
    return f"not {where}" if few == where else f"only where {few}"


def _where(sort: Sort, cases: Sequence[Case]) -> str:
    """Say in which cases, or in which not, where these are fewer."""
    by = cases[0].by
    if not cases[0].value:
        return f"with {_listed([one.by for one in cases])}"
    others = [one for one in sort.cases if one.by == by and one not in cases and not one.only]
    if len(others) < len([one for one in cases if not one.only]) and len(cases) > 3:
        return f"unless {by} is {_listed([one.words for one in others])}"
    every = {one.words for one in cases}
    shown = [one.words for one in cases if not one.only or one.value not in every]
    return f"where {by} is {_listed(shown)}"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def method_lines(method: Explained, needed: Sequence[str]) -> Iterator[str]:
    """Explain a way of checking.

    Args:
        method: what it declares.
        needed: keys of the point that must be there for it.
    """
    yield f"{method.name}: {method.title}"
    yield from _wrapped(f"Proves: {method.finds}.", 2)
    kind = KINDS[method.kind]
    yield from _wrapped(f"Measures: {kind.one if method.has_tolerance else 'nothing'}.", 2)
    yield from _wrapped(f"Takes: {'no tool' if method.tools == '-' else method.tools}.", 2)
    if needed:
        yield from _wrapped(f"The point must have: {', '.join(needed)}.", 2)
    if method.sizes:
        yield from _wrapped(f"Sizes that it may have: {', '.join(method.sizes)}.", 2)
    for sign in method.signs:
        yield from _wrapped(f"{sign[0].upper()}{sign[1:]}.", 2, 4)
    if method.proves:
        yield from _wrapped(f"proves = the id of the {method.proves} that it proves.", 2, 4)
    yield f"  Usually {method.minutes:g} min."
    yield from (f"     {line}".rstrip() for line in method.drawn)
    yield f'  check = "{method.name}"'


def _wrapped(text: str, indent: int, more: int | None = None) -> list[str]:
    """Break a text into lines of 80 columns."""
    rest = " " * (indent if more is None else more)
    return textwrap.wrap(
        text,
        WIDE,
        initial_indent=" " * indent,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,  # an id stays whole
    )
