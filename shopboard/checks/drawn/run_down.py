"""How something runs down after the switch is off, and when the watch is started and stopped."""

from __future__ import annotations

from shopboard.checks.drawn.canvas import (
    COLUMNS,
    FOUND,
    AtStep,
    Lines,
    Sketch,
    here,
    lying,
    short,
)


def run_down(face: str, limit: float, seen: AtStep, size: int = 1) -> Lines:
    """Draw the speed over time: full, then less and less until it stands still.

    Args:
        face: what runs down.
        limit: longest time that is allowed, s; it is drawn once the time is known.
        seen: what is asked; `values` holds the time, s.
        size: 1, or 2 for twice as large.
    """
    high, off, longest = 4 * size, 10 * size, 18 * size
    on = Sketch(COLUMNS * size, high + 4)
    took = seen.values.get("time", 0.0) if seen.at == FOUND else 0.0
    cells = longest / max(took, limit) if took else 0.0
    falls = max(round(took * cells), 1) if took else longest
    lying(on, 0, high - 1, [2 * high] * off)
    lying(on, off, high - 1, [round(2 * high * (1 - at / falls)) for at in range(1, falls + 1)])
    on.put(0, high, "═" * on.columns)
    on.put(1, 0, " full " if size == 1 else " full speed ")
    if took:
        at, told = off + round(limit * cells), f" limit {limit:g} s"
        for row in range(high):
            on.put(at, row, "│")
        on.put(at + 1 if at + len(told) < on.columns else at - len(told), 0, told)
    stop = off + falls
    on.put(off, high + 1, here(seen.at in ("off", "time", FOUND)))
    on.put(stop, high + 1, here(seen.at in ("time", FOUND)))
    if seen.at == "run":
        on.put(off // 2, high + 1, here(now=True))
    stops = f"{short(face, on.columns - off - 9)} stops"
    for row, (start, end) in enumerate((("switch off", stops), ("start watch", "stop watch")), 2):
        on.put(off + 1 - len(start), high + row, start)
        on.put(min(stop, on.columns - len(end)), high + row, end)
    return on.lines("speed over time")
