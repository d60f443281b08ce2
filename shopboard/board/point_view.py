"""One point: how it stands and why, what can be done, and its history. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.state_words import stands_words, state_word
from shopboard.base.who import with_bench
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import WHOLE, Line, clip, fit, said, wrap, wrap_kept
from shopboard.board.results_list import results_lines
from shopboard.board.state_head import large_words, state_head
from shopboard.checks.in_numbers import Found, in_numbers, share_of
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.results.record import CheckRecord
from shopboard.standing.model import PointStanding


def point_lines(
    standing: PointStanding,
    bases: Sequence[PointStanding],
    choices: Sequence[str],
    history: Sequence[CheckRecord],
    cursor: int,
    now: datetime,
    unit: Unit,
    size: tuple[int, int],
    cannot: str = "",
    wander: Sequence[str] = (),
    leads_on: str = "",
) -> list[Line]:
    """Draw a point.

    Args:
        standing: how it stands.
        bases: how the points stand that it rests on.
        choices: what can be done, in words.
        history: its results, newest first.
        cursor: number of a result, from 0.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: why the drawer cannot prove it, and what would; empty when it can.
        wander: sentences on how it wanders, the most useful first; as many are shown as leave
            half of the screen to the rest.
        leads_on: where Enter leads once it is checked; empty: to the first choice.
    """
    width, room = size
    lines = state_head(standing.state, _facts(standing, now, unit), size)
    lines += large_words(_why(standing), size)
    told = [_reason(standing, size), *_numbers(standing, unit)]
    lines += [((f"  {one}", ""),) for words in told for one in wrap_kept(words, width - 4) if one]
    for words in _rules(standing):
        lines += [((f"  {one}", "dim"),) for one in wrap(words, width - 4)]
    lines += [
        ((f"  {words}", "due" if one.is_open else "dim"),)
        for one in bases
        for words in wrap(_base_words(one), width - 4, 3)
    ]
    lines += _wander_lines(wander, width, room // 2 - len(lines))
    lines.append(())
    lines += _choice_lines(choices, leads_on, width)
    lines += [((f"     {one}", "near"),) for one in wrap(said(cannot), width - 6, 2) if one]
    lines.append(())
    lines.append(
        (("  Results, newest first", "bold"),) if history else (("  No result yet", "dim"),)
    )
    lines += results_lines(
        history, cursor, standing.point, _why(standing), unit, (width, max(1, room - len(lines)))
    )
    return [fit(line, width) for line in lines[:room]]


def point_words(standing: PointStanding, now: datetime, unit: Unit) -> list[str]:
    """Say how a point stands and why, in numbers, for a page in large type."""
    state = f"{STATE_MARKS[standing.state]} {state_word(standing.state)}"
    head = " · ".join((state, *_facts(standing, now, unit)))
    told = (head, _reason(standing, (WHOLE, 0)), *_numbers(standing, unit))
    return [one for one in told if one]


def _choice_lines(choices: Sequence[str], leads_on: str, width: int) -> list[Line]:
    """Say where Enter leads, and what each digit does."""
    lines: list[Line] = []
    if leads_on:
        lines.append((("  Enter ", "key"), (f" {clip(said(leads_on), width - 11)}", "bold")))
    for number, words in enumerate(choices, 1):
        shown, *more = wrap(words, width - 7, 2)
        lines.append(((f"  {number} ", "key"), (f" {shown}", "bold")))
        lines += [((f"     {one}", "bold"),) for one in more]
    return lines


def _facts(standing: PointStanding, now: datetime, unit: Unit) -> list[str]:
    """Say how much of its tolerance is used, and how old that is."""
    record = standing.record
    if record is not None and standing.state in ("noted", "due") and record.kind == "note":
        return [with_bench(record.age(now, "noted"), record.by)]
    if record is None or standing.used is None or standing.probability is None:
        return []
    if standing.state == "unproven":  # it says nothing of how the point is now
        return [with_bench(record.age(now, "last read"), record.by)]
    if record.kind in YES_NO_WORDS:  # its state says the answer, and its words the rest
        return [with_bench(record.age(now), record.by)]
    return [share_of(_found(standing, record), unit), with_bench(record.age(now), record.by)]


def _found(standing: PointStanding, record: CheckRecord) -> Found:
    """Give its newest result in numbers, against its tolerance of today."""
    numbers, size = (record.error, record.expanded), record.spread.size
    return Found(*numbers, record.kind, standing.point.tolerance, standing.used, size)


def _numbers(standing: PointStanding, unit: Unit) -> Sequence[str]:
    """Write what was measured and its tolerance, one unit a line; else the tolerance alone."""
    limits = standing.point.tolerance
    if limits.kind in YES_NO_WORDS:
        return ()
    if standing.record is None or not _tells(standing):
        return (f"tolerance {said(limits.words(unit))}",)
    return in_numbers(_found(standing, standing.record), unit)


def _tells(standing: PointStanding) -> bool:
    """Tell whether there is a result that says how the point is now, in numbers."""
    record = standing.record
    known = standing.used is not None and standing.probability is not None
    return bool(
        record and record.kind not in YES_NO_WORDS and known and standing.state != "unproven"
    )


def _why(standing: PointStanding) -> str:
    """Say why it stands so; of what was said rather than measured, the words themselves."""
    record = standing.record
    was_said = record is not None and record.kind in YES_NO_WORDS
    return said(standing.reason or (record.lean if record is not None and was_said else ""))


def _reason(standing: PointStanding, size: tuple[int, int]) -> str:
    """Say why it stands so, where that is not in large letters, and how sure that is."""
    why = "" if large_words(_why(standing), size) else _why(standing)
    sure = ""
    if standing.probability is not None and _tells(standing):
        certain = f"{percent(standing.probability)} certain it"
        sure = f"{certain} is within tolerance"
        if standing.state == "due":  # of how it is by now nothing is said
            sure = f"when checked: {certain} was within tolerance"
    return " · ".join(part for part in (why, sure) if part)


def _rules(standing: PointStanding) -> list[str]:
    point = standing.point
    words = []
    if point.proves:
        words.append(f"proves {said(point.proves)} of the tools")
    if point.every:
        words.append(f"every {said(point.every)}")
    if point.undone_by:
        words.append(f"check again after: {', '.join(point.undone_by)}")
    return [", ".join(words)] if words else []


def _wander_lines(wander: Sequence[str], width: int, room: int) -> list[Line]:
    """Draw the sentences on its wander: the first one always, the others whole or not at all."""
    lines: list[Line] = []
    for words in wander:
        shown = [one for one in wrap(said(words), width - 4, 5) if one]
        if lines and len(lines) + len(shown) > room:
            break
        lines += [((f"  {one}", ""),) for one in shown]
    return lines


def _base_words(base: PointStanding) -> str:
    """Say what the point rests on, and that it comes first while it is not true."""
    if not base.is_open:
        return f"depends on {said(base.point.name)} (true)"
    act, *right = base.comes_first.split()
    what = " ".join((act, "that", *right, "first"))
    if base.first:
        what = "what that depends on comes first"
    return f"Depends on {said(base.point.name)}, which {stands_words(base.state)}: {what}."
