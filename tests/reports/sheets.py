"""The eye that reads an inspection sheet again: tables, texts, and how many lines it prints."""

from __future__ import annotations

import math
from html.parser import HTMLParser

from shopboard.reports.plot_marks import cells
from shopboard.reports.sheet_html import COLUMNS, LINE, PAGE_MM, POINTS

VOID_ELEMENTS = {"meta", "col", "br"}


class Page(HTMLParser):
    """A parsed sheet; refuses tags that do not close in order."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.rows: list[list[list[str]]] = []
        """Cells of each row of the body, line by line."""
        self.words: dict[str, list[str]] = {}
        """Texts by the element that they stand in."""
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag == "tr" and "tbody" in self.open:
            self.rows.append([])
        if tag in ("td", "th") and "tbody" in self.open:
            self.rows[-1].append([""])
        if tag == "br":
            self.rows[-1][-1].append("")
        if tag not in VOID_ELEMENTS:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "tbody" in self.open and {"td", "th"} & set(self.open):
            self.rows[-1][-1][-1] += data
        elif data.strip():
            self.words.setdefault(self.open[-1], []).append(" ".join(data.split()))


LETTER, BOLD = 0.52, 0.58
"""Width of a letter on average, in letter heights, plain and bold: measured on such texts in a
typeface that is wider than usual ones (DejaVu Sans)."""


def printed_lines(cell: list[str], share: float, *, bold: bool) -> int:
    """Count the lines that a cell takes, its words wrapped as a browser does."""
    letter = POINTS / 72 * 25.4 * (BOLD if bold else LETTER)
    room = (PAGE_MM[0] * share / 100 - 2.2) / letter
    total = 0
    for line in cell:
        used, lines = 0.0, 1
        for word in line.split():
            if used and used + 1 + len(word) > room:
                lines, used = lines + 1, 0.0
            used += len(word) + bool(used)
            lines, used = lines + int(used // room), used % room
        total += lines
    return total


def printed_height(page: Page, *, tag: bool) -> float:
    """Give the height of the sheet in mm: the table counted line by line, the rest as it is set."""
    line = POINTS / 72 * 25.4 * LINE
    rows = sum(
        line
        * max(
            printed_lines(cell, share, bold=number == 0)
            for number, (cell, (_, share)) in enumerate(zip(row, COLUMNS, strict=True))
        )
        + 1.2
        for row in page.rows
    )
    longest = len(max(page.words["p"], key=len))
    width = PAGE_MM[0] / (POINTS / 72 * 25.4 * LETTER)
    decided = [one for one in page.words["p"] if one.startswith("The owner")]
    to_write_on = 6 + 1.0  # a line drawn by hand stands on the line of print
    parts = {
        "heading": 15 / 72 * 25.4 * 1.2,
        "whose": to_write_on if page.tags.count("span") == 3 else line,
        "tag": 12 / 72 * 25.4 * LINE + 3.4 if tag else 0.0,
        "table": line + 1.6 + rows,
        "words": math.ceil(longest / width) * line,
        "decided": sum(math.ceil(cells(one) / width) * line + 1 for one in decided),
        "signature": to_write_on,
        "between": 8.0,
    }
    return sum(parts.values())
