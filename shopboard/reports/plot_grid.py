"""The inside of a plot: cells of signs between an axis of values and an axis of time. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopboard.base.painted import Line, Painted
from shopboard.metrology.kind import KINDS, YES_NO_WORDS
from shopboard.metrology.units import UNITS
from shopboard.reports import plot_marks as marks
from shopboard.reports.plot_scene import Dot, Jump, Scene
from shopboard.reports.time_axis import TimeAxis, time_axis
from shopboard.reports.value_axis import ValueAxis, short_number, value_axis

LEAST_SPAN = {row.sign: row.span for row in UNITS.values()} | {"": 1.0}
"""Narrowest span of each unit that is drawn."""

_GUTTER = 8
"""Fewest columns for the numbers at the left: the longest word that stands there."""

_WORST_FIRST = ("out", "near", "true")


class Grid:
    """A scene drawn into cells: rows of signs, an axis, dates, and what was done below them."""

    def __init__(self, scene: Scene, unit: str, width: int, rows: int) -> None:
        """Draw.

        Args:
            scene: what is shown.
            unit: symbol of the unit of its values.
            width: columns, the numbers at the left among them.
            rows: rows between the axes.
        """
        self._scene = scene
        self.values: ValueAxis = value_axis(*scene.ends, rows, LEAST_SPAN[unit])
        self._labels = self._row_labels()
        self._gutter = max([_GUTTER, *(len(text) + 1 for text, _ in self._labels.values())])
        self.times: TimeAxis = time_axis(scene.start, scene.end, width - self._gutter - 1)
        blank: Painted = (" ", "")
        self._cells: list[list[Painted]] = [[blank] * self.times.columns for _ in range(rows)]
        self._background()
        self._results()

    def signs(self, letters: Mapping[str, str]) -> set[str]:
        """Give every sign that is drawn between the axes and in the strips below."""
        found = {sign for row in self._cells for sign, _ in row}
        strips = (*self._set_signs().values(), *self._event_signs(letters).values())
        return found.union(sign for sign, _ in strips)

    def lines(self, letters: Mapping[str, str]) -> list[Line]:
        """Give the rows, the axis, the dates and what was done; letters name the happenings."""
        rows: list[Line] = []
        for row, signs in enumerate(self._cells):
            text, style = self._labels.get(row, ("", ""))
            edge = "┤" if text else "│"
            rows.append(((f"{text:>{self._gutter}}", style), (edge, "dim"), *signs))
        rows += self._dates()
        if self._scene.jumps:
            rows.append(self._strip("set", self._set_signs()))
        if self._scene.events:
            rows.append(self._strip("happened", self._event_signs(letters)))
        return rows

    def _row_labels(self) -> dict[int, Painted]:
        """Give what stands left of each row: round numbers, and the limits in their stead."""
        axis, scene = self.values, self._scene
        if scene.kind in YES_NO_WORDS:
            yes, no = YES_NO_WORDS[scene.kind]
            said = {axis.row(1.0): (no, "bold")} if no != yes else {}
            return {**said, axis.row(0.0): (yes, "bold")}
        signed = KINDS[scene.kind].departs and not scene.one_sided
        found = {row: (axis.label(row, signed=signed), "dim") for row in range(axis.rows)}
        for limit in scene.drawn_limits:
            row = axis.row(limit)
            for near in (row - 1, row + 1):  # a round number there would only be in the way
                if found.get(near, ("", ""))[0] != "0":
                    found[near] = ("", "")
            found[row] = (short_number(limit, signed=signed), "bold")
        found = {row: piece for row, piece in found.items() if piece[0]}
        if len(found) < 2:  # so low a picture that no two round numbers fall into it
            for row in (0, axis.rows - 1):
                found.setdefault(row, (short_number(axis.middle(row), signed=signed), ""))
        return found

    def _background(self) -> None:
        """Shade what is outside the tolerance, draw its limits, 0, and happenings that undo."""
        axis, scene = self.values, self._scene
        for row in range(axis.rows):
            sign, style = " ", ""
            if row in map(axis.row, scene.drawn_limits):
                sign, style = marks.LIMIT, "bold"
            elif scene.is_outside(axis.middle(row)):
                sign, style = marks.OUTSIDE, "dim"
            self._cells[row] = [(sign, style)] * self.times.columns
            if sign == " " and axis.middle(row) == 0 and scene.kind not in YES_NO_WORDS:
                self._cells[row][::4] = [(marks.ZERO, "dim")] * len(self._cells[row][::4])
        for when, event in scene.events:
            column = self.times.column(when)
            for cells in self._cells if event.undoes else ():
                if cells[column][0] in (" ", marks.ZERO):
                    cells[column] = (marks.EVENT, "due")

    def _draw(self, column: int, one: float, other: float, piece: Painted) -> None:
        """Draw a sign into a column from value to value, as far as it is in the picture."""
        top, bottom = sorted((self.values.row(one), self.values.row(other)))
        for row in range(max(top, 0), min(bottom, self.values.rows - 1) + 1):
            self._cells[row][column] = piece

    def _results(self) -> None:
        by_column: dict[int, list[Dot]] = {}
        for dot in self._scene.dots:
            by_column.setdefault(self.times.column(dot.when), []).append(dot)
        for dot in self._scene.voids:
            self._draw(self.times.column(dot.when), dot.value, dot.value, (marks.VOID, "dim"))
        for column, dots in by_column.items():
            self._draw(column, max(d.high for d in dots), min(d.low for d in dots), (marks.BAR, ""))
            if len(dots) > 1:
                values = [dot.value for dot in dots]
                self._draw(column, max(values), min(values), (marks.RANGE, ""))
        for jump in self._scene.jumps:
            if jump.found is not None and jump.left is not None:
                column = self.times.column(jump.when)
                self._draw(column, jump.found, jump.left, (marks.SET, "bold"))
        for column, dots in by_column.items():
            self._verdicts(column, dots)

    def _verdicts(self, column: int, dots: list[Dot]) -> None:
        """Draw the lowest and the highest result of a column, the worse one where they share."""
        for end in (max(dots, key=lambda d: d.value), min(dots, key=lambda d: d.value)):
            row = self.values.row(end.value)
            verdict = _worst(d for d in dots if self.values.row(d.value) == row)
            mark = marks.VERDICT_MARKS.get(verdict)
            piece = (mark, verdict) if mark else (marks.UNREADABLE, "")
            self._draw(column, end.value, end.value, piece)

    def _dates(self) -> list[Line]:
        axis, words = ["─"] * self.times.columns, [" "] * self.times.columns
        free = 0
        for tick in self.times.ticks():
            axis[tick.column] = "┬"
            end = tick.column + len(tick.label)
            if tick.column >= free and end <= len(words):
                words[tick.column : end] = tick.label
                free = end + 1
        left = " " * self._gutter
        return [((f"{left}└{''.join(axis)}", "dim"),), ((f"{left} {''.join(words)}", ""),)]

    def _strip(self, name: str, signs: Mapping[int, Painted]) -> Line:
        """Write signs at their columns below the dates."""
        cells: list[Painted] = [(" ", "")] * self.times.columns
        for column, piece in signs.items():
            cells[column] = piece
        return ((f"{name:>{self._gutter}} ", "dim"), *cells)

    def _set_signs(self) -> dict[int, Painted]:
        """Say for each column which way the point was set: ``^``, ``v``, ``*`` for both."""
        return _gathered(
            (self.times.column(one.when), (_way(one), "bold")) for one in self._scene.jumps
        )

    def _event_signs(self, letters: Mapping[str, str]) -> dict[int, Painted]:
        return _gathered(
            (
                self.times.column(when),
                (letters.get(event.what, marks.SEVERAL), "due" if event.undoes else ""),
            )
            for when, event in self._scene.events
        )


def _worst(dots: Iterable[Dot]) -> str:
    """Give the worst verdict; one that this program does not know counts as the worst."""
    found = {dot.record.verdict for dot in dots}
    unknown = found.difference(_WORST_FIRST)
    return min(unknown) if unknown else next(one for one in _WORST_FIRST if one in found)


def _way(jump: Jump) -> str:
    """Say which way a point went when it was set: up, down, nowhere, or not measured since."""
    if jump.found is None or jump.left is None:
        return marks.UNMEASURED
    return "^" if jump.left > jump.found else "v" if jump.left < jump.found else "="


def _gathered(signs: Iterable[tuple[int, Painted]]) -> dict[int, Painted]:
    """Put signs into their columns; different ones in one column become a star."""
    found: dict[int, Painted] = {}
    for column, piece in signs:
        before = found.get(column, piece)
        found[column] = piece if before[0] == piece[0] else (marks.SEVERAL, piece[1] or before[1])
    return found
