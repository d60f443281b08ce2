"""A problem is shown with its line and a caret under its very place."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopboard.shop.problems import Problem, ShopFileError, SourceText, cells, render
from tests.shop.texts import only_problem, spoilt


def caret_line(text: str) -> str:
    """Give what stands in the line above the caret marks."""
    _, line, mark = text.split("\n")
    return line[mark.index("^") : mark.rindex("^") + 1]


class TestRender:
    def test_whole(self) -> None:
        """Place, what, what is allowed, what was meant; then the line; then the caret."""
        problem = only_problem(spoilt("lever = 3\n", "levr = 3\n"))
        first, line, mark = render("shop.toml", problem).split("\n")
        assert first.startswith('shop.toml:26:1: "levr" is not a key of [[machine.point]]; allowed')
        assert first.endswith('; did you mean "lever"?')
        assert line == "   26 | levr = 3"
        assert mark == "      | ^^^^"

    def test_warning(self) -> None:
        """A warning says that it is one."""
        problem = Problem(3, 4, "odd", severity="warning")
        assert render("shop.toml", problem) == "shop.toml:3:4: warning: odd"

    def test_path_is_harmless(self) -> None:
        """The file's name is data, too."""
        assert render("a\x1b[2J.toml", Problem(1, 1, "x")) == "a<U+001B>[2J.toml:1:1: x"

    def test_error_shows_all(self) -> None:
        """The exception's text is every problem."""
        error = ShopFileError("f", (Problem(1, 1, "one"), Problem(2, 1, "two")))
        assert str(error) == "f:1:1: one\nf:2:1: two"


class TestCaret:
    def test_wide_letters(self) -> None:
        """Behind wide letters the caret counts cells, the column counts letters."""
        text = 'a = { "丸鋸" = 1, b = 2 }'
        problem = SourceText(text).problem(text.index("b"), text.index("b") + 1, "x")
        assert problem.column == text.index("b") + 1
        assert problem.caret_offset == text.index("b") + 2

    def test_combining_letters(self) -> None:
        """Marks that sit on a letter take no cell."""
        text = "a\u0308\u0301 b"
        assert SourceText(text).problem(4, 5, "x").caret_offset == 2

    def test_tabs(self) -> None:
        """A tab is shown as one space."""
        problem = SourceText("\t\tlever = 0").problem(2, 7, "x")
        assert caret_line(render("f", problem)) == "lever"
        assert problem.source_line == "  lever = 0"

    def test_escaped_letters(self) -> None:
        """A letter that is written out as its number takes that many cells."""
        text = "a\u202eb lever"
        problem = SourceText(text).problem(4, 9, "x")
        assert caret_line(render("f", problem)) == "lever"

    def test_long_line(self) -> None:
        """Of a long line only the part around the caret is shown."""
        text = "x" * 5000 + "lever" + "y" * 5000
        problem = SourceText(text).problem(5000, 5005, "x")
        assert problem.column == 5001
        assert cells(problem.source_line) <= 102
        assert caret_line(render("f", problem)) == "lever"
        assert problem.source_line.startswith("…x")
        assert problem.source_line.endswith("y…")

    def test_many_lines(self) -> None:
        """A value over several lines is marked to the end of its first line."""
        text = 'a = """one\ntwo"""'
        assert caret_line(render("f", SourceText(text).problem(4, len(text), "x"))) == '"""one'

    def test_end_of_the_file(self) -> None:
        """Past the last letter there is still a caret."""
        problem = SourceText("a =").problem(3, 3, "x")
        assert (problem.line, problem.column, problem.span, problem.caret_offset) == (1, 4, 1, 3)

    @given(st.text(max_size=300), st.data())
    def test_any_stretch(self, text: str, data: st.DataObject) -> None:
        """Line and column of any stretch lead back to it."""
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, len(text)))
        problem = SourceText(text).problem(start, end, "x")
        lines = text.split("\n")
        assert (
            sum(len(line) + 1 for line in lines[: problem.line - 1]) + problem.column - 1 == start
        )
        assert problem.span >= 1
        assert problem.caret_offset <= cells(problem.source_line) + 100
