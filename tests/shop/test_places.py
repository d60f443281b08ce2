"""The scanner says where everything stands, exactly as tomli reads it."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from shopboard.shop.places import LostError, Scanner, find_places
from shopboard.shop.report import Path

Draw = Callable[[st.SearchStrategy[str]], str]


def paths_of(value: object, path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Give every path of what tomli read, with its value."""
    if path:
        yield path, value
    if isinstance(value, dict):
        for key, below in value.items():
            yield from paths_of(below, (*path, key))
    elif isinstance(value, list):
        for index, below in enumerate(value):
            yield from paths_of(below, (*path, index))


# Texts to try: random tables, each written in one of the ways that TOML allows.

WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=8)
KEYS = st.one_of(st.from_regex(r"[A-Za-z0-9_-]{1,4}", fullmatch=True), WORDS)
SCALARS = st.one_of(
    WORDS,
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, width=32),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(KEYS, inner, max_size=4)),
    max_leaves=12,
)
DOCUMENTS = st.dictionaries(KEYS, VALUES, max_size=5)


def escaped(text: str) -> str:
    """Write text between double quotes."""
    return '"' + "".join(c if c.isalnum() else f"\\U{ord(c):08X}" for c in text) + '"'


def written_text(text: str, draw: Draw) -> str:
    """Write text in one of the four ways that can hold it."""
    ways = [escaped(text)]
    fit = all(c in "\t\n" or (ord(c) >= 32 and ord(c) != 127) for c in text)
    if fit and "'" not in text:
        ways.append(f"'''{text}'''" if not text.startswith("\n") else f"'''\n{text}'''")
        if "\n" not in text:
            ways.append(f"'{text}'")
    if fit and '"' not in text and "\\" not in text:
        ways.append(f'"""\n{text}"""')
        ways.append(f'"""\\\n   {text.lstrip()}"""' if text == text.lstrip() else escaped(text))
    return draw(st.sampled_from(ways))


def written_key(key: str, draw: Draw) -> str:
    """Write a key bare where it can be, or quoted."""
    ways = [escaped(key)]
    if key and all(c.isascii() and (c.isalnum() or c in "_-") for c in key):
        ways.append(key)
    if "'" not in key and all(ord(c) >= 32 and ord(c) != 127 for c in key):
        ways.append(f"'{key}'")
    return draw(st.sampled_from(ways))


def written_value(value: object, draw: Draw) -> str:
    """Write any value on the right of =."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return written_text(value, draw)
    if isinstance(value, list):
        gap = draw(st.sampled_from(["", " ", "\n", " # a, ] remark\n  "]))
        items = [gap + written_value(item, draw) + gap for item in value]
        return "[" + ",".join(items) + ("," if items and gap else "") + gap + "]"
    if isinstance(value, dict):
        gap = draw(st.sampled_from(["", " ", "\n", " # a, } remark\n  "]))
        pairs = [
            f"{gap}{written_key(k, draw)} = {written_value(v, draw)}{gap}" for k, v in value.items()
        ]
        return "{" + ",".join(pairs) + ("," if pairs and gap else "") + gap + "}"
    return str(value) if isinstance(value, int | float) else value.isoformat()  # type: ignore[attr-defined]


def written_table(table: dict[str, object], header: str, draw: Draw) -> str:
    """Write a table: settings first, then the tables below, each in one of its ways."""
    lines, below = [], []
    for key, value in table.items():
        name = written_key(key, draw)
        full = f"{header}.{name}" if header else name
        tables = isinstance(value, list) and value and all(isinstance(v, dict) for v in value)
        if isinstance(value, dict) and draw(st.sampled_from(["inline", "header"])) == "header":
            below.append(f"[ {full} ]\n" + written_table(value, full, draw))
        elif isinstance(value, dict) and value and draw(st.sampled_from("ab")) == "a":
            lines += [
                f"{name} . {written_key(k, draw)} = {written_value(v, draw)}"
                for k, v in value.items()
            ]
        elif tables and isinstance(value, list) and draw(st.sampled_from("ab")) == "a":
            below += [f"[[{full}]] # one\n" + written_table(v, full, draw) for v in value]
        else:
            lines.append(f"{name}={written_value(value, draw)} # = [remark]")
    return "".join(line + "\n" for line in [*lines, *below])


@st.composite
def documents(draw: st.DrawFn) -> str:
    """A random TOML text."""
    return written_table(draw(DOCUMENTS), "", draw)


@given(documents())
def test_same_paths_as_tomli(text: str) -> None:
    """The scanner finds each key and value that tomli reads, and nothing else."""
    assert set(find_places(text)) == {path for path, _ in paths_of(tomli.loads(text))}


@given(documents())
def test_every_value_is_where_the_scanner_says(text: str) -> None:
    """What stands between start and end of a value reads as that value again."""
    places = find_places(text)
    for path, value in paths_of(tomli.loads(text)):
        span = places[path]
        if not isinstance(value, dict | list):
            assert tomli.loads(f"again = {text[span.start : span.end]}")["again"] == value
        if isinstance(path[-1], str):
            key = text[span.key_start : span.key_end]
            assert tomli.loads(f"{key} = 1") == {path[-1]: 1}


@given(documents(), st.integers(0, 400))
def test_cut_off_text_never_loops_or_crashes(text: str, cut: int) -> None:
    """On any piece of a text the scanner ends, at the latest where it is lost."""
    with contextlib.suppress(LostError):
        Scanner(text[:cut]).run()


BY_HAND = [
    ("plain", "a = 1\nlever = 3\n", ("lever",), "lever", "3"),
    ("text", 'a = "x = 3" # a = 4\n', ("a",), "a", '"x = 3"'),
    ("nested table", "[a.b]\nc = 1\n", ("a", "b", "c"), "c", "1"),
    ("header", "[a.b]\nc = 1\n", ("a", "b"), "b", "[a.b]"),
    ("implied table", "[a.b]\nc = 1\n", ("a",), "a", "[a.b]"),
    ("tables", "[[m]]\n[[m.p]]\n[[m.p]]\nx = 1\n", ("m", 0, "p", 1, "x"), "x", "1"),
    ("second table", "[[m]]\n[[m.p]]\n[[m]]\n[[m.p]]\nx = 2\n", ("m", 1, "p", 0, "x"), "x", "2"),
    ("below the last", "[[m]]\n[[m]]\n[m.s]\nx = 3\n", ("m", 1, "s", "x"), "x", "3"),
    ("inline", "t = { a = { b = 'x' }, c = 2 }\n", ("t", "a", "b"), "b", "'x'"),
    ("inline after it", "t = { a = { b = 'x' }, c = 2 }\n", ("t", "c"), "c", "2"),
    ("list", "l = [\n  'a', # ]\n  'b',\n]\n", ("l", 1), "'b'", "'b'"),
    ("tables in a list", "l = [{ x = 1 }, { x = 2 }]\n", ("l", 1, "x"), "x", "2"),
    ("dotted", "a.b.c = 5\n", ("a", "b", "c"), "c", "5"),
    ("dotted above", "a.b.c = 5\n", ("a", "b"), "b", "b"),
    ("quoted", "\"a b\".'c.d' = 5\n", ("a b", "c.d"), "'c.d'", "5"),
    ("escaped key", '"\\u0061" = 5\n', ("a",), '"\\u0061"', "5"),
    ("three quotes", 'a = """x\n"y" ""\n"""\nb = 1\n', ("b",), "b", "1"),
    ("quotes at the end", "a = ''''x'''''\nb = 2\n", ("b",), "b", "2"),
    ("double quotes at the end", 'a = """x"""""\nb = 2\n', ("a",), "a", '"""x"""""'),
    ("date with a space", "d = 1979-05-27 07:32:00 # x\n", ("d",), "d", "1979-05-27 07:32:00"),
    ("tabs", "\ta\t=\t7\t\n", ("a",), "a", "7"),
    ("no last line end", "a = 1", ("a",), "a", "1"),
]


@pytest.mark.parametrize(
    ("text", "path", "key", "value"), [c[1:] for c in BY_HAND], ids=[c[0] for c in BY_HAND]
)
def test_by_hand(text: str, path: Path, key: str, value: str) -> None:
    """Key and value of one path, checked by eye."""
    tomli.loads(text)
    span = find_places(text)[path]
    assert text[span.key_start : span.key_end] == key
    assert text[span.start : span.end] == value
