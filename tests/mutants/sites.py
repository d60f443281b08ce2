"""Where the code can be changed a little, and how: each place is one mutant."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

_COMPARE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
_SUM: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Pow: ast.Mult,
}
_SKIPPED = (ast.JoinedStr, ast.arg, ast.Import, ast.ImportFrom)
"""No place inside of them: in an f-string Python 3.11 does not say where it is."""

_TYPES = ("Literal", "TypeVar", "Callable", "Mapping", "Sequence", "dict", "tuple", "list", "set")
"""What stands in their brackets is for the reader of the types."""

_NOT_SWAPPED = (
    *("isinstance", "issubclass", "getattr", "hasattr", "cast"),
    *("max", "min", "math.hypot", "math.gcd"),
)
"""Swapped, the first fail at once: no test is needed to see it; the others give the same."""


class Mutant(NamedTuple):
    """One change."""

    file: str
    """From the top of the project."""
    line: int
    function: str
    """The outermost function or class around it; empty: it is in no function, nor in a method."""
    start: int
    """First byte that is changed."""
    end: int
    text: str
    """What stands there instead."""
    was: str
    reads: str
    """How the line reads with the change."""

    def applied(self, source: bytes) -> bytes:
        """Give the file's text with the change."""
        return source[: self.start] + self.text.encode() + source[self.end :]

    @property
    def key(self) -> str:
        """What it is known by, though its file grows or moves: the file's name and the line."""
        return f"{self.file.rpartition('/')[2]}: {self.reads}"

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.reads}   [was: {self.was}]"


def mutants_of(top: Path, path: Path) -> Iterator[Mutant]:
    """Give every mutant of a file."""
    source = path.read_bytes()
    starts = [0]
    for line in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    file = str(path.relative_to(top))
    for function, node in _nodes(ast.parse(source)):
        for changed in _changes(node):
            start = starts[node.lineno - 1] + node.col_offset
            end = starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
            was, text = ast.unparse(node), ast.unparse(changed)
            if was != text:
                begins = starts[node.lineno - 1]
                ends = starts[node.end_lineno or 0]
                changed_line = source[begins:start] + f"({text})".encode() + source[end:ends]
                reads = " ".join(changed_line.decode().split())
                yield Mutant(file, node.lineno, function, start, end, f"({text})", was, reads)


def _nodes(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    """Give the expressions that run, each with the function that it is in.

    What stands in a class and in none of its methods runs when it is read, by no call.
    """
    waiting: list[tuple[str, bool, ast.AST]] = [("", False, tree)]
    while waiting:
        function, is_called, node = waiting.pop()
        if isinstance(node, ast.expr):
            yield function if is_called else "", node
        for name, value in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            inner_values = value if isinstance(value, list) else [value]
            if name in ("comparators", "type"):  # in a tuple there, in whatever order
                inner_values = [
                    part
                    for one in inner_values
                    for part in (one.elts if isinstance(one, ast.Tuple) else [one])
                ]
            for one in inner_values:
                if not isinstance(one, ast.AST) or _is_skipped(one):
                    continue
                inner = function
                a_function = isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef)
                if (a_function or isinstance(one, ast.ClassDef)) and not function:
                    inner = str(getattr(one, "name", ""))
                waiting.append((inner, is_called or a_function, one))


def _is_skipped(node: ast.AST) -> bool:
    if isinstance(node, ast.If):
        return "TYPE_CHECKING" in ast.unparse(node.test)
    if isinstance(node, ast.Subscript):
        return ast.unparse(node.value).endswith(_TYPES)
    if isinstance(node, ast.keyword):
        return node.arg == "strict"  # of zip: it says what is so anyway
    if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call):
        return ast.unparse(node.value.func) in ("TypeVar", "namedtuple", "re.compile")
    return isinstance(node, _SKIPPED)


def _changes(node: ast.expr) -> Iterator[ast.expr]:
    """Give what may stand in the place of an expression."""
    if isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            other = _COMPARE.get(type(op))
            if other is not None:
                ops = [*node.ops[:at], other(), *node.ops[at + 1 :]]
                yield ast.Compare(node.left, ops, node.comparators)
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield node.operand
    elif isinstance(node, ast.BinOp) and type(node.op) in _SUM:
        yield ast.BinOp(node.left, _SUM[type(node.op)](), node.right)
    elif isinstance(node, ast.IfExp):
        yield ast.IfExp(node.test, node.orelse, node.body)
    elif isinstance(node, ast.Constant):
        if isinstance(node.value, bool):
            yield ast.Constant(not node.value)
        elif isinstance(node.value, int):
            yield ast.Constant(node.value + 1)
        elif isinstance(node.value, float):
            yield ast.Constant(node.value * 1.5 if node.value else 1.0)
    elif isinstance(node, ast.Tuple) and len(node.elts) == 2 and isinstance(node.ctx, ast.Load):
        yield ast.Tuple([node.elts[1], node.elts[0]], ast.Load())
    elif (
        isinstance(node, ast.Call)
        and len(node.args) == 2
        and not _has_star(node.args)
        and ast.unparse(node.func) not in _NOT_SWAPPED
    ):
        yield ast.Call(node.func, [node.args[1], node.args[0]], node.keywords)


def _has_star(args: list[ast.expr]) -> bool:
    return any(isinstance(one, ast.Starred) for one in args)
