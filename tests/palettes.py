"""The sixteen colours, and ink and paper, as terminals have them; all from memory."""

from __future__ import annotations

from rich.terminal_theme import TerminalTheme

XTERM = TerminalTheme(
    (0, 0, 0),
    (229, 229, 229),
    [(0, 0, 0), (205, 0, 0), (0, 205, 0), (205, 205, 0), (0, 0, 238), (205, 0, 205),
     (0, 205, 205), (229, 229, 229)],
    [(127, 127, 127), (255, 0, 0), (0, 255, 0), (255, 255, 0), (92, 92, 255), (255, 0, 255),
     (0, 255, 255), (255, 255, 255)],
)  # fmt: skip

LINUX = TerminalTheme(
    (0, 0, 0),
    (170, 170, 170),
    [(0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0), (0, 0, 170), (170, 0, 170),
     (0, 170, 170), (170, 170, 170)],
    [(85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85), (85, 85, 255), (255, 85, 255),
     (85, 255, 255), (255, 255, 255)],
)  # fmt: skip
"""The console of Linux without a desktop."""

ON_WHITE = TerminalTheme(
    (255, 255, 255),
    (0, 0, 0),
    [(0, 0, 0), (153, 0, 0), (0, 166, 0), (153, 153, 0), (0, 0, 178), (178, 0, 178),
     (0, 166, 178), (191, 191, 191)],
    [(102, 102, 102), (229, 0, 0), (0, 217, 0), (229, 229, 0), (0, 0, 255), (229, 0, 229),
     (0, 229, 229), (229, 229, 229)],
)  # fmt: skip
"""A desktop's, with black ink on white paper."""

PALETTES = {"xterm": XTERM, "linux": LINUX, "on white": ON_WHITE}
