"""An edit of the data as splices of the text: all else in it stays as it is, byte for byte."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from shopboard.shop.report import Path
from shopboard.writing.edits import Add, Data, Drop, Edit, Put, at_path
from shopboard.writing.layout import Layout, Section
from shopboard.writing.lists import Member, list_splices, without
from shopboard.writing.order import rank
from shopboard.writing.remarks import Remarks, told_in
from shopboard.writing.spelling import block, setting, spelled, spelled_key
from shopboard.writing.splice import Splice


def splices(layout: Layout, edits: Iterable[Edit]) -> Iterator[Splice]:
    """Give what makes a text say what the edits want."""
    edits = list(edits)
    yield from _dropped(layout, [edit.path for edit in edits if isinstance(edit, Drop)])
    for edit in edits:
        if isinstance(edit, Put):
            yield from _put(layout, edit)
        elif isinstance(edit, Add):
            yield from _added(layout, edit.path, edit.table, many=edit.many)


def _put(layout: Layout, edit: Put) -> Iterator[Splice]:
    """Set a value: in the place of the one that is there, else behind what comes before it."""
    if layout.form(edit.path) != "value":
        yield from _new_setting(layout, edit.path, edit.value, edit.typed)
        return
    span = layout.spans[edit.path]
    old = at_path(layout.data, edit.path)
    if isinstance(old, list) and isinstance(edit.value, list) and not edit.typed:
        yield from list_splices(layout, edit.path, old, edit.value)
    else:
        like = layout.text[span.start : span.end]
        yield Splice(span.start, span.end, edit.typed or spelled(edit.value, like))


def _new_setting(layout: Layout, path: Path, value: object, typed: str = "") -> Iterator[Splice]:
    """Write a setting that was not there, in the way that its table is written."""
    table, key = path[:-1], str(path[-1])
    match layout.form(table):
        case "value":
            yield _into_braces(
                layout, table, key, f"{spelled_key(key)} = {typed or spelled(value)}"
            )
        case "header":
            yield _below_header(layout, table, key, setting(key, value, typed))
        case "dotted":
            yield _beside_dotted(layout, table, key, typed or spelled(value))
        case _:
            yield from _added(layout, table, {key: value}, many=False)


def _into_braces(layout: Layout, table: Path, key: str, pair: str, after: Path = ()) -> Splice:
    """Write a setting into a table in braces; behind a certain one, where that is told."""
    inside = layout.children(table)
    before = [one for name, one in inside if rank(table, name) <= rank(table, key)]
    if after or before:
        end = layout.spans[after or before[-1]].end
        return Splice(end, end, f", {pair}")
    if inside:
        start = layout.pairs[inside[0][1]]
        return Splice(start, start, f"{pair}, ")
    span = layout.spans[table]
    space = " " if layout.text[span.start + 1] == "}" else ""
    return Splice(span.start + 1, span.start + 1, f" {pair}{space}")


def _below_header(
    layout: Layout, table: Path, key: str, lines: list[str], after: Path = ()
) -> Splice:
    """Write a setting on lines of its own; behind a certain one, where that is told."""
    home = next(one for one in layout.sections if one.path == table)
    inside = layout.children(table, home)
    before = [one for name, one in inside if rank(table, name) <= rank(table, key)]
    if not (after or before) and not table:
        return Splice(0, 0, "".join(f"{line}{layout.newline}" for line in lines))
    spot = layout.spans[after or before[-1]].end if after or before else home.start
    begin = layout.pairs[after or before[-1]] if after or before else home.start
    end, indent = layout.line_end(spot), layout.indent(begin)
    return Splice(end, end, "".join(f"{layout.newline}{indent}{line}" for line in lines))


def _beside_dotted(layout: Layout, table: Path, key: str, value: str) -> Splice:
    """Write a setting beside those of a table that only their keys name: ``sizes.width``."""
    above = table
    while layout.form(above) == "dotted":
        above = above[:-1]
    inside = layout.children(table)
    before = [one for name, one in inside if rank(table, name) <= rank(table, key)]
    after = before[-1] if before else inside[-1][1]
    names = ".".join(spelled_key(str(part)) for part in (*table[len(above) :], key))
    pair = f"{names} = {value}"
    if layout.form(above) == "value":
        return _into_braces(layout, above, key, pair, after)
    begin = layout.pairs[after]
    end, indent = layout.line_end(layout.spans[after].end), layout.indent(begin)
    return Splice(end, end, f"{layout.newline}{indent}{pair}")


def _added(layout: Layout, path: Path, table: Data, *, many: bool) -> Iterator[Splice]:
    """Write a table: behind the last of its list, else where the sample's order puts it."""
    form = layout.form(path)
    if form == "value":
        old = at_path(layout.data, path)
        yield from list_splices(layout, path, old, [*old, dict(table)])
        return
    above = path[:-1]
    while not layout.form(above):
        above = above[:-1]
    if form in ("", "above headers") and layout.form(above) in ("value", "dotted"):
        inner: Any = [dict(table)] if many else dict(table)
        for part in reversed(path[len(above) + 1 :]):
            inner = {part: inner}
        yield from _new_setting(layout, path[: len(above) + 1], inner)
        return
    lines = block(path, table, _remarks(layout.data, path), many=many)
    if form == "above headers":
        first = next(layout.sections_of(path))
        at = layout.line_start(first.start)
        yield Splice(at, at, "".join(f"{line}{layout.newline}" for line in [*lines, ""]))
        return
    yield _behind(layout, _before(layout, path, above, form == "list of headers"), lines)


def _remarks(data: Data, path: Path) -> Remarks:
    """Give what may be told beside a new table: nothing that the file sets elsewhere."""
    machine = at_path(data, path[:2]) if path[:1] == ("machine",) and path[2:] else {}
    return Remarks(told_in(data), str(machine.get("kind", "")))


def _before(layout: Layout, path: Path, above: Path, there: bool) -> Section | None:
    """Give the section that a new table comes behind; None: it comes first in the file."""
    if there:
        return list(layout.sections_of(path))[-1]
    table, key = above, str(path[len(above)])
    found = None
    for one in layout.sections_of(above):
        below = one.path[len(above) :]
        if not one.path and not one.last:
            continue
        if not below or rank(table, str(below[0])) <= rank(table, key):
            found = one
    return found


def _behind(layout: Layout, section: Section | None, lines: list[str]) -> Splice:
    """Write lines behind a section, with an empty line between."""
    if section is None:
        return Splice(0, 0, "".join(f"{line}{layout.newline}" for line in [*lines, ""]))
    text = "".join(f"{layout.newline}{line}" for line in ["", *lines])
    return Splice(section.last, section.last, text)


def _dropped(layout: Layout, paths: list[Path]) -> Iterator[Splice]:
    """Take out what stands at paths, of which none lies below another."""
    members: dict[Path, list[Path]] = {}
    for path in paths:
        form = layout.form(path)
        if form in ("header", "list of headers", "above headers"):
            yield from _without_blocks(layout, path)
        elif form == "value" and isinstance(path[-1], int):
            members.setdefault(path[:-1], []).append(path)
        else:
            for one in [path] if form == "value" else [one for _, one in layout.children(path)]:
                home = _braces_around(layout, one)
                if home is None:
                    yield _without_lines(layout, one)
                else:
                    members.setdefault(home, []).append(one)
    for home, gone in members.items():
        yield from _without_members(layout, home, gone)


def _braces_around(layout: Layout, path: Path) -> Path | None:
    """Give the table in braces that a setting stands in; None where it has lines of its own."""
    above = path[:-1]
    while layout.form(above) == "dotted":
        above = above[:-1]
    return above if layout.form(above) == "value" else None


def _without_members(layout: Layout, home: Path, gone: list[Path]) -> Iterator[Splice]:
    """Take out some of what stands between the commas of a list or a table in braces."""
    if isinstance(at_path(layout.data, home), Mapping):
        inside = [one for _, one in layout.children(home)]
        members = [Member(layout.pairs[one], layout.spans[one].end) for one in inside]
    else:
        inside = [(*home, index) for index in range(len(at_path(layout.data, home)))]
        members = [Member(layout.spans[one].start, layout.spans[one].end) for one in inside]
    yield from without(layout, members, sorted(inside.index(one) for one in gone))


def _without_lines(layout: Layout, path: Path) -> Splice:
    """Take out the lines of a setting, with a remark behind it on the last one."""
    start, end = layout.line_start(layout.pairs[path]), layout.spans[path].end
    after = layout.after_line(end)
    if after == len(layout.text) and not layout.text.endswith("\n"):
        return Splice(layout.line_end(max(start - 1, 0)) if start else 0, after, "")
    return Splice(start, after, "")


def _without_blocks(layout: Layout, path: Path) -> Iterator[Splice]:
    """Take out tables with their headers; where such stand one below the other, in one piece."""
    begin, last, before = 0, -1, 0
    for section in layout.sections:
        if section.path[: len(path)] != path:
            if last >= 0:
                yield _without_run(layout, begin, last, before)
            before, last = section.last or -1, -1
            continue
        begin = begin if last >= 0 else section.start
        last = section.last
    if last >= 0:
        yield _without_run(layout, begin, last, before)


def _without_run(layout: Layout, begin: int, last: int, before: int) -> Splice:
    """Take out tables, the remarks right above the first, and the empty lines behind the last.

    Args:
        layout: of the text.
        begin: where the first header is.
        last: where the last line ends.
        before: where the last line of what stands before them ends.
    """
    text = layout.text
    own = start = layout.line_start(begin)
    while start and _line_before(layout, start, before).lstrip(" \t").startswith("#"):
        start = layout.line_start(start - 1)
    start = start or own  # those at the very top speak of the whole file
    end = layout.after_line(last)
    while end < len(text) and not text[end : layout.line_end(end)].strip():
        end = layout.after_line(end)
    if end == len(text):
        while start and _line_before(layout, start, before).isspace():
            start = layout.line_start(start - 1)
    return Splice(start, end, "")


def _line_before(layout: Layout, at: int, last: int) -> str:
    """Give the line before one that begins there; nothing where it belongs to what ends there."""
    start = layout.line_start(at - 1)
    return layout.text[start:at] if start > last else ""
