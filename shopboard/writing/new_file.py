"""A whole shop file from plain data, as a careful person writes one: to be opened and edited."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import tomli

from shopboard.base.text import harmless
from shopboard.writing.edits import Data, same
from shopboard.writing.order import rank
from shopboard.writing.remarks import Remarks
from shopboard.writing.spelling import block, setting

_HEAD = """\
# What is in the shop, what must be true on it, and which tools prove it.
#
# A line that begins with # is a remark. `shopboard explain` tells what each setting is for, and
# `shopboard proofread` finds every slip. Records are kept under ids: where one must change, write
# was = "old-id" below it."""

_SECTIONS = {
    "drawer": "Tools that measure",
    "safety": "Questions of the safety walk",
}
_RULE = 80


class NotWritableError(ValueError):
    """Data that no file of settings says."""


def text(data: Data) -> str:
    """Write a shop file.

    Args:
        data: what tomli is to give of it again.

    Raises:
        NotWritableError: when no text would say that.
    """
    lines = [_HEAD]
    remarks = Remarks()
    try:
        for key in sorted(data, key=lambda one: rank((), one)):
            lines += _part(key, data[key], remarks)
        made = "\n".join([*lines, ""])
        said = tomli.loads(made)
    except (TypeError, ValueError, AttributeError) as error:
        raise NotWritableError(f"this cannot be written as a shop file: {error}") from None
    if not same(said, data):
        raise NotWritableError("this cannot be written as a shop file")
    return made


def _part(key: str, value: object, remarks: Remarks) -> Iterator[str]:
    """Give the lines of what stands at the top of the file, sections under their headings."""
    if not isinstance(value, Mapping | list):
        yield from ["", *setting(key, value)]
        return
    for one in value if isinstance(value, list) else [value]:
        heading = _SECTIONS.get(key, "") or (str(one.get("name", "")) if key != "shop" else "")
        if heading:
            yield from ("", "", _heading(heading))
        if key != "drawer":
            yield ""
            yield from block((key,), one, remarks, many=isinstance(value, list))
            continue
        for sort in sorted(one, key=lambda each: rank((key,), each)):
            for tool in one[sort]:
                yield ""
                yield from block((key, sort), tool, remarks, many=True)


def _heading(words: str) -> str:
    return f"# {'-' * (_RULE - 3 - len(words[:60]))} {harmless(words[:60])}"
