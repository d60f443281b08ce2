"""Checks to fill in by pencil as one HTML page, black on white; nothing is cut.

Nothing is loaded from elsewhere and nothing runs. Every text is escaped.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from html import escape

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.reports.blank_check import BlankCheck, BlankStep
from shopboard.reports.fitting import PageTable
from shopboard.reports.paper import Paper

NOT_ABOUT_SAFETY = (
    "This sheet speaks of accuracy, never of safety: the maker's manual, local codes and licensed"
    " practice come first. It is no record: type the readings in when the computer is back."
)

BOX = "□"
"""To tick."""


class BlankSheet(NamedTuple):
    """Everything that is printed."""

    shop: str
    machine: str
    printed: datetime
    checks: tuple[BlankCheck, ...]
    out_of_use: str = ""
    """Why the machine is tagged out of use; empty while it is not."""


_SIZES = (9.5, 9.0, 8.5, 8.0, 7.5)
"""Of the letters, pt: the largest at which a check alone fits its page; of more checks 8.5."""

_STYLE = """
* { box-sizing: border-box; }
body { margin: 0 auto; color: #000; background: #fff; font-family: Helvetica, Arial, sans-serif;
  line-height: 1.25; }
h1 { font-size: 14pt; line-height: 1.2; margin: 0; }
h2 { font-size: 11pt; line-height: 1.2; margin: 3mm 0 1mm; border-top: 0.6mm solid #000;
  padding-top: 1mm; break-after: avoid; }
p { margin: 0.7mm 0; }
.tag { border: 0.7mm solid #000; padding: 1mm 2mm; font-size: 12pt; font-weight: bold; }
.caution { border: 0.5mm solid #000; padding: 0.7mm 1.5mm; }
table { width: 100%; border-collapse: collapse; margin: 1mm 0; }
tr { break-inside: avoid; }
td, th { border-bottom: 0.2mm solid #000; padding: 0.6mm 1mm; text-align: left;
  vertical-align: top; overflow-wrap: anywhere; }
td:first-child { width: 6mm; }
thead { display: table-header-group; }
td + td + td, th + th + th { width: 33mm; border-left: 0.2mm solid #000; }
.line { display: inline-block; border-bottom: 0.2mm solid #000; width: 17mm; height: 4.5mm; }
.long { width: 60mm; }
"""


def blank_html(sheet: BlankSheet, paper: Paper) -> str:
    """Write the page; valid HTML, UTF-8."""
    title = f"To fill in: {sheet.machine}"
    body = "\n".join(_check(one) for one in sheet.checks)
    tag = f'<p class="tag">DO NOT USE: {_text(sheet.out_of_use)}</p>' if sheet.out_of_use else ""
    width, height = paper.room()
    fit = [one for one in _SIZES if _height(sheet.checks, width, one) <= height]
    size = 8.5 if len(sheet.checks) > 1 else (*fit, _SIZES[-1])[0]
    body = body or "<p>No points to check.</p>"
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{_text(title)}</title>
<style>
{paper.page_css()}{_STYLE}body {{ max-width: {width:g}mm; font-size: {size:g}pt; }}
</style>
</head>
<body>
<h1>{_text(title)}</h1>
<p>{_text(sheet.shop)}, printed {day(sheet.printed)}. Checked by {_line(long=True)}
on {_line()}</p>
{tag}
{body}
<p>{_text(NOT_ABOUT_SAFETY)}</p>
</body>
</html>
"""


def _height(checks: Sequence[BlankCheck], width: float, points: float) -> float:
    """Give how high the page is, mm, with letters wider than usual."""
    words = PageTable(width, [100], beside=3.0, above=1.0, line=1.25)
    table = PageTable(width, [100], beside=6 + 2 * 33 + 2.0, above=1.4, line=1.25)
    total = 2 * 10.0 + words.height([[[NOT_ABOUT_SAFETY]]], points)
    for one in checks:
        total += 30.0  # headings, the lines for the result
        total += words.height([[[line]] for line in (*one.sums, *one.turning)], points)
        for step in (*one.steps, *one.correction, *one.close):
            text = " ".join((step.title, *step.lines, choices(step)))
            beside = words if step.is_caution or step not in one.steps else table
            total += max(beside.height([[[text]]], points), 5.5 * len(step.blanks) + 1.4)
    return total


def _check(one: BlankCheck) -> str:
    """Write a point: cautions first, then steps, sums, what to turn, and the end."""
    tools = f" Takes: {one.tools}." if one.tools else ""
    head = (
        f"<h2>{_text(one.name)} ({_text(one.full_name)})</h2>\n"
        f"<p>{_text(one.method)}. Tolerance: <b>{_text(one.tolerance)}</b>.{_text(tools)}</p>"
    )
    if one.cannot:
        return f"{head}\n<p>{_text(one.cannot)}</p>"
    cautions = [step for step in one.steps if step.is_caution]
    others = [step for step in one.steps if not step.is_caution]
    parts = [
        head,
        *(_caution(step) for step in cautions),
        _table(others),
        *_paragraphs(one.sums),
    ]
    if one.has_result:
        parts.append(f"<p>Error as found {_line()} &nbsp; as left {_line()}</p>")
    if one.correction or one.turning:
        parts.append("<p><b>If it is out:</b></p>")
        parts += [_caution(step) for step in one.correction if step.is_caution]
        parts += _paragraphs(one.turning)
        parts += [_plain(step) for step in one.correction if not step.is_caution]
        parts.append("<p>Then read again: the column as left.</p>")
    parts += [_plain(step) for step in one.close]
    return "\n".join(parts)


def _table(steps: Sequence[BlankStep]) -> str:
    rows = "\n".join(_row(number, step) for number, step in enumerate(steps, 1))
    heads = "<tr><th></th><th>Do</th><th>As found</th><th>As left</th></tr>"
    return f"<table>\n<thead>\n{heads}\n</thead>\n<tbody>\n{rows}\n</tbody>\n</table>"


def _row(number: int, step: BlankStep) -> str:
    """Write a step; what is ticked on the board by a digit is written down as that digit."""
    lead = "If it applies: " if step.if_asked else ""
    words = f"<b>{_text(lead + step.title)}</b> {_text(' '.join((*step.lines, choices(step))))}"
    blanks = step.blanks or ((("", ""),) if step.ticks else ())
    lines = (f"{_text(before)} {_line()} {_text(unit)}".strip() for before, unit in blanks)
    boxes = "<br>".join(lines) or BOX
    return f"<tr><td>{number}</td><td>{words}</td><td>{boxes}</td><td>{boxes}</td></tr>"


def choices(step: BlankStep) -> str:
    """Number the answers of a step as the board does: ``1 light at the top; 2 none``."""
    return "; ".join(f"{number} {one}" for number, one in enumerate(step.ticks, 1))


def _caution(step: BlankStep) -> str:
    ticks = "".join(f" {BOX} {_text(one)}" for one in step.ticks)
    words = f"<b>{_text(step.title)}</b> {_text(' '.join(step.lines))}{ticks}"
    return f'<p class="caution">{words}</p>'


def _plain(step: BlankStep) -> str:
    return f"<p>{BOX} <b>{_text(step.title)}</b> {_text(' '.join(step.lines))}</p>"


def _paragraphs(lines: Iterable[str]) -> list[str]:
    return [f"<p>{_text(one)}</p>" for one in lines]


def _line(*, long: bool = False) -> str:
    return f'<span class="line{" long" if long else ""}"></span>'


def _text(text: str) -> str:
    return escape(harmless(text))
