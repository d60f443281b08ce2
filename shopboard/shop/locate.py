"""From findings, which know their path, to problems, which know line and column."""

from __future__ import annotations

import re
from collections.abc import Iterable

from shopboard.base.text import is_unfit
from shopboard.shop.places import TextSpan, find_places
from shopboard.shop.problems import Problem, SourceText
from shopboard.shop.report import Fault, Path

_ESCAPE = re.compile(
    r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|x([0-9A-Fa-f]{2})|[btnfre]|.)", re.DOTALL
)


def locate(findings: Iterable[Fault], text: str) -> tuple[Problem, ...]:
    """Give every finding its place, sorted by place."""
    source = SourceText(text)
    places = find_places(text)
    placed = [(*_stretch(finding, places, text), finding) for finding in findings]
    placed.sort(key=lambda item: (item[0], item[1]))
    return tuple(
        source.problem(
            start,
            end,
            finding.what,
            _allowed(finding, places, source),
            finding.hint,
            finding.severity,
        )
        for start, end, finding in placed
    )


def _allowed(finding: Fault, places: dict[Path, TextSpan], source: SourceText) -> str:
    if finding.first is None:
        return finding.allowed
    first = f"first written on line {source.line_of(_span(finding.first, places).start)}"
    return f"{first}; {finding.allowed}" if finding.allowed else first


def _span(path: Path, places: dict[Path, TextSpan]) -> TextSpan:
    """Give the span of a path; of the nearest table around it when it is not there.

    What stands alone where a list may stand is the first of it.
    """
    found: Path = ()
    for part in path:
        if (*found, part) in places:
            found = (*found, part)
        elif part != 0:
            break
    return places.get(found, TextSpan(0, 0, 0, 0))


def _stretch(finding: Fault, places: dict[Path, TextSpan], text: str) -> tuple[int, int]:
    span = _span(finding.path, places)
    start, end = (span.key_start, span.key_end) if finding.at_key else (span.start, span.end)
    return _narrow(start, end, text) if finding.unfit else (start, end)


def _narrow(start: int, end: int, text: str) -> tuple[int, int]:
    """Give the first character of a stretch, or escape in it, that may not be drawn."""
    escapes = text[start] == '"'
    at = start
    while at < end:
        match = _ESCAPE.match(text, at) if escapes and text[at] == "\\" else None
        if match:
            code = match[1] or match[2] or match[3]
            if match[0][1] in "btnfre" or (code and is_unfit(chr(int(code, 16)))):
                return at, match.end()
            at = match.end()
        elif is_unfit(text[at]) and not _is_first_line_feed(text, start, at):
            return at, at + 1
        else:
            at += 1
    return start, end


def _is_first_line_feed(text: str, start: int, at: int) -> bool:
    """Tell whether a line feed stands right after opening triple quotes, where TOML drops it."""
    return text[at] == "\n" and at == start + 3
