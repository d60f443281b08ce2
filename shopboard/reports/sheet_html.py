"""The inspection sheet as one HTML page that prints black on white, on A4 or Letter, lying.

Nothing is loaded from elsewhere and nothing runs. Every text is escaped. Long
texts are cut with an ellipsis, so that twelve points fit one page.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from html import escape

from shopboard.base.state_words import state_word
from shopboard.base.text import harmless
from shopboard.metrology.kind import YES_NO_WORDS, measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.reports.paper import cut
from shopboard.reports.sheet import Sheet, SheetRow
from shopboard.reports.shop_units import bare
from shopboard.reports.tools_used import tools_used
from shopboard.results.record import CheckRecord

PAGE_MM = (259.0, 190.0)
"""Width and height that both papers leave inside the margins: Letter is shorter, A4 narrower."""

MARGIN_MM = 10.0
POINTS = 7.5
"""Size of the table's letters, pt."""
LINE = 1.25
"""Height of a line, in letters."""

COLUMNS = (
    ("Point, method", 16),
    ("Tool", 13.5),
    ("Tolerance", 9),
    ("As found", 12.5),
    ("As left", 12.5),
    ("Verdict", 13),
    ("When", 8),
    ("Today, happened since", 15.5),
)
"""Heading and width, percent."""

_NEVER = "never checked"

LINES = 3
"""Lines that a point takes at the most, where the sheet is full."""

ROOMY = 6
"""Lines that a point takes at the most, where there are few."""

_FULL = 36
"""Lines of all points together at the most."""

_NAME, _WORD, _TOOLS, _TOLERANCE, _WHY, _WHO = 42, 20, 54, 36, 80, 60
"""Letters that are printed of each text at the most: what fits the lines of its column."""

_DECIDED = 120

_LEAN, _TODAY = 18, 22
"""Letters of one line, of the texts that go on for as many lines as their point has."""

_STYLE = f"""
@page {{ size: landscape; margin: {MARGIN_MM:g}mm; }}
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; max-width: {PAGE_MM[0]:g}mm; color: #000; background: #fff;
  font: {POINTS}pt/{LINE} Helvetica, Arial, sans-serif; }}
h1 {{ font-size: 15pt; line-height: 1.2; margin: 0; }}
p {{ margin: 1mm 0; }}
.tag {{ border: 0.7mm solid #000; padding: 1mm 2mm; font-size: 12pt; font-weight: bold; }}
table {{ width: 100%; border-collapse: collapse; table-layout: fixed; margin: 2mm 0; }}
thead {{ display: table-header-group; }}
tr {{ page-break-inside: avoid; break-inside: avoid; }}
th, td {{ border: 0.2mm solid #000; padding: 0.5mm 1mm; text-align: left; vertical-align: top;
  overflow-wrap: anywhere; font-size: {POINTS}pt; }}
tbody th {{ font-weight: normal; }}
thead th {{ border-bottom-width: 0.6mm; }}
.line {{ display: inline-block; border-bottom: 0.2mm solid #000; width: 70mm; height: 6mm; }}
"""


def sheet_html(sheet: Sheet) -> str:
    """Write the page; valid HTML, UTF-8."""
    title = f"Inspection sheet: {cut(sheet.machine, _NAME)}"
    heads = "".join(f'<th scope="col">{_escaped(name)}</th>' for name, _ in COLUMNS)
    widths = "".join(f'<col style="width: {share}%">' for _, share in COLUMNS)
    lines = lines_of_each(len(sheet.rows))
    rows = "\n".join(_row(row, sheet.unit, lines) for row in sheet.rows)
    empty = f'<tr><td colspan="{len(COLUMNS)}">no points in the shop file</td></tr>'
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{_escaped(title)}</title>
<style>{_STYLE}</style>
</head>
<body>
<h1>{_escaped(title)}</h1>
<p>{_escaped(cut(sheet.shop, _NAME))}. Printed {_moment(sheet.printed)}.
Checked by: {_who(sheet.who)}</p>
{_tag(sheet.out_of_use)}<table>
<colgroup>{widths}</colgroup>
<thead>
<tr>{heads}</tr>
</thead>
<tbody>
{rows or empty}
</tbody>
</table>
{_on_hold(sheet.on_hold)}
<p>&plusmn; U is the expanded uncertainty at 95 %, k its coverage factor. True is proven within the
tolerance at {_escaped(percent(sheet.level))}, out is proven outside it, borderline is too close to
call; the verdict is that of the day; a time with ? is of a wrong clock. This sheet speaks of
accuracy, never of safety: the maker's manual, local rules and licensed practice come first.</p>
<p>Signature: <span class="line"></span> &nbsp; Date: <span class="line"></span></p>
</body>
</html>
"""


def lines_of_each(points: int) -> int:
    """Give how many lines each of so many points may take: the fewer, the more."""
    return min(ROOMY, max(LINES, _FULL // max(points, 1)))


def _row(row: SheetRow, unit: Unit, lines_each: int) -> str:
    standing, newest = row.standing, row.newest
    point = standing.point
    is_said = point.tolerance.kind in YES_NO_WORDS
    tolerance = YES_NO_WORDS["yes or no"][0] if is_said else point.tolerance.words(unit)
    method = newest.method if newest else ", ".join(point.checks)
    cells = (
        (f"<b>{_text(point.name, _NAME)}</b>", _text(method, _WORD)),
        (_text(", ".join(tools_used(newest)), _TOOLS) if newest else "",),
        (_text(tolerance, _TOLERANCE),),
        _value(row.found, unit),
        _value(row.left, unit),
        _verdict(newest, lines_each - 1),
        _when(newest) if newest else ("",),
        _today(row, lines_each - 1),
    )
    first, *others = ("<br>".join(one for one in lines if one) for lines in cells)
    return (
        f'<tr><th scope="row">{first}</th>'
        f"{''.join(f'<td>{text or chr(0x2013)}</td>' for text in others)}</tr>"
    )


def _value(record: CheckRecord | None, unit: Unit) -> tuple[str, ...]:
    """Write a result with its uncertainty and k."""
    if record is None:
        return ("",)
    error = _escaped(bare(record.error, record.kind, unit, signed=True))
    if record.kind in YES_NO_WORDS:
        return (error,)
    expanded = _escaped(measure(record.expanded, record.kind, unit))
    verdict = _text(state_word(record.verdict), _WORD)
    return f"{error} &plusmn; {expanded}", f"k = {record.k:.2f}, {verdict}"


def _when(record: CheckRecord) -> tuple[str, ...]:
    return _day(record.when), f"{record.when.astimezone():%H:%M}{'' if record.clock_ok else ' ?'}"


def _verdict(record: CheckRecord | None, lines: int) -> tuple[str, ...]:
    if record is None:
        return (_NEVER,)
    words = f"note: {record.remark}; {record.lean}" if record.remark else record.lean
    return (f"<b>{_text(state_word(record.verdict), _WORD)}</b>", _text(words, _LEAN * lines))


def _today(row: SheetRow, lines: int) -> tuple[str, str]:
    """Say how the point stands today, and what happened since its newest result."""
    words = []
    if row.since:
        newest = row.since[0]
        more = f" and {len(row.since) - 1} more" if len(row.since) > 1 else ""
        said = f", recorded {_day(newest.when)}" if newest.on is not None else ""
        words.append(f"{newest.what} {_day(newest.on or newest.when)}{said}{more}")
    if not any(one.undoes for one in row.since) and row.standing.reason not in ("", _NEVER):
        words.append(row.standing.reason)
    return f"<b>{state_word(row.standing.state)}</b>", _text("; ".join(words), _TODAY * lines)


def _tag(why: str) -> str:
    if not why:
        return ""
    return f'<p class="tag">DO NOT USE: {_text(why, _WHY)}</p>\n'


def _on_hold(decided: Sequence[str]) -> str:
    """Write the newest decision to glue up on hold on one line, and how many there are more."""
    if not decided:
        return ""
    more = f" And {len(decided) - 1} more." if len(decided) > 1 else ""
    return f"<p>The owner's decision: {_text(decided[0], _DECIDED)}.{more}</p>"


def _who(name: str) -> str:
    return f"<b>{_text(name, _WHO)}</b>" if name else '<span class="line"></span>'


def _text(text: str, most: int) -> str:
    return _escaped(cut(text, most))


def _escaped(text: str) -> str:
    return escape(harmless(text))


def _day(when: datetime) -> str:
    local = when.astimezone()
    return f"{local.day} {local:%b} {local.year}"


def _moment(when: datetime) -> str:
    return f"{_day(when)} {when.astimezone():%H:%M}"
