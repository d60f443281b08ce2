"""A board's place, for gauges that are plugged in at it."""

from tests.board.conftest import bare as bare
from tests.board.conftest import place as place
