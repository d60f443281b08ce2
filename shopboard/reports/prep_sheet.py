"""The plan of a prep day as one HTML page that prints black on white, on A4 or Letter, standing.

Nothing is loaded from elsewhere and nothing runs. Every text is escaped and cut to its line, so
that sixty pieces of work fit one page: the more there are, the smaller the letters.
"""

from __future__ import annotations

from html import escape

from shopboard.metrology.units import MM_PER_INCH
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    NOT_ABOUT_SAFETY,
    about,
    clock,
    done_by,
    how_near,
    span,
    started,
    too_long,
)
from shopboard.reports.paper import cut
from shopboard.shop.model import Shop

PAGE_MM = (190.0, 259.0)
"""Width and height that both papers leave inside the margins: A4 is narrower, Letter shorter."""

MARGIN_MM = 10.0

COLUMNS = (("", 4), ("When", 10), ("Where", 20), ("What", 50), ("Min", 5), ("Alone until", 11))
"""Heading and width, percent."""

MOST = 60
"""Pieces of work on the page; of more, a last line says how many."""

_LARGEST, _SMALLEST = 10.0, 7.0
"""Size of the letters, pt."""

_ABOVE_MM, _BELOW_MM = 24.0, 24.0
"""What stands above and below the table."""

_NOTES = 3
"""Notes that are printed; of a long day one."""

_LONG = 45
"""Pieces from which a day is long."""

_MM_PER_PT = MM_PER_INCH / 72
_LINE = 1.2
_PADDING_MM = 0.6
"""Above and below the words of a row together, its rule among it."""


def letters(rows: int) -> float:
    """Give the size of the table's letters, pt, so that so many rows fit the page."""
    room = (PAGE_MM[1] - _ABOVE_MM - _BELOW_MM) / (max(rows, 1) + 1) - _PADDING_MM
    return max(_SMALLEST, min(_LARGEST, room / (_LINE * _MM_PER_PT)))


def row_mm(size: float) -> float:
    """Give the height of a row of letters of a size, mm."""
    return size * _LINE * _MM_PER_PT + _PADDING_MM


def prep_sheet(plan: DayPlan, shop: Shop, called: str = "") -> str:
    """Write the page, valid HTML, UTF-8; `called`: the shop's name, where it says more."""
    names = {one.id: one.name for one in shop.machines}
    shown = plan.lines[:MOST]
    size = letters(len(shown) + (len(plan.lines) > MOST))
    rows = [_row(line, plan, names, size) for line in shown]
    more = len(plan.lines) - len(shown)
    if more:
        rows.append(f'<tr><td colspan="{len(COLUMNS)}">and {more} more</td></tr>')
    if not rows:
        rows.append(f'<tr><td colspan="{len(COLUMNS)}">nothing is left to do</td></tr>')
    heads = "".join(f'<th scope="col">{escape(name)}</th>' for name, _ in COLUMNS)
    widths = "".join(f'<col style="width: {share}%">' for _, share in COLUMNS)
    many = _NOTES if len(shown) < _LONG else 1
    title = cut(f"Prep day {about(plan)}", 60)
    notes = "".join(f"<li>{escape(cut(note, 110))}</li>" for note in plan.left_out[:many])
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{escape(title)}</title>
<style>{_style(size)}</style>
</head>
<body>
<h1>{escape(title)}</h1>
<p>{escape(cut(called or shop.name, 52))}, {_moment(plan)}. {escape(_summary(plan, shop))}</p>
<table>
<colgroup>{widths}</colgroup>
<thead>
<tr>{heads}</tr>
</thead>
<tbody>
{chr(10).join(rows)}
</tbody>
</table>
{f"<ul>{notes}</ul>" if notes else ""}
<p>Times are those of the moment of printing; the board plans anew as the day goes.
{escape(NOT_ABOUT_SAFETY)} The maker's manual, local rules and licensed practice come first.</p>
</body>
</html>
"""


def _summary(plan: DayPlan, shop: Shop) -> str:
    words = done_by(plan)
    begun = started(plan)
    said = f"{begun[0].upper()}{begun[1:]}; {words}; {span(plan.hands_on)} of work."
    return " ".join(filter(None, (said, too_long(plan, len(shop.projects)), how_near(plan))))


def _moment(plan: DayPlan) -> str:
    local = plan.now.astimezone()
    return f"printed {local.day} {local:%b} {local.year} {local:%H:%M}"


def _row(line: PlanLine, plan: DayPlan, names: dict[str, str], size: float) -> str:
    piece = line.piece
    wide = _LARGEST / size
    what = piece.words
    if piece.of and piece.words != piece.name:
        first, last = piece.steps
        count = f"{first}" if first == last else f"{first}-{last}"
        what = f"{piece.words} ({count} of {piece.of}: {piece.name})"
    if line.change:
        what = f"{span(line.change)} change-over, then {what}"
    over = clock(line.over, plan.now) if line.over is not None else ""
    texts = (
        clock(line.begins, plan.now),
        cut(names[piece.machine], int(19 * wide)),
        cut(what, int(49 * wide)),
        f"{max(1, round(piece.minutes))}",
        over,
    )
    return f"<tr><td>&#9633;</td>{''.join(f'<td>{escape(text)}</td>' for text in texts)}</tr>"


def _style(size: float) -> str:
    return f"""
@page {{ size: portrait; margin: {MARGIN_MM:g}mm; }}
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; max-width: {PAGE_MM[0]:g}mm; color: #000; background: #fff;
  font: 8.5pt/1.25 Helvetica, Arial, sans-serif; }}
h1 {{ font-size: 15pt; line-height: 1.2; margin: 0; }}
p {{ margin: 1mm 0; }}
ul {{ margin: 1mm 0; padding-left: 5mm; }}
table {{ width: 100%; border-collapse: collapse; table-layout: fixed; margin: 2mm 0; }}
th, td {{ border-bottom: 0.2mm solid #000; padding: 0.2mm 0.8mm; text-align: left;
  white-space: nowrap; overflow: hidden; font-size: {size:.2f}pt; line-height: {_LINE}; }}
thead th {{ border-bottom-width: 0.6mm; }}
"""
