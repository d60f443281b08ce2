"""The list of a prep day: what is planned, what does not fit, what stays open. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import with_a
from shopboard.board.hits import of_nines
from shopboard.board.nines import NINE, digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import WHOLE, clip, fit, said, wrap
from shopboard.board.paint import Line as Row
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import NOT_ABOUT_SAFETY, clock, how_near, open_words, span
from shopboard.prep.stays_open import StaysOpen
from shopboard.standing.waits import Wait


class ListPage(NamedTuple):
    """What the list shows where + led on to it."""

    first: int = -1
    """Number of the first piece; below 0: those around the cursor."""
    notes: bool = False
    """Whether what is said of the plan stands in the place of its pieces."""


class Shown(NamedTuple):
    """What the screen is drawn from."""

    plan: DayPlan
    machines: Mapping[str, str]
    """Names, by id."""
    waits: Sequence[Wait] = ()
    cursor: int = 0
    """Number of a piece, from 0."""
    projects: int = 0
    """How many projects there are to choose from, for a day that is not begun."""
    allow_open: bool = False
    cost: str = ""
    """What a day that is done took and found; empty: nothing is said of it."""
    page: ListPage = ListPage()

    @property
    def how_many(self) -> int:
        """How many lines there are to go to."""
        return len(self.plan.lines) + len(self.plan.left) + len(self.plan.stays_open)


def chosen_words(shown: Shown, width: int) -> list[Row]:
    """Say in full what is not planned, where the cursor is on it, and what that puts at risk.

    Of what stays open it is what would settle it.
    """
    plan = shown.plan
    at = shown.cursor - len(plan.lines)
    if 0 <= at < len(plan.left):
        one = plan.left[at]
        where = f"{shown.machines[one.piece.machine]}: {one.piece.words}"
        minutes = span(one.piece.minutes)
        return _told("LEFT OUT", where, f"{minutes}; {one.risk}" if one.risk else minutes, width)
    at -= len(plan.left)
    if 0 <= at < len(plan.stays_open):
        opens = plan.stays_open[at]
        return _told("OPEN", f"{opens.what}: {opens.why}", opens.to_settle, width)
    return []


def _told(label: str, what: str, more: str, width: int) -> list[Row]:
    """Tell of one line over several."""
    rows: list[Row] = [()]
    lead = len(label) + 3
    for number, words in enumerate(wrap(said(what), width - lead - 2, 2)):
        rows.append(((f"  {label} " if not number else " " * lead, "key"), (words, "bold")))
    told = wrap(said(more), width - lead - 2, 3)
    return [*rows, *(((f"{' ' * lead}{words}", ""),) for words in told)]


def _stretch(shown: Shown, room: int) -> range:
    """Give the numbers of the pieces that have room."""
    seen, count, cursor = max(1, room - 2), shown.how_many, shown.cursor
    first = max(0, min(first_of_nine(cursor), count - seen), cursor + 1 - seen)
    if 0 <= shown.page.first <= cursor:
        first = max(shown.page.first, cursor + 1 - seen)
    return range(first, min(count, first + seen))


def _notes(shown: Shown, width: int) -> list[Row]:
    """Say what is true of the plan as a whole."""
    told = (how_near(shown.plan), *shown.plan.left_out, NOT_ABOUT_SAFETY)
    wrapped = (one for note in told if note for one in wrap(said(note), width - 4))
    return [((f"  {note}", "dim"),) for note in wrapped]


def next_page(shown: Shown, width: int, room: int) -> tuple[int, ListPage]:
    """Give what + leads on to: the cursor, and what the list shows then.

    First the further pieces, nine at the most with digits, then what is said of the plan where that
    had no room, then the beginning.
    """
    there = _stretch(shown, room)
    further = min(there.stop, first_of_nine(shown.cursor) + NINE)
    if shown.page.notes:
        return 0, ListPage()
    if further < shown.how_many:
        return further, ListPage(further)
    if not _has_notes(shown, width, room, there):
        return shown.cursor, ListPage(there.start, notes=True)
    return 0, ListPage()


def is_all_seen(shown: Shown, width: int, room: int) -> bool:
    """Tell whether the list shows all there is, each line with a digit."""
    there = _stretch(shown, room)
    whole = len(there) == shown.how_many <= NINE
    return whole and not shown.page.notes and _has_notes(shown, width, room, there)


def _has_notes(shown: Shown, width: int, room: int, there: range) -> bool:
    """Tell whether what is said of the plan has room below its pieces."""
    return room - 2 - len(there) > len(_notes(shown, width))


def day_list(shown: Shown, width: int, room: int) -> list[Row]:
    """List the pieces with their times, then what stays open: those around the cursor."""
    plan, cursor, count, there = shown.plan, shown.cursor, shown.how_many, _stretch(shown, room)
    pieces = (*(line.piece for line in plan.lines), *(one.piece for one in plan.left))
    machines = [shown.machines[one.machine] for one in pieces]
    machines += [one.where for one in plan.stays_open]
    names = [clip(said(name), max(18, width // 5)) for name in machines]
    names = [f"{name}:" for name in names] if width >= WHOLE else names
    where = max(map(cell_len, names), default=0) + 2
    times = [clock(line.begins, plan.now) for line in plan.lines] + ["left"] * len(plan.left)
    times += ["open"] * len(plan.stays_open)
    when = max(map(cell_len, times), default=0) + 2
    if shown.page.notes:
        there = range(count, count)
    rows: list[Row] = [(), ((clip(_rule(plan, there.start, count - there.stop), width), "dim"),)]
    widths = [4, when, where, width - 4 - when - where]
    for number in there:
        short = _short(plan, number, widths[3] - 1)
        columns = (f"{times[number]:>{when - 2}}", names[number], short)
        rows.append(of_nines(_piece_row(number, cursor, columns, widths), number, cursor))
    if shown.page.notes or _has_notes(shown, width, room, there):
        rows += [(), *_notes(shown, width)]
    return rows[:room]


def _rule(plan: DayPlan, above: int, below: int) -> str:
    """Head the list: how much there is to do, how much stays open, how much is out of sight."""
    work = "" if plan.is_done else f"{plan.jobs} to do, {span(plan.hands_on)} of work"
    stays = "" if plan.is_done else open_words(len(plan.stays_open)).rstrip(".")
    return f"  {'   '.join(filter(None, (work, stays, out_of_sight(above, below))))}"


def _short(plan: DayPlan, number: int, room: int) -> str:
    """Write a line of the list in its room."""
    if number < len(plan.lines):
        return _short_line(plan.lines[number], room)
    number -= len(plan.lines)
    if number < len(plan.left):
        return _short_left(plan.left[number], room)
    return _short_open(plan.stays_open[number - len(plan.left)], room)


def _short_open(one: StaysOpen, room: int) -> str:
    """Write what stays open on one line: its name, then how it stands."""
    return clip(said(": ".join(filter(None, (one.name, one.why)))), room)


def _piece_row(number: int, cursor: int, told: Sequence[str], widths: Sequence[int]) -> Row:
    """Write the row of one piece: its digit, when, where, what."""
    here = "bar" if number == cursor else ""
    at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
    styles = (here or ("key" if at.strip() else ""), here, here, here)
    return tuple(
        piece
        for words, style, cells in zip((at, *told), styles, widths, strict=True)
        for piece in fit(((words, style),), cells, here)
    )


def _short_left(one: LeftPiece, room: int) -> str:
    """Write what does not fit on one line, with its minutes and what is at risk."""
    words = f"{clip(said(one.piece.words), room // 2)}  {span(one.piece.minutes)}"
    risk = room - cell_len(words) - 2
    return f"{words}; {clip(said(one.risk), risk)}" if one.risk and risk > 4 else words


def _short_line(line: PlanLine, room: int) -> str:
    """Write a piece on one line, its minutes and its wait at the end.

    The minutes are those until the next: with the change of mode before it, told apart from the
    work where that has room.
    """
    piece = line.piece
    words = said(piece.words)
    named = f"{words} · {said(piece.name)}"
    for tail in _tails(line):
        if piece.is_part and cell_len(named) + cell_len(tail) <= room:
            return f"{named}{tail}"
        if cell_len(words) + cell_len(tail) <= room:
            break
    return f"{clip(words, room - cell_len(tail))}{tail}"


def _tails(line: PlanLine) -> Iterator[str]:
    """Give how long a piece takes and the wait after it, in full, then in fewer words."""
    change, idle, work = line.change, line.idle if line.change else 0.0, line.piece.minutes
    wait = f"{with_a(span(line.piece.wait))} wait" if line.piece.wait else ""
    then, short = (f", then {wait}", f", {wait}") if wait else ("", "")
    if change:
        meanwhile = f"{span(idle)} to wait, " if idle >= 1 else ""
        yield f"  {span(change)} to change over, {meanwhile}{span(work)}{then}"
    yield f"  {span(change + idle + work)}{then}"
    yield f"  {span(change + idle + work)}{short}"
