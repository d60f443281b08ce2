"""How a cutter stands and what it costs, in words and marks. Pure."""

from __future__ import annotations

from shopboard.base.text import counted, harmless
from shopboard.journal.kinds.cutters import UNITS, UseUnit
from shopboard.metrology.units import MM_PER_FOOT
from shopboard.shop.machine import Sharpness
from shopboard.upkeep.cutters import CutterStanding

SHARP_MARKS: dict[Sharpness, str] = {"sharp": "^", "dirty": "▒", "dull": "▬", "worn out": "x"}
"""One character for lists."""


def amount_words(amount: float, unit: UseUnit, *, feet: bool) -> str:
    """Write an amount of use: ``22 h``, ``400 cuts``, ``2,000 ft``, ``3 projects``."""
    of, word = _told_in(unit, feet=feet)
    if unit in ("minutes", "mm"):
        return f"{_short(amount / of)} {word}"
    return f"{amount:,.0f} {word[:-1] if round(amount) == 1 else word}"


def _told_in(unit: UseUnit, *, feet: bool) -> tuple[float, str]:
    """Give the unit in which an amount of use is told, and how much of it that is."""
    length = (MM_PER_FOOT, "ft") if feet else (1000.0, "m")
    return {"minutes": (60.0, "h"), "mm": length}.get(unit, (1.0, unit))


MOST_MONTHS = 24
"""Months over which a rate is told at the most."""
SHOWN_WITHIN = 0.05
"""Share of itself within which a rate is told: dates beside it follow from the exact one."""


def rate_words(a_month: float, unit: UseUnit, *, feet: bool) -> str:
    """Write a rate of use by the fewest months that tell it closely: ``11 h a month``.

    Two projects in three months are not ``1 project a month``, but ``2 projects in 3 months``.
    """
    of, _ = _told_in(unit, feet=feet)

    def off(months: int) -> float:
        words = amount_words(a_month * months, unit, feet=feet)
        return abs(float(words.split()[0].replace(",", "")) * of / (a_month * months) - 1)

    if a_month <= 0:
        return f"{amount_words(0, unit, feet=feet)} a month"
    every = range(1, MOST_MONTHS + 1)
    months = next((one for one in every if off(one) <= SHOWN_WITHIN), min(every, key=off))
    amount = amount_words(a_month * months, unit, feet=feet)
    return f"{amount} a month" if months == 1 else f"{amount} in {months} months"


def _short(number: float) -> str:
    """Write a number with one decimal while it is small and has one."""
    return f"{number:.1f}" if number < 9.95 and round(number, 1) % 1 else f"{number:,.0f}"


def due_off_mark(one: CutterStanding) -> str:
    """Give the mark of one that should not be on the machine as it is."""
    return SHARP_MARKS["dull" if one.blunt else one.state]


def use_words(one: CutterStanding) -> str:
    """Say how much it was used since it was sharp, and of how much: ``22 h of 20 h``.

    Where none of that was recorded but something else was, that is said, too:
    ``0 h of 20 h, 3 projects``.
    """
    life = one.life
    if life is not None:
        used = amount_words(one.use.of(life.unit), life.unit, feet=one.feet)
        if life.unit in ("cuts", "projects"):
            used = used.partition(" ")[0]  # once said is enough: 3 of 400 cuts
        words = f"{used} of {amount_words(life.amount, life.unit, feet=one.feet)}"
        besides = "" if one.use.of(life.unit) else _first_use(one)
        return f"{words}, {besides}" if besides else words
    return _first_use(one)


def _first_use(one: CutterStanding) -> str:
    """Say how much it was used by the first measure in which anything was recorded."""
    unit = next((unit for unit in UNITS if one.use.of(unit)), None)
    return amount_words(one.use.of(unit), unit, feet=one.feet) if unit else ""


def edge_words(one: CutterStanding) -> str:
    """Say which edge is in use, where there is more than one."""
    return f"edge {one.edge} of {one.cutter.edges}" if one.cutter.edges > 1 else ""


def blunt_word(one: CutterStanding) -> str:
    """Say in short that a cutter on the machine is dull, or ask it: ``dull``, ``still sharp?``."""
    if not (one.doubted or one.unsure):
        return one.state
    if one.doubted and one.state == "dirty":
        return "dirty, still sharp?"
    return "still sharp?" if one.state == "sharp" else f"{one.state}?"


def blunt_words(one: CutterStanding) -> str:
    """Say it in full: ``Rip blade: still sharp? past its rated life (22 h of 20 h)``."""
    used = f" ({use_words(one)})" if any(one.use) else ""  # none at all: it was not recorded
    return f"{one.cutter.name}: {sharp_words(one)}{used}"


def if_dull(one: CutterStanding, to_do: str) -> str:
    """Say what is to be done with it; past its rated life only where it is found dull."""
    name = one.cutter.name
    return (
        f"{name}: {sharp_words(one)}; if it is dull, {to_do}" if one.doubted else f"{name}: {to_do}"
    )


def state_words(one: CutterStanding) -> str:
    """Say how sharp it is, where, how much used: ``sharp, on the shelf, 3 h of 20 h``."""
    unsure = f"not sure: {one.unsure}" if one.unsure else ""
    words = (sharp_words(one), edge_words(one), one.where, use_words(one), unsure)
    return ", ".join(word for word in words if word)


def sharp_words(one: CutterStanding) -> str:
    """Say how sharp it is, with doubt where it is past its rated life."""
    return f"{blunt_word(one)} past its rated life" if one.doubted else one.state


def serves_words(one: CutterStanding) -> str:
    """Name the modes of a combination machine that it cuts in; empty where one alone."""
    return f"cuts in {', '.join(map(harmless, one.modes))}" if one.modes else ""


def left_words(one: CutterStanding) -> str:
    """Say how often it can still be sharpened; empty when that is not known."""
    left = one.sharpenings
    if left is None:
        return ""
    if left == 0:
        return "cannot be sharpened again"
    return f"{counted(left, 'sharpening')} left"


def cost_per(one: CutterStanding) -> tuple[float, str] | None:
    """Give what cutting costs in sharpening, and per what; None when cost or life is not known.

    One sharpening, or one new set that is thrown away afterwards, makes every edge sharp once:
    cost / (edges x life).
    """
    life = one.life
    if life is None or one.cost is None:
        return None
    per, word = _per(life.unit, feet=one.feet)
    return one.cost * per / (one.cutter.edges * life.amount), word


def _per(unit: UseUnit, *, feet: bool) -> tuple[float, str]:
    if unit == "minutes":
        return 60.0, "hour of cutting"
    if unit == "mm":
        return (100 * MM_PER_FOOT, "100 ft") if feet else (100_000.0, "100 m")
    return (100.0, "100 cuts") if unit == "cuts" else (1.0, "project")


def cost_words(one: CutterStanding) -> str:
    """Say what sharpness costs: ``18.50 euros a sharpening, 0.93 euros per hour of cutting``."""
    if one.cost is None:
        return ""
    each = "a new one" if one.cutter.sharpenings == 0 else "a sharpening"
    per = cost_per(one)
    unit = one.cutter.money
    cutting = f", {money(per[0], unit)} per {per[1]}" if per else ""
    return f"{money(one.cost, unit)} {each}{cutting}"


def money(amount: float, unit: str) -> str:
    """Write an amount of the shop's money: ``18.50 dollars``; where it has no name, ``18.50``."""
    digits = f"{amount:.2g}" if amount and amount < 0.1 else f"{amount:,.2f}"
    return f"{digits} {unit}".rstrip()


def life_words(one: CutterStanding) -> str:
    """Say how long an edge stays sharp, and how that is known."""
    life = one.life
    if life is None:
        return ""
    amount = amount_words(life.amount, life.unit, feet=one.feet)
    how = f"learnt, dull {life.times} times" if life.times else "from the shop file"
    return f"stays sharp {amount} ({how})"
