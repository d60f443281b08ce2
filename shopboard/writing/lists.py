"""A list in a text becomes another one: what stays in it is not written anew."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from difflib import SequenceMatcher

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.report import Path
from shopboard.writing.layout import Layout
from shopboard.writing.spelling import spelled
from shopboard.writing.splice import Splice

_COMMA = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*,")
_BLANKS = re.compile(r"[ \t]*")


class Member(NamedTuple):
    """One of what stands between commas: from where to where."""

    start: int
    end: int


def list_splices(layout: Layout, path: Path, old: list[object], new: list[object]) -> list[Splice]:
    """Give what makes the list at a path another one."""
    span = layout.spans[path]
    spans = [layout.spans[(*path, index)] for index in range(len(old))]
    members = [Member(one.start, one.end) for one in spans]
    found: list[Splice] = []
    gone: list[int] = []
    repr_old, repr_new = [repr(one) for one in old], [repr(one) for one in new]
    ways = SequenceMatcher(None, repr_old, repr_new, autojunk=False).get_opcodes()
    for way, a, b, c, d in ways:
        if way == "equal":
            continue
        in_place = min(b - a, d - c) if way == "replace" else 0
        for index in range(in_place):
            start, end = members[a + index]
            like = layout.text[start:end]
            found.append(Splice(start, end, spelled(new[c + index], like)))
        gone += range(a + in_place, b)
        more = [spelled(one) for one in new[c + in_place : d]]
        if more:
            found += _insert(layout, members, a + in_place, more, (span.start, span.end))
    return [*found, *without(layout, members, gone)]


def _insert(
    layout: Layout, members: Sequence[Member], at: int, more: list[str], span: tuple[int, int]
) -> Iterator[Splice]:
    """Put more into a list, before the member of that number or at its end."""
    text = layout.text
    if not members:
        yield Splice(span[1] - 1, span[1] - 1, ", ".join(more))
        return
    beside = members[min(at, len(members) - 1)]
    begins = not text[layout.line_start(beside.start) : beside.start].strip()
    between = f",{layout.newline}{layout.indent(beside.start)}" if begins else ", "
    if at < len(members):
        yield Splice(beside.start, beside.start, "".join(f"{one}{between}" for one in more))
        return
    comma = comma_after(text, beside.end)
    if not begins or not layout.ends_line(comma or beside.end):
        yield Splice(beside.end, beside.end, "".join(f"{between}{one}" for one in more))
        return
    if not comma:  # a remark may stand behind the last one: it stays there
        yield Splice(beside.end, beside.end, ",")
    end = layout.line_end(comma or beside.end)
    lines = f",{layout.newline}{layout.indent(beside.start)}".join(more)
    yield Splice(
        end,
        end,
        f"{layout.newline}{layout.indent(beside.start)}{lines}{',' if comma else ''}",
    )


def comma_after(text: str, at: int) -> int:
    """Give where the comma behind a member ends; 0 where there is none."""
    found = _COMMA.match(text, at)
    return found.end() if found else 0


def without(layout: Layout, members: Sequence[Member], gone: Sequence[int]) -> list[Splice]:
    """Take members out, each with the comma behind it; the last one with that before it.

    Args:
        layout: of the text.
        members: all of them, in order.
        gone: numbers of those that go, in order.
    """
    return _merged(_stretches(layout, members, gone))


def _merged(splices: Iterable[Splice]) -> list[Splice]:
    """Make one of stretches that go and lie over one another: blanks between two that go."""
    found: list[Splice] = []
    for one in sorted(splices, key=lambda each: (each.start, each.end)):
        if found and one.start < found[-1].end:
            first = found.pop()
            found.append(Splice(first.start, max(first.end, one.end), ""))
        else:
            found.append(one)
    return found


def _stretches(layout: Layout, members: Sequence[Member], gone: Sequence[int]) -> Iterator[Splice]:
    text, last = layout.text, len(members) - 1
    for first, end in _runs(layout, members, gone):
        yield from _without_run(layout, members[first].start, members[end].end)
    if last in gone and not comma_after(text, members[last].end):
        kept = max((index for index in range(last) if index not in gone), default=-1)
        if kept >= 0:
            yield from _comma_before(text, members[kept].end, members[kept + 1].start)


def _runs(
    layout: Layout, members: Sequence[Member], gone: Sequence[int]
) -> Iterator[tuple[int, int]]:
    """Put together members that go and have no remark between them: numbers of first and last."""
    first = None
    for index in gone:
        first = index if first is None else first
        after = index + 1
        gap = layout.text[members[index].end : members[after].start] if after in gone else "#"
        if gap.replace(",", "", 1).strip():
            yield first, index
            first = None


def _without_run(layout: Layout, start: int, end: int) -> Iterator[Splice]:
    """Take out a stretch and the comma behind it, and its lines where it has them for itself."""
    text = layout.text
    comma = comma_after(text, end)
    if comma and text[end : comma - 1].strip():  # a remark stands between: it stays
        yield Splice(start, end, "")
        yield Splice(comma - 1, comma, "")
        return
    end = comma or end
    if layout.alone(start, end) and text[end : layout.after_line(end)].endswith("\n"):
        start, end = layout.line_start(start), layout.after_line(end)
    elif comma and not layout.ends_line(end):
        blanks = _BLANKS.match(text, end)
        end = blanks.end() if blanks else end
    elif comma:
        start -= len(text[layout.line_start(start) : start]) - len(
            text[layout.line_start(start) : start].rstrip(" \t")
        )
    yield Splice(start, end, "")


def _comma_before(text: str, start: int, end: int) -> Iterator[Splice]:
    """Take away the comma that nothing comes after any more."""
    gap = text[start:end]
    if not gap.replace(",", "", 1).strip(" \t"):
        yield Splice(start, end, "")
        return
    comma = comma_after(text, start)
    yield Splice(comma - 1, comma, "")
