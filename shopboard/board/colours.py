"""The colours of the board: four themes, and what each style is in them. Pure.

Green is true, yellow is too close to call, purple is out, blue is something to be done; red is for
danger to a person and nothing else. The colours of `dark` and `light` are of those 256 that nearly
every terminal has, so that one with fewer than all shows the same. Nothing is told by colour alone.
"""

from __future__ import annotations

from functools import lru_cache

from rich.style import Style

from shopboard.base.light_tuple import NamedTuple

STATES = ("true", "near", "out", "due", "waits", "unproven", "noted", "kept")

_BOLD = {"true", "out", "due", "noted"}
"""States that are drawn heavy."""


class Palette(NamedTuple):
    """Colours of one theme."""

    paper: str
    """Stands behind everything."""
    ink: str
    dim: str
    strong: str
    true: str
    near: str
    out: str
    due: str
    danger: str
    """Behind every word of danger: filled, it is the strongest thing on the screen."""
    on_danger: str
    head: str
    """Behind the bar on top and the names of keys."""
    on_head: str
    cursor: str
    """Behind the line that is chosen."""
    on_fill: str
    """Ink on the cursor, and on a state's bar."""


PALETTES = {
    "dark": Palette(
        *("#000000", "#e4e4e4", "#9e9e9e", "#ffffff"),
        *("#00af5f", "#ffd75f", "#d75fff", "#5fd7ff", "#d70000", "#ffffff"),
        *("#444444", "#ffffff", "#e4e4e4", "#000000"),
    ),
    "light": Palette(
        *("#ffffff", "#000000", "#585858", "#000000"),
        *("#00875f", "#af5f00", "#870087", "#005fff", "#af0000", "#ffffff"),
        *("#d0d0d0", "#000000", "#000000", "#ffffff"),
    ),
    "16": Palette(
        *("color(0)", "color(15)", "color(7)", "color(15)"),
        *("color(10)", "color(11)", "color(13)", "color(14)", "color(1)", "color(15)"),
        *("color(4)", "color(15)", "color(7)", "color(0)"),
    ),
}

WITHOUT = {
    "": Style(),
    "dim": Style(),
    "bold": Style(bold=True),
    "top": Style(reverse=True),
    "bar": Style(reverse=True, bold=True),
    "key": Style(reverse=True),
    "true": Style(),
    "near": Style(underline=True),
    "out": Style(bold=True, underline=True),
    "due": Style(bold=True),
    **dict.fromkeys(("waits", "unproven", "noted", "kept"), Style()),
    **{f"{state} bar": Style(reverse=True) for state in STATES},
    **dict.fromkeys(("danger", "danger bar"), Style(bold=True, reverse=True, underline=True)),
    "struck": Style(strike=True),
}
"""Weights and marks alone: no colour is sent, and no grey."""

THEMES = (*PALETTES, "none")


@lru_cache
def styles_of(theme: str) -> dict[str, Style]:
    """Give what each style is in a theme."""
    if theme not in PALETTES:
        return WITHOUT
    p = PALETTES[theme]
    inks = {
        "true": p.true,
        "near": p.near,
        "out": p.out,
        "due": p.due,
        "waits": p.due,
        "unproven": p.due,
        "noted": p.strong,
        "kept": p.ink,
    }
    return {
        "": Style(color=p.ink, bgcolor=p.paper),
        "dim": Style(color=p.dim, bgcolor=p.paper),
        "bold": Style(color=p.strong, bgcolor=p.paper, bold=True),
        "top": Style(color=p.on_head, bgcolor=p.head, bold=True),
        "bar": Style(color=p.on_fill, bgcolor=p.cursor, bold=True),
        "key": Style(color=p.on_head, bgcolor=p.head, bold=True),
        **{one: Style(color=ink, bgcolor=p.paper, bold=one in _BOLD) for one, ink in inks.items()},
        **{
            f"{one} bar": Style(color=p.on_fill, bgcolor=ink, bold=True)
            for one, ink in inks.items()
        },
        **dict.fromkeys(
            ("danger", "danger bar"), Style(color=p.on_danger, bgcolor=p.danger, bold=True)
        ),
        "struck": Style(color=p.dim, bgcolor=p.paper, strike=True),
    }


def told_by(variables: dict[str, str], colours: str | None) -> str:
    """Tell the theme by what a terminal says before it is asked.

    Args:
        variables: the environment: NO_COLOR (https://no-color.org: set, and not empty) and
            COLORFGBG, in which some terminals name ink and paper among the sixteen.
        colours: how many it has, as Rich made it out by TERM and COLORTERM; None: it has none.
            It takes a VT100 and its kin for one of sixteen, which have none.
    """
    without = colours is None or variables.get("TERM", "").startswith("vt")
    if variables.get("NO_COLOR") or without:
        return "none"
    if colours not in ("256", "truecolor"):
        return "16"
    paper = variables.get("COLORFGBG", "").rpartition(";")[2]
    return "light" if paper in _LIGHT_PAPERS else "dark"


_LIGHT_PAPERS = ("7", *map(str, range(9, 16)))
"""Of the sixteen colours; 8 is a dark grey."""
