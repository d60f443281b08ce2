"""The colours that are sent: read on every console, told apart by every eye, red for danger alone.

Contrast is that of WCAG 2.2 (1.4.3: 4.5:1 for text, 1.4.11: 3:1 for what is drawn large), luminance
that of sRGB (IEC 61966-2-1). What a person sees who lacks one sort of cones is simulated by the
matrices of Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
vision deficiency" (2009), at full severity; how far two colours are apart is the difference of
CIE 1976 L*a*b* under D65. All of it from memory; the sums of the matrices' rows hold it.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from rich.color import Color, ColorSystem
from rich.style import Style

from shopboard.board.colours import PALETTES, STATES, THEMES, styles_of, told_by
from tests.palettes import PALETTES as TERMINALS
from tests.palettes import XTERM

TEXT, LARGE = 4.5, 3.0
APART = {"dark": 12.0, "light": 12.0, "16": 7.0}
"""Of L*a*b*; 2.3 is what an eye just sees (from memory): five times that, three where the terminal
has the choice of the colours. Weight and mark tell them apart as well."""

EYES = {
    "usual": np.eye(3),
    "protanopia": np.array([
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ]),
    "deuteranopia": np.array([
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ]),
    "tritanopia": np.array([
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ]),
}  # fmt: skip
TO_XYZ = np.array([
    [0.4124564, 0.3575761, 0.1804375],
    [0.2126729, 0.7151522, 0.0721750],
    [0.0193339, 0.1191920, 0.9503041],
])  # fmt: skip

MANY = ("xterm", "256 colours")
CONSOLES = [(theme, name) for theme in PALETTES for name in (TERMINALS if theme == "16" else MANY)]
"""Themes that send colours, on each sort of terminal that they are for."""

INKS = ("true", "near", "out", "due")
"""States that no other lends its colour to."""


def linear(colour: Color, console: str, *, ink: bool) -> np.ndarray:
    """Give the light of a colour as that console shows it."""
    if console == "256 colours":
        colour = colour.downgrade(ColorSystem.EIGHT_BIT)  # as they are sent to it
    parts = np.array(colour.get_truecolor(TERMINALS.get(console, XTERM), ink)) / 255
    return np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)


def pair(style: Style, console: str) -> tuple[np.ndarray, np.ndarray]:
    """Give ink and paper of a style."""
    assert style.color is not None
    assert style.bgcolor is not None
    assert not style.dim, "how dim that is nobody knows"
    return linear(style.color, console, ink=True), linear(style.bgcolor, console, ink=False)


def contrast(one: np.ndarray, other: np.ndarray) -> float:
    dark, light = sorted(float(TO_XYZ[1] @ part) for part in (one, other))
    return (light + 0.05) / (dark + 0.05)


def lab(light: np.ndarray) -> np.ndarray:
    """Give L*, a* and b* (CIE 15)."""
    shares = TO_XYZ @ np.clip(light, 0, 1) / (TO_XYZ @ np.ones(3))
    edge = 6 / 29
    x, y, z = np.where(shares > edge**3, np.cbrt(shares), shares / (3 * edge**2) + 4 / 29)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def apart(one: np.ndarray, other: np.ndarray, eye: str) -> float:
    return float(np.linalg.norm(lab(EYES[eye] @ one) - lab(EYES[eye] @ other)))


def test_the_matrices_leave_every_grey_as_it_is() -> None:
    assert all(np.allclose(matrix.sum(axis=1), 1, atol=2e-6) for matrix in EYES.values())
    assert contrast(np.ones(3), np.zeros(3)) == pytest.approx(21)  # WCAG 2.2, from memory
    assert lab(np.ones(3)) == pytest.approx([100, 0, 0], abs=0.01)


@pytest.mark.parametrize(("theme", "console"), CONSOLES)
def test_all_text_is_read(theme: str, console: str) -> None:
    for name, style in styles_of(theme).items():
        assert contrast(*pair(style, console)) >= TEXT, name


@pytest.mark.parametrize(("theme", "console"), CONSOLES)
def test_what_is_filled_stands_out_from_the_paper(theme: str, console: str) -> None:
    styles = styles_of(theme)
    paper = pair(styles[""], console)[1]
    for name in ("danger", "danger bar", "bar", *(f"{state} bar" for state in STATES)):
        letters, fill = pair(styles[name], console)
        if theme == "16" and name.startswith("danger"):  # a console's red is dark: by its letters
            assert contrast(letters, paper) >= 2 * TEXT
        else:
            assert contrast(fill, paper) >= LARGE, name


@pytest.mark.parametrize(("theme", "console"), CONSOLES)
def test_one_paper_is_sent_everywhere(theme: str, console: str) -> None:
    """All that is not filled has it: no white terminal shows through."""
    styles = styles_of(theme)
    plain = ("", "dim", "bold", "struck", *STATES)
    assert len({styles[name].bgcolor for name in plain}) == 1


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize(("theme", "console"), CONSOLES)
def test_states_are_told_apart_by_every_eye(theme: str, console: str, eye: str) -> None:
    styles = styles_of(theme)
    inks = {name: pair(styles[name], console)[0] for name in INKS}
    for one, other in combinations(INKS, 2):
        assert apart(inks[one], inks[other], eye) > APART[theme], (one, other)
    red = pair(styles["danger"], console)[1]
    for name in INKS:  # of filled bars, that of danger is told by what it is filled with
        fill = pair(styles[f"{name} bar"], console)
        both = apart(red, fill[1], eye), apart(pair(styles["danger"], console)[0], fill[0], eye)
        assert max(both) > APART[theme], name


def test_without_colours_none_is_sent_and_no_grey() -> None:
    for style in styles_of("none").values():
        assert (style.color, style.bgcolor, style.dim) == (None, None, None)


def weight(style: Style, paper: Color | None) -> tuple[int, int, int]:
    """How strong a style is: filled, heavy, underlined."""
    filled = style.reverse or style.bgcolor != paper
    return bool(filled), bool(style.bold), bool(style.underline)


@pytest.mark.parametrize("theme", THEMES)
def test_do_not_use_is_the_strongest_thing_on_the_screen(theme: str) -> None:
    """Filled and heavy; without colours underlined as well; with them nothing else is red."""
    styles = styles_of(theme)
    paper = styles[""].bgcolor
    others = [style for name, style in styles.items() if not name.startswith("danger")]
    for name in ("danger", "danger bar"):
        mine = weight(styles[name], paper)
        assert all(mine >= weight(one, paper) for one in others)
        if theme == "none":
            assert all(mine > weight(one, paper) for one in others)
        else:
            assert all(one.bgcolor != styles[name].bgcolor for one in others)


@pytest.mark.parametrize("theme", THEMES)
def test_no_two_unlike_states_share_a_style(theme: str) -> None:
    styles = styles_of(theme)
    for one, other in (("true", "due"), ("near", "out"), ("true", "near"), ("due", "out")):
        assert styles[one] != styles[other]
    assert {*styles} == {*styles_of("dark")}


@pytest.mark.parametrize(
    ("variables", "colours", "theme"),
    [
        ({}, "truecolor", "dark"),
        ({}, "256", "dark"),
        ({}, "standard", "16"),
        ({}, None, "none"),
        ({"NO_COLOR": "1"}, "truecolor", "none"),
        ({"NO_COLOR": ""}, "truecolor", "dark"),  # no-color.org: "not an empty string"; from memory
        ({"COLORFGBG": "0;15"}, "256", "light"),
        ({"COLORFGBG": "15;0"}, "256", "dark"),
        ({"COLORFGBG": "0;default;15"}, "truecolor", "light"),
        ({"COLORFGBG": "7;8"}, "truecolor", "dark"),
        ({"COLORFGBG": "0;15"}, "standard", "16"),
        ({"COLORFGBG": "rot"}, "256", "dark"),
        ({"TERM": "vt100"}, "standard", "none"),
    ],
)
def test_the_theme_is_what_the_terminal_tells(
    variables: dict[str, str], colours: str | None, theme: str
) -> None:
    assert told_by(variables, colours) == theme
