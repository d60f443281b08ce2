"""From text to what tomli gives; what is no TOML comes out with its place and a plain hint."""

import tomli

from shopboard.shop.problems import ShopFileError
from shopboard.shop.report import Report
from shopboard.shop.words import check_words, too_many_dots


def parse(text: str, name: str, report: Report) -> dict[str, object]:
    """Read a text; words that may not be drawn are reported.

    Args:
        text: with line feeds alone at the line ends.
        name: of the file.
        report: takes what is found in its words.

    Raises:
        ShopFileError: when it is no TOML, with the one problem.
    """
    if too_many_dots(text) is not None:
        raise _not_toml(text, name, None, report)
    try:
        data = tomli.loads(text)
    except (ValueError, RecursionError) as error:  # ValueError: also numbers of 5,000 digits
        raise _not_toml(text, name, error, report) from None
    if not check_words(data, report):
        raise _not_toml(text, name, RecursionError(), report)
    return data


def _not_toml(text: str, name: str, error: Exception | None, report: Report) -> ShopFileError:
    from shopboard.shop.syntax import syntax_problem

    problem = syntax_problem(text, error, report.readers)
    return ShopFileError(name, (problem._replace(unread=True),))
