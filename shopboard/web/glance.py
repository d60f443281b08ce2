"""How all stands, on one page without a script: to be hung on a wall, or printed. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.base.text import counted
from shopboard.standing.model import MachineStanding, ShopStanding
from shopboard.up_next.items import NextItem
from shopboard.upkeep.safety_record import DO_NOT_USE
from shopboard.web.plain import escaped, page

AGAIN = 60
"""Seconds after which the page is asked for anew."""

MOST_NEXT = 8
"""Lines of what is to be done; of more only the number is told."""


class Glance(NamedTuple):
    """What is shown."""

    shop: str
    standing: ShopStanding
    now: datetime
    demo: bool = False
    troubles: Sequence[str] = ()
    """What is the matter with shop file, journal or clock, a sentence each."""
    up_next: Sequence[NextItem] = ()
    """What is to be done, the most pressing first."""


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
    names = {one.machine.id: one.machine.name for one in seen.standing.machines}
    items = "".join(f"<li>{escaped(_said(one, names))}</li>" for one in seen.up_next[:MOST_NEXT])
    left = len(seen.up_next) - MOST_NEXT
    more = f"<li>and {left} more</li>" if left > 0 else ""
    nothing = "" if seen.up_next else "<p>Nothing is to be done.</p>"
    return f"<h2>To do</h2>{nothing}<ul>{items}{more}</ul>"


def _said(one: NextItem, names: Mapping[str, str]) -> str:
    """Say what is to be done, and where; what is fixed names its machine itself."""
    return one.said if one.sort == "tag" else f"{names.get(one.machine, 'the shop')}: {one.said}"


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
