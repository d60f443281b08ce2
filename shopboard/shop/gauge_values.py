"""Kinds of values of a gauge: where it is plugged in, how fast, how its lines look."""

from __future__ import annotations

from shopboard.metrology.gauge_line import LineFormError, line_form
from shopboard.shop.allowed import typed
from shopboard.shop.gauge import ON_ITS_BUTTON
from shopboard.shop.kinds import as_text, choice, text, whole
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

PORT = text(120, "the path of a serial port, or its name")
SPEED = whole(50, 4_000_000)
READS = choice("mm", "in", "thou")
SENDS = choice("always", ON_ITS_BUTTON)
SENT = text(40)

_FORM_WORDS = "how a line looks: {number}, {unit} if it is there, * for anything"


def _read_form(raw: object, spot: Spot) -> str:
    words = as_text(raw, spot, _FORM_WORDS)
    try:
        line_form(words)
    except LineFormError as error:
        spot.refuse(f"by {shorten(words)} no line can be read", str(error))
    return words


FORM = Parser(_read_form, "{number}", lambda: typed(_FORM_WORDS, '"{number} {unit}"', "[{]number"))
