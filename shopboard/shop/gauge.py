"""A gauge on a serial line, as the shop file has it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.gauge_line import USUAL_FORM

if TYPE_CHECKING:
    from shopboard.shop.gauge_values import FORM, PORT, READS, SENDS, SENT, SPEED
    from shopboard.shop.kinds import ID, NAME

ON_ITS_BUTTON = "on its button"


class Gauge(NamedTuple):
    """What sends its readings to the computer line by line."""

    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    port: Annotated[str, PORT]
    """Where it is plugged in: a path, or ``COM3``."""
    speed: Annotated[int, SPEED] = 9600
    """Bits a second."""
    form: Annotated[str, FORM] = USUAL_FORM
    """How its lines look (`metrology/gauge_line.py`)."""
    unit: Annotated[str, READS] = ""
    """Of a number without one; empty: the shop's."""
    sends: Annotated[str, SENDS] = "always"
    """Whether a line is a reading that goes by, or is meant to be taken."""
    ask: Annotated[str, SENT] = ""
    """What is sent, with a line end, to be told a reading; empty: it sends by itself."""

    @property
    def is_taken(self) -> bool:
        """Whether each line is meant to be taken."""
        return self.sends == ON_ITS_BUTTON
