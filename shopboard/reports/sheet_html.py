"""The inspection sheet as one HTML page that prints black on white, on A4 or Letter, lying.

Nothing is loaded from elsewhere and nothing runs. Every text is escaped. Letters are as large as
there is room; only where the smallest do not fit are long texts cut, with an ellipsis.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from shopboard.base.text import harmless
from shopboard.reports.fitting import MM_PER_PT, PageTable, fitted
from shopboard.reports.paper import Paper, cut
from shopboard.reports.sheet import Sheet
from shopboard.reports.sheet_words import decided_words, legend, row_cells, short_day

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
    ("Today, and since then", 15.5),
)
"""Heading and width, percent."""

_BOLD = (0, 5, 7)
"""Columns whose first line is bold."""

SIZES = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5)
"""Of the table's letters, pt; of the words about it the last."""

LINES = 3
"""Lines of a cell that are never cut."""

_NAME, _WHO = 42, 60
"""Letters of names that are printed at the most."""

_ROOMY, _FULL = (400, 700), (80, 120)
"""Letters of the tag's reason and of a decision, where all has room and where it has not."""

_STYLE = f"""
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; color: #000; background: #fff;
  font: {SIZES[-1]}pt/{LINE} Helvetica, Arial, sans-serif; }}
h1 {{ font-size: 15pt; line-height: 1.2; margin: 0; }}
p {{ margin: 1mm 0; overflow-wrap: anywhere; }}
.tag {{ border: 0.7mm solid #000; padding: 1mm 2mm; font-size: 12pt; font-weight: bold; }}
table {{ width: 100%; border-collapse: collapse; table-layout: fixed; margin: 2mm 0; }}
thead {{ display: table-header-group; }}
tr {{ page-break-inside: avoid; break-inside: avoid; }}
th, td {{ border: 0.2mm solid #000; padding: 0.5mm 1mm; text-align: left; vertical-align: top;
  overflow-wrap: anywhere; }}
tbody th {{ font-weight: normal; }}
thead th {{ border-bottom-width: 0.6mm; }}
.line {{ display: inline-block; border-bottom: 0.2mm solid #000; width: 70mm; height: 6mm; }}
"""


def sheet_html(sheet: Sheet, paper: Paper) -> str:
    """Write the page; valid HTML, UTF-8."""
    width, height = paper.room(lying=True)
    title = f"Inspection sheet: {cut(sheet.machine, _NAME)}"
    texts: list[list[tuple[str, ...]]] = [
        [(name,) for name, _ in COLUMNS],
        *(row_cells(row, sheet.unit) for row in sheet.rows),
    ]
    for most in (_ROOMY, _FULL):
        why = f"DO NOT USE: {cut(sheet.out_of_use, most[0])}" if sheet.out_of_use else ""
        decided, words = cut(decided_words(sheet.on_hold), most[1]), legend(sheet.level)
        room = height - _around(width, why, decided, words)
        if _grid(width).height(texts, SIZES[-1]) <= room:
            break
    points, (_, *rows) = fitted(texts, _grid(width), room, SIZES, LINES)
    heads = "".join(f'<th scope="col">{_escaped(name)}</th>' for name, _ in COLUMNS)
    widths = "".join(f'<col style="width: {share}%">' for _, share in COLUMNS)
    empty = f'<tr><td colspan="{len(COLUMNS)}">no points in the shop file</td></tr>'
    tag = f'<p class="tag">{_escaped(why)}</p>\n' if why else ""
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{_escaped(title)}</title>
<style>
{paper.page_css(lying=True)}{_STYLE}body {{ max-width: {width:g}mm; }}
th, td {{ font-size: {points:g}pt; }}
</style>
</head>
<body>
<h1>{_escaped(title)}</h1>
<p>{_escaped(cut(sheet.shop, _NAME))}. Printed {_moment(sheet)}.
Checked by: {_who(sheet.who)}</p>
{tag}<table>
<colgroup>{widths}</colgroup>
<thead>
<tr>{heads}</tr>
</thead>
<tbody>
{chr(10).join(map(_row, rows)) or empty}
</tbody>
</table>
{f"<p>{_escaped(decided)}</p>" if decided else ""}
<p>{_escaped(words)}</p>
<p>Signature: <span class="line"></span> &nbsp; Date: <span class="line"></span></p>
</body>
</html>
"""


def _grid(width: float) -> PageTable:
    return PageTable(width, [share for _, share in COLUMNS], beside=2.2, above=1.2, line=LINE)


def _around(width: float, why: str, decided: str, words: str) -> float:
    """Give the height of what stands above and below the rows, mm."""
    small = PageTable(width, [100], beside=0.0, above=2.0, line=LINE)
    large = PageTable(width, [100], beside=5.4, above=5.4, line=LINE)
    to_write_on = 6 + 3.0  # a line drawn by hand stands on the line of print
    return (
        15 * 1.2 * MM_PER_PT
        + to_write_on
        + (large.height([[[why]]], 12.0) if why else 0.0)
        + 4.0  # above and below the table
        + (small.height([[[decided]]], SIZES[-1]) if decided else 0.0)
        + small.height([[[words]]], SIZES[-1])
        + to_write_on
    )


def _row(cells: Sequence[Sequence[str]]) -> str:
    texts = []
    for column, cell in enumerate(cells):
        lines = [_escaped(line) for line in cell]
        if column in _BOLD:
            lines[0] = f"<b>{lines[0]}</b>"
        texts.append("<br>".join(lines))
    first, *others = texts
    return f'<tr><th scope="row">{first}</th>{"".join(f"<td>{one}</td>" for one in others)}</tr>'


def _who(name: str) -> str:
    return f"<b>{_escaped(cut(name, _WHO))}</b>" if name else '<span class="line"></span>'


def _escaped(text: str) -> str:
    return escape(harmless(text))


def _moment(sheet: Sheet) -> str:
    return f"{short_day(sheet.printed)} {sheet.printed.astimezone():%H:%M}"
