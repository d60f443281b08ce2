"""The eye that reads an inspection sheet again: tables, texts, and how many lines it prints."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from shopboard.reports.paper import PaperName
from shopboard.reports.plot_marks import cells
from shopboard.reports.sheet_html import COLUMNS

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

PAPERS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""ISO 216; ANSI/ASME Y14.1."""

MARGIN = 10.0


def room_on(paper: PaperName, *, lying: bool) -> tuple[float, float]:
    """Give width and height inside the margins, mm."""
    across, down = PAPERS_MM[paper] if not lying else PAPERS_MM[paper][::-1]
    return across - 2 * MARGIN, down - 2 * MARGIN


def points_of(text: str) -> float:
    """Give the size of the letters of a table, pt."""
    found = re.search(r"th, td { font-size: ([\d.]+)pt; }", text)
    assert found
    return float(found[1])


def printed_lines(cell: list[str], room: float, points: float, *, bold: bool) -> int:
    """Count the lines that a cell takes, its words wrapped as a browser does."""
    letters = room / (points / 72 * 25.4 * (BOLD if bold else LETTER))
    total = 0
    for line in cell:
        used, lines = 0.0, 1
        for word in line.split():
            if used and used + 1 + cells(word) > letters:
                lines, used = lines + 1, 0.0
            used += cells(word) + bool(used)
            lines, used = lines + int(used // letters), used % letters
        total += lines
    return total


def rows_mm(text: str, width: float, beside: float, above: float, line: float) -> float:
    """Give the height of the rows of the table in mm, counted line by line."""
    page, points = Page(text), points_of(text)
    shares = [float(one) for one in re.findall(r'<col style="width: ([\d.]+)%">', text)]
    height = 0.0
    for row in page.rows:
        widths = shares if len(row) == len(shares) else [sum(shares)]
        lines = max(
            printed_lines(cell, width * share / 100 - beside, points, bold=number == 0)
            for number, (cell, share) in enumerate(zip(row, widths, strict=True))
        )
        height += lines * points / 72 * 25.4 * line + above
    return height


def printed_height(text: str, width: float) -> float:
    """Give the height of an inspection sheet in mm: the table counted, the rest as it is set."""
    page, points = Page(text), points_of(text)
    line = 7.5 / 72 * 25.4 * 1.25
    heads = [
        printed_lines([name], width * share / 100 - 2.2, points, bold=True)
        for name, share in COLUMNS
    ]
    to_write_on = 6 + 1.0  # a line drawn by hand stands on the line of print
    parts = {
        "heading": 15 / 72 * 25.4 * 1.2,
        "whose": to_write_on if page.tags.count("span") == 3 else line,
        "tag": 0.0,
        "heads": max(heads) * points / 72 * 25.4 * 1.25 + 1.6,
        "table": rows_mm(text, width, 2.2, 1.2, 1.25),
        "words": 0.0,
        "signature": to_write_on,
        "between": 8.0,
    }
    for words in page.words["p"]:
        if words.startswith("DO NOT USE"):
            lines = printed_lines([words], width - 5.4, 12, bold=True)
            parts["tag"] = lines * 12 / 72 * 25.4 * 1.25 + 3.4
        elif words.startswith(("The owner", "±")):
            parts["words"] += printed_lines([words], width, 7.5, bold=False) * line + 1
    return sum(parts.values())
