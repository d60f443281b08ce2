"""The board and the command line, as their own tests have them."""

from tests.board.conftest import bare as bare
from tests.board.conftest import place as place
from tests.cli.conftest import program as program
