"""What tomli refuses, at its exact place and with a plain hint for the usual slips.

tomli stops at the first thing that is no TOML and names it in its own words;
here it becomes a sentence for someone who never heard of TOML.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable

from shopboard.shop.hints import closest
from shopboard.shop.places import LostError, Scanner
from shopboard.shop.problems import Problem, SourceText
from shopboard.shop.report import Readers
from shopboard.shop.words import DEEPEST, too_many_dots

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_VALUE_HINTS = (
    (r"[+-]?\.\d", 'a number needs a 0 before the point (0.5), or quotes and a unit: ".5 in"'),
    (r"[+-]?\d+,\d", "write a point, not a comma: 0.5"),
    (r"[+-]?(?:\d+[ -])?\d+\s*/\s*\d", 'write a fraction with its unit in quotes: "1/64 in"'),
    (r"[−–—]", "this is a printer's minus: type the plain -"),
    (r"[“”„‟«»‘’‚`]", 'these are curly quotes: type straight ones, "'),
    (
        r"[+-]?(?:\d[\d.]*|\.\d+)\s*(?:[A-Za-z°″′\"%µ]+)",
        'a number with a unit needs quotes: "0.05 mm"',
    ),
    (r"(?i:yes|on|true)\b", "write true, in small letters and without quotes"),
    (r"(?i:no|off|false)\b", "write false, in small letters and without quotes"),
    (r"[+-]?0\d", "a number does not begin with 0: write 7, not 007"),
    (r"[+-]?\d+\.(?!\d)", "a number needs a digit after the point: 5.0"),
    (r"=", "one = is enough"),
    (r"[^\W\d_]", 'text needs quotes: name = "Jointer"'),
)
_LINE_HINTS = (
    (r"\s*\[\[[^\]]*\]\s*(?:#.*)?$", "close it with two brackets: ]]"),
    (r"\s*\[[^\[\]]*\]\]", "begin it with two brackets: [["),
    (r"\s*\[[^\]]*$", "the closing bracket is missing"),
    (r"\s*\[[^\]]*\]+\s*[^#\s]", "nothing may follow a line in brackets"),
    (r"\s*\[", "a line in brackets holds a name, as in [[machine]]"),
    (r"\s*[\w-]+\s*:", "write = and not :"),
    (r"\s*(?://|;|--|/\*|%|')", "a remark begins with #"),
    (r"\s*=", "a name is missing before ="),
    (r"\s*[\w.-]+(?:[ \t]+[\w.-]+)+\s*=", "a name has no spaces: write _ between its words"),
    (r"\s*[“”„«‘’]", 'these are curly quotes: type straight ones, "'),
    (r"[^=]*[^\x00-\x7f][^=]*=", "names are written with a to z, digits, - and _"),
    (r"[^=#]*$", "a setting is name = value; a remark begins with #"),
    (r".*", "a setting is name = value"),
)
_LEFTOVER_HINTS = (
    (r",\s*(?:#.*)?$", "no comma at the end of a line"),
    (r"[;,]?\s*[\w.\"-]+\s*=", "one setting on each line"),
    (r"[\]})]", "one closing bracket too many"),
)


def syntax_problem(
    text: str, error: Exception | None, readers: Callable[[], Readers] = dict
) -> Problem:
    """Turn what tomli says about a text into a problem.

    Args:
        text: of the file, with line feeds alone at the line ends.
        error: what tomli raised; None when a name has too many parts to be read at all.
        readers: give which tables the file can have.
    """
    source = SourceText(text)
    if error is None:
        deep = too_many_dots(text) or 0
        return source.problem(deep, deep + 1, "a name of very many parts", "at most 32")
    if isinstance(error, RecursionError):
        at = _deepest(text)
        return source.problem(at, at + 1, "nested too deeply", f"at most {DEEPEST} levels")
    message = str(error)
    place = _PLACE.search(message)
    if not place:
        return _long_number(source)
    at = len(text)
    if place[1]:
        at = min(len(text), source.start_of(int(place[1])) + int(place[2]) - 1)
    return _explain(source, at, message[: place.start()], readers)


def _deepest(text: str) -> int:
    """Give where brackets are first nested too deeply, texts and remarks left out."""
    depth = 0
    for match in re.finditer(r"\"(?:\\.|[^\"\\\n])*\"|'[^'\n]*'|#[^\n]*|[\[{]|[\]}]", text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(match[0], 0)
        if depth > DEEPEST:
            return match.start()
    return 0


def _long_number(source: SourceText) -> Problem:
    """Python refuses to read a number of thousands of digits."""
    match = re.search(r"\d[\d_]{4000,}", source.text)
    start, end = match.span() if match else (0, 0)
    return source.problem(start, end, "a number of thousands of digits", "write a shorter one")


def _explain(source: SourceText, at: int, message: str, readers: Callable[[], Readers]) -> Problem:
    """Find the place that a person would point at, and the hint."""
    scanner = Scanner(source.text[:at])
    try:
        scanner.run()
    except (LostError, RecursionError):
        lost = True
    else:
        lost = False
    if re.search(r"twice|overwrite|Duplicate|immutable|redefine", message):
        return _repeated(source, scanner, at, readers)
    if re.search(r"Unterminated|Illegal character '\\n'|invalid character '\\n'", message) or (
        re.match(r"Expected ['\"]+$", message)
    ):
        return _never_closed(source, scanner, at, lost=lost)
    if message.startswith("Unclosed"):
        return _unclosed_list(source, scanner, at, message)
    character = re.match(r"(?:Illegal|Found invalid) character", message)
    if character and at < len(source.text):
        code = f"U+{ord(source.text[at]):04X}"
        return source.problem(at, at + 1, f"the character {code} may not stand here", "delete it")
    if "Unescaped" in message or "hex value" in message or "Unicode scalar" in message:
        return _bad_escape(source, at)
    return _slip(source, scanner, at, message)


def _repeated(
    source: SourceText, scanner: Scanner, at: int, readers: Callable[[], Readers]
) -> Problem:
    """Tell where something was written first."""
    if not scanner.repeats:  # the scanner stopped before the end of a header: finish the line
        scanner = Scanner(source.text[: source.start_of(source.line_of(at) + 1)])
        with contextlib.suppress(LostError):
            scanner.run()
    line = source.line_of(at)
    if not scanner.repeats or _hint(_LINE_HINTS[:2], source.line_text(line)):
        return _bad_line(source, line)
    path, first, span = scanner.repeats[0]
    name = ".".join(str(part) for part in path if isinstance(part, str))
    allowed = f"first written on line {source.line_of(first.start)}"
    if not source.text.startswith("[", span.start):
        what = f"{name} is written a second time"
        return source.problem(span.key_start, span.key_end, what, allowed)
    header, one, many = source.text[span.start : span.end], f"[{name}]", f"[[{name}]]"
    above = source.text[first.start : first.end]
    what, hint = f"{header} is written a second time", ""
    if header not in (one, many):
        what = f"{name} is not a table that {header} could add to"
    elif header == many and above == one:
        what, hint = f"{one} and {many} do not go together", f"write {many} each time"
    elif header == many:
        if (slip := _misspelt_above(source, first.start, many, readers)) is not None:
            return slip
        what, hint = f"this {many} comes too late", f"write it above {above}"
    elif many in readers():
        hint = f"for one of several write {many}"
    return source.problem(span.start, span.end, what, allowed, hint)


def _misspelt_above(
    source: SourceText, at: int, many: str, readers: Callable[[], Readers]
) -> Problem | None:
    """Blame the line in brackets before `at` where that is no table, and is like another."""
    before = list(re.finditer(r"^[ \t]*(\[\[[^\[\]\n]*\]\])", source.text[:at], re.MULTILINE))
    if not before or (header := before[-1][1]) in readers() or closest(header, [many]) != many:
        return None
    what = f"{header} is no table of a shop file"
    return source.problem(*before[-1].span(1), what, "", f"did you mean {many}?")


def _never_closed(source: SourceText, scanner: Scanner, at: int, *, lost: bool) -> Problem:
    """Point at the quote that opened a text, not at where the file ran out."""
    start = scanner.open_at[-1] if lost and scanner.open_at else at
    quote = source.text[start : start + 3]
    quote = quote if quote in ('"""', "'''") else quote[:1]
    end = source.start_of(source.line_of(start) + 1) - 1
    return source.problem(
        start, max(end, start + 1), "this text is never closed", f"end it with {quote}"
    )


def _unclosed_list(source: SourceText, scanner: Scanner, at: int, message: str) -> Problem:
    """Tell a list that never ends from one with a slip inside."""
    text = source.text
    opened = scanner.open_at[-1] if scanner.open_at else at
    thing, closing = ("table", "}") if text[opened : opened + 1] == "{" else ("list", "]")
    rest = text[at : at + 200]
    if thing == "table" and re.match(r"[\w.-]+\s*=[^{}\[\]]*\}", rest):
        return source.problem(at, at + 1, "a comma is missing before this")
    ends = re.match(r"\s*(?:$|\[|[\w.-]+\s*=)", rest)
    if at >= len(text) or (ends and "\n" in text[opened:at]):
        what = f"this {thing} is never closed"
        return source.problem(opened, opened + 1, what, f"end it with {closing}")
    if re.match(r"[\"'\d\[{+-]", rest) and text[opened:at].rstrip()[-1:] not in "[{,":
        return source.problem(at, at + 1, "a comma is missing before this")
    return _slip(source, scanner, at, message)


def _bad_escape(source: SourceText, at: int) -> Problem:
    """Point at the backslash that means nothing."""
    line = source.line_of(at)
    start = source.start_of(line)
    before = source.text.rfind("\\", start, at + 1)
    at = before if before >= 0 else at
    what = "a backslash means something special between double quotes"
    hint = "write \\\\ for one, or use single quotes: '...'"
    return source.problem(at, at + 2, what, "", hint)


def _slip(source: SourceText, scanner: Scanner, at: int, message: str) -> Problem:
    """Explain a bad value, a bad line, or what is left over after a value."""
    line = source.line_of(at)
    text, start = source.line_text(line), source.start_of(line)
    before, rest = text[: at - start], text[at - start :]
    opened = scanner.open_at[-1] if scanner.open_at else None
    if opened is not None and at >= len(source.text):
        return _unclosed_list(source, scanner, at, message)
    earlier = [at for at in scanner.open_at if at < start]
    if earlier and re.match(r"\[\[?\s*[A-Za-z_]", text):  # a header was taken for more of a list
        what = "this list is never closed"
        return source.problem(earlier[-1], earlier[-1] + 1, what, "end it with ]")
    if opened is None and "=" not in before:
        return _bad_line(source, line)
    if message.startswith("Expected newline"):
        return _left_over(source, at, before, rest)
    return _bad_value(source, start, text, before, message)


def _bad_line(source: SourceText, line: int) -> Problem:
    """Explain a line that is neither a setting nor a header."""
    text, start = source.line_text(line), source.start_of(line)
    first = start + len(text) - len(text.lstrip())
    what, hint = "this line cannot be understood", _hint(_LINE_HINTS, text)
    return source.problem(first, start + len(text), what, "", hint)


def _bad_value(source: SourceText, start: int, text: str, before: str, message: str) -> Problem:
    """Explain a value that is none; it begins after the last mark before the error."""
    begin = max(before.rfind(mark) for mark in "=[,{") + 1
    begin += len(text[begin:]) - len(text[begin:].lstrip())
    value = text[begin:]
    shown = (re.match(r"[^,\]}#]*", value) or [""])[0].rstrip()
    what = "this is not a value" if shown else "a value is missing"
    if "date" in message:
        what = "no such date or time"
    hint = _hint(_VALUE_HINTS, value)
    return source.problem(start + begin, start + begin + max(1, len(shown)), what, "", hint)


def _left_over(source: SourceText, at: int, before: str, rest: str) -> Problem:
    """Explain what follows a value on its line."""
    value = re.search(r"=\s*(.*)$", before)
    number = bool(value and re.match(r"[+-]?[\d.]", value[1]))
    if value and re.match(r"\d{4}-\d|\d+:", value[1] + rest):
        start = at - len(value[1])
        return source.problem(start, at + len(rest.rstrip()), "no such date or time")
    hint = _hint(_LEFTOVER_HINTS, rest)
    if number and not hint and value:
        hint = _hint(_VALUE_HINTS, value[1] + rest)
        if hint:
            start = at - len(value[1])
            stop = re.match(r"[^#]*", rest)
            end = at + (len(stop[0].rstrip()) if stop else 1)
            return source.problem(start, end, "this is not a value", "", hint)
    if not hint and value and value[1].startswith('"'):
        hint = "put text that holds \" between single quotes: '3-1/4\"'"
    if not hint and value and value[1].startswith("'"):
        hint = "put text that holds ' between double quotes"
    end = at + max(1, len(rest.rstrip()))
    return source.problem(at, end, "something is left over after the value", "", hint)


def _hint(hints: tuple[tuple[str, str], ...], text: str) -> str:
    return next((hint for pattern, hint in hints if re.match(pattern, text)), "")
