"""How all stands, on one page without a script: to be hung on a wall, or printed. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.base.text import counted
from shopboard.standing.model import MachineStanding, ShopStanding
from shopboard.standing.next_checks import worst_first
from shopboard.upkeep.cutter_words import blunt_words
from shopboard.upkeep.safety_record import DO_NOT_USE, round_words, see_to
from shopboard.web.plain import escaped, page

AGAIN = 60
"""Seconds after which the page is asked for anew."""

_NEXT = 8
"""Lines of what is to be done; of more only the number is told."""


class Glance(NamedTuple):
    """What is shown."""

    shop: str
    standing: ShopStanding
    now: datetime
    demo: bool = False
    troubles: Sequence[str] = ()
    """What is the matter with shop file, journal or clock, a sentence each."""
    waits: Sequence[str] = ()
    """What is left alone within tasks, and for how long still."""


def glance_page(seen: Glance) -> str:
    """Give the page."""
    local = seen.now.astimezone()
    return page(
        seen.shop,
        "".join(
            (
                f"<h1>{escaped(seen.shop)}</h1>",
                f"<p>as of <b>{local.hour}:{local:%M}</b>, {day(seen.now)}</p>",
                '<p class="demo">DEMO: these records are made up.</p>' if seen.demo else "",
                *(f'<p class="tag">{escaped(one)}</p>' for one in seen.troubles),
                *_tags(seen.standing),
                _next(seen),
                _machines(seen),
                "<p><small>It tells how true the machines were when measured. It says nothing of"
                " safety: the maker's manual comes first.</small></p>",
            )
        ),
        again=AGAIN,
    )


def cannot_tell(why: str, shop: str = "") -> str:
    """Give the page for when it cannot be told how all stands."""
    name = shop or "shopboard"
    words = f'<p class="tag">How all stands cannot be told. {escaped(why)}</p>'
    return page(name, f"<h1>{escaped(name)}</h1>{words}", again=AGAIN)


def _tags(standing: ShopStanding) -> Iterator[str]:
    for one in standing.tagged:
        yield (
            f'<p class="tag">{DO_NOT_USE}: {escaped(one.machine.name)}<br>{escaped(one.tag)}</p>'
        )


def _next(seen: Glance) -> str:
    told = list(dict.fromkeys(_to_do(seen)))
    items = "".join(f"<li>{escaped(one)}</li>" for one in told[:_NEXT])
    left = len(told) - _NEXT
    more = f"<li>and {left} more</li>" if left > 0 else ""
    nothing = "" if told else "<p>Nothing is to be done.</p>"
    return f"<h2>To do</h2>{nothing}<ul>{items}{more}</ul>"


def _to_do(seen: Glance) -> Iterator[str]:
    """Give what is to be done, the most pressing first."""
    standing = seen.standing
    names = {one.machine.id: one.machine.name for one in standing.machines}
    yield from (see_to(one.machine.name, one.tag) for one in standing.tagged)
    yield from seen.waits
    for one in standing.machines:
        if one.changing is not None:
            yield f"{one.machine.name}: {one.changing.what} is in progress"
        if one.round is not None and one.round.wrong:
            yield f"{one.machine.name}: safety walk: {round_words(one.round, seen.now)}"
    if standing.round is not None and standing.round.wrong:
        yield f"the shop: safety walk: {round_words(standing.round, seen.now)}"
    for point in worst_first(standing):
        yield f"{names[point.point.machine]}: {point.comes_first} {point.point.name}"
    for one in standing.machines:
        yield from (f"{one.machine.name}: {task.task.name}" for task in one.to_do)
        yield from (f"{one.machine.name}: {blunt_words(cutter)}" for cutter in one.due_off)


def _machines(seen: Glance) -> str:
    rows = "".join(_row(one, seen.now) for one in seen.standing.worst_first)
    heads = '<th scope="col">Machine</th><th scope="col">Worst point, last check</th>'
    return f"<h2>Machines</h2><table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _row(one: MachineStanding, now: datetime) -> str:
    state = DO_NOT_USE if one.tag else state_word(one.state)
    tasks = f"{counted(len(one.to_do), 'task')} to do" if one.to_do else ""
    small = "; ".join(filter(None, (_checked(one, now), tasks)))
    return (
        f'<tr><th scope="row">{escaped(one.machine.name)}<br>{state}</th>'
        f"<td>{escaped(_worst(one))}<br><small>{small}</small></td></tr>"
    )


def _worst(one: MachineStanding) -> str:
    worst = one.worst
    if worst is not None and worst.is_open:
        why = f": {worst.reason}" if worst.reason else ""
        return f"{worst.point.name}: {state_word(worst.state)}{why}"
    return f"nothing open at {counted(len(one.points), 'point')}" if one.points else ""


def _checked(one: MachineStanding, now: datetime) -> str:
    if not one.points:
        return ""
    if one.last is None:
        told = one.worst is not None and one.worst.is_open and bool(one.worst.reason)
        return "" if told else "never checked"  # the reason says so
    return one.last.age(now, "last checked")
