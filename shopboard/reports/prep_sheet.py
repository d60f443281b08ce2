"""The plan of a prep day as one HTML page that prints black on white, on A4 or Letter, standing.

Nothing is loaded from elsewhere and nothing runs. Every text is escaped. Letters are as large as
there is room; what does not fit in the smallest is cut, so that sixty pieces of work fit one page.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    NOT_ABOUT_SAFETY,
    about,
    clock,
    done_by,
    how_near,
    left_words,
    span,
    started,
    time_words,
    too_long,
)
from shopboard.reports.fitting import MM_PER_PT, PageTable, fitted
from shopboard.reports.paper import Paper, cut
from shopboard.shop.model import Shop

COLUMNS = (("", 4), ("When", 10), ("Where", 20), ("What", 50), ("Min", 5), ("Wait until", 11))
"""Heading and width, percent."""

MOST = 60
"""Pieces of work on the page; of more, a last line says how many."""

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
"""Of the table's letters, pt."""

_WORDS = 8.5
"""Size of the words about the table, pt."""

_NOTES = 3
"""Notes that are printed; of a long day one."""

_LONG = 45
"""Pieces from which a day is long."""

_LONGEST = 300
"""Letters of a note."""

_LINE = 1.2


def prep_sheet(plan: DayPlan, shop: Shop, paper: Paper, called: str = "") -> str:
    """Write the page, valid HTML, UTF-8; `called`: the shop's name, where it says more."""
    width, height = paper.room()
    names = {one.id: one.name for one in shop.machines}
    shown = [*(_cells(line, plan, names) for line in plan.lines)]
    shown = [*shown, *(_left_cells(one, names) for one in plan.left)]
    more, shown = len(shown) - MOST, shown[:MOST]
    many = _NOTES if len(shown) < _LONG else 1
    title = cut(f"Prep day {about(plan)}", 60)
    lead = f"{cut(called or shop.name, 52)}, {_moment(plan)}. {_summary(plan, shop)}"
    notes = [cut(note, _LONGEST) for note in (*_opens(plan, many), *plan.left_out[:many])]
    last = _last_row(more, len(shown))
    room = height - _around(width, lead, notes, last)
    texts = [[[name] for name, _ in COLUMNS], *shown]
    size, (_, *fit) = fitted(texts, _grid(width), room, SIZES, 1)
    rows = [_row([one[0] for one in cells]) for cells in fit]
    if last:
        rows.append(f'<tr><td colspan="{len(COLUMNS)}">{last}</td></tr>')
    heads = "".join(f'<th scope="col">{escape(name)}</th>' for name, _ in COLUMNS)
    widths = "".join(f'<col style="width: {share}%">' for _, share in COLUMNS)
    listed = "".join(f"<li>{escape(note)}</li>" for note in notes)
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{escape(title)}</title>
<style>
{paper.page_css()}{_STYLE}body {{ max-width: {width:g}mm; }}
th, td {{ font-size: {size:g}pt; }}
</style>
</head>
<body>
<h1>{escape(title)}</h1>
<p>{escape(lead)}</p>
<table>
<colgroup>{widths}</colgroup>
<thead>
<tr>{heads}</tr>
</thead>
<tbody>
{chr(10).join(rows)}
</tbody>
</table>
{f"<ul>{listed}</ul>" if listed else ""}
<p>{escape(_LAST)}</p>
</body>
</html>
"""


_LAST = (
    "Times are those of the moment of printing; the board plans anew as the day goes."
    f" {NOT_ABOUT_SAFETY} The maker's manual, local codes and licensed practice come first."
)


def _grid(width: float) -> PageTable:
    return PageTable(width, [share for _, share in COLUMNS], beside=1.6, above=0.6, line=_LINE)


def _around(width: float, lead: str, notes: Sequence[str], last: str) -> float:
    """Give the height of what stands above and below the rows, mm."""
    words = PageTable(width, [100], beside=0.0, above=2.0, line=1.25)
    listed = PageTable(width, [100], beside=5.0, above=0.0, line=1.25)
    return (
        15 * 1.2 * MM_PER_PT
        + words.height([[[lead]], [[_LAST]]], _WORDS)
        + (2.0 + listed.height([[[one]] for one in notes], _WORDS) if notes else 0.0)
        + (_grid(width).height([[[last]]], SIZES[0]) if last else 0.0)
        + 4.0  # above and below the table
        + 1.0  # the rule below its heading
    )


def _opens(plan: DayPlan, many: int) -> list[str]:
    """Say what stays open; of more than there is room for, how many more."""
    told = [f"Open: {one.words}" for one in plan.stays_open[:many]]
    more = len(plan.stays_open) - len(told)
    return [*told, f"Open: {more} more."] if more else told


def _summary(plan: DayPlan, shop: Shop) -> str:
    words = done_by(plan)
    begun = started(plan)
    said = f"{begun[0].upper()}{begun[1:]}; {words}; {span(plan.hands_on)} of work."
    time = (time_words(plan), left_words(plan), *plan.holds)
    told = (said, *time, too_long(plan, len(shop.projects)), how_near(plan))
    return " ".join(filter(None, told))


def _moment(plan: DayPlan) -> str:
    local = plan.now.astimezone()
    return f"printed {local.day} {local:%b} {local.year} {local:%H:%M}"


def _cells(line: PlanLine, plan: DayPlan, names: dict[str, str]) -> list[list[str]]:
    piece = line.piece
    what = piece.words
    if piece.of and piece.words != piece.name:
        first, last = piece.steps
        count = f"{first}" if first == last else f"{first}-{last}"
        what = f"{piece.words} ({count} of {piece.of}: {piece.name})"
    if line.change:
        what = f"{span(line.change)} change-over, then {what}"
    over = clock(line.over, plan.now) if line.over is not None else ""
    minutes = f"{max(1, round(piece.minutes))}"
    texts = ("□", clock(line.begins, plan.now), names[piece.machine], what, minutes, over)
    return [[text] for text in texts]


def _last_row(more: int, shown: int) -> str:
    """Say how many pieces the page has no room for, or that there are none; else empty."""
    if more > 0:
        return f"and {more} more"
    return "" if shown else "nothing is left to do"


def _left_cells(one: LeftPiece, names: dict[str, str]) -> list[list[str]]:
    """Write what does not fit into the time one has, with what that puts at risk."""
    piece = one.piece
    what = f"{piece.words} ({one.risk})" if one.risk else piece.words
    texts = ("□", "left", names[piece.machine], what, f"{max(1, round(piece.minutes))}", "")
    return [[text] for text in texts]


def _row(texts: Sequence[str]) -> str:
    return f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in texts)}</tr>"


_STYLE = f"""
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; color: #000; background: #fff;
  font: {_WORDS}pt/1.25 Helvetica, Arial, sans-serif; }}
h1 {{ font-size: 15pt; line-height: 1.2; margin: 0; }}
p {{ margin: 1mm 0; overflow-wrap: anywhere; }}
ul {{ margin: 1mm 0; padding-left: 5mm; overflow-wrap: anywhere; }}
table {{ width: 100%; border-collapse: collapse; table-layout: fixed; margin: 2mm 0; }}
tr {{ break-inside: avoid; }}
th, td {{ border-bottom: 0.2mm solid #000; padding: 0.2mm 0.8mm; text-align: left;
  vertical-align: top; overflow-wrap: anywhere; line-height: {_LINE}; }}
thead th {{ border-bottom-width: 0.6mm; }}
"""
