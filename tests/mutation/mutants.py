"""One-line changes of a module's source: each a slip a programmer could make, none of them in words or types.

What is changed: comparisons, arithmetic, `and`/`or`/`not`, min/max, any/all, whole and real numbers, branches of a
conditional expression, the first of several for the last, conditions of a comprehension, elements of a tuple or list
put together from several, and statements that only act.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass

_ORDER: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
}
_OTHER_CALL = {"min": "max", "max": "min", "any": "all", "all": "any"}
_SEVERAL = 2
# Choice: one more is no slip of a large number.
_LARGE = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One change.

    Attributes:
        path: The module's file, from the top of the project.
        line: Where it begins, from 1.
        before: The source that is replaced.
        after: What stands there instead.
        start: Where it begins in the file's text, characters.
    """

    path: str
    line: int
    before: str
    after: str
    start: int

    def applied(self, text: str) -> str:
        """The module's text with the change.

        Raises:
            ValueError: The text is not the one the change was made for.
        """
        end = self.start + len(self.before)
        if text[self.start : end] != self.before:
            raise ValueError(f"{self.path} has changed")
        return text[: self.start] + self.after + text[end:]


def mutants_of(path: str, text: str) -> tuple[Mutant, ...]:
    """Every change of a module, in the order of its text.

    Args:
        path: Its file, from the top of the project.
        text: Its source.

    Example:
        >>> [(one.before, one.after) for one in mutants_of("a.py", "heavy = mass > limit")]
        [('mass > limit', 'mass <= limit'), ('mass > limit', 'mass >= limit')]
    """
    starts = _line_starts(text)
    found = []
    for node, after in _changes(ast.parse(text)):
        begin = starts[node.lineno - 1] + _characters(text, starts, node.lineno, node.col_offset)
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        end = starts[node.end_lineno - 1] + _characters(text, starts, node.end_lineno, node.end_col_offset)
        change = Mutant(path=path, line=node.lineno, before=text[begin:end], after=after, start=begin)
        if change.after != change.before:
            found.append(change)
    return tuple(sorted(found, key=lambda one: (one.start, one.after)))


def _line_starts(text: str) -> list[int]:
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    return starts


def _characters(text: str, starts: list[int], line: int, byte_count: int) -> int:
    """The parser counts bytes of a line; a text is cut by characters."""
    whole = text[starts[line - 1] : starts[line]].encode()
    return len(whole[:byte_count].decode())


def _changes(tree: ast.Module) -> Iterator[tuple[ast.expr | ast.stmt, str]]:
    """Nodes that may be changed, with what takes their place."""
    for node in _executed(tree):
        match node:
            case ast.Compare(ops=[op]):
                for other in _ORDER.get(type(op), ()):
                    yield (
                        node,
                        _source(ast.Compare(left=node.left, ops=[other()], comparators=node.comparators)),
                    )
            case ast.BinOp() if not _is_text(node.left) and not _is_text(node.right):
                if (other_op := _ARITHMETIC.get(type(node.op))) is not None:
                    yield node, _source(ast.BinOp(left=node.left, op=other_op(), right=node.right))
                if isinstance(node.op, ast.Add | ast.Sub):
                    yield node, _source(node.left)
            case ast.BoolOp():
                other_bool = ast.Or() if isinstance(node.op, ast.And) else ast.And()
                yield node, _source(ast.BoolOp(op=other_bool, values=node.values))
                for place in range(len(node.values)):
                    rest = [*node.values[:place], *node.values[place + 1 :]]
                    yield node, _source(rest[0] if len(rest) == 1 else ast.BoolOp(op=node.op, values=rest))
            case ast.UnaryOp(op=ast.Not() | ast.USub()):
                yield node, _source(node.operand)
            case ast.Call(func=ast.Name(id=name), args=args) if name in _OTHER_CALL:
                yield node, _source(ast.Call(ast.Name(_OTHER_CALL[name]), args, node.keywords))
                if name in ("min", "max") and len(args) >= _SEVERAL:
                    for one in args:
                        if not isinstance(one, ast.Starred):
                            yield node, _source(one)
            case ast.Subscript(slice=ast.Constant(value=0)):
                yield node, f"{_source(node.value)}[-1]"
            case ast.IfExp():
                yield node, _source(node.body)
                yield node, _source(node.orelse)
            case ast.Constant(value=bool() as value):
                yield node, str(not value)
            case ast.Constant(value=int() | float() as value):
                yield node, f"{value + 1 if abs(value) < _LARGE else value * 2}"
            case ast.GeneratorExp() | ast.ListComp() | ast.SetComp() if any(
                each.ifs for each in node.generators
            ):
                bare = [
                    ast.comprehension(each.target, each.iter, [], each.is_async) for each in node.generators
                ]
                yield node, _source(type(node)(elt=node.elt, generators=bare))
            case ast.Tuple(elts=parts) | ast.List(elts=parts) if any(
                isinstance(e, ast.Starred) for e in parts
            ):
                for place in range(len(parts) if len(parts) >= _SEVERAL else 0):
                    rest = [*parts[:place], *parts[place + 1 :]]
                    shorter = ast.List(rest) if isinstance(node, ast.List) else ast.Tuple(rest)
                    yield node, ast.unparse(shorter)
            case ast.Expr(value=ast.Call(func=ast.Name(id="assert_never"))):
                pass  # The type checker's own: it is never reached.
            case ast.Expr(value=ast.Call() | ast.Yield() | ast.YieldFrom()) | ast.AugAssign():
                yield node, "pass"


def _executed(tree: ast.Module) -> Iterator[ast.AST]:
    """All that runs and is no word for a person, a type or a check of the programmer's own."""
    waiting: list[ast.AST] = [tree]
    while waiting:
        node = waiting.pop()
        yield node
        match node:
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                waiting += [*node.args.defaults, *filter(None, node.args.kw_defaults), *node.body]
            case ast.ClassDef():
                waiting += node.body
            case ast.AnnAssign():
                waiting += [node.value] if node.value is not None else []
            case ast.Assert() | ast.Raise() | ast.Import() | ast.ImportFrom() | ast.JoinedStr():
                pass
            case ast.Subscript():
                waiting.append(node.value)
            case ast.keyword(arg="strict"):
                pass
            case ast.Call(func=ast.Name(id="cast" | "isinstance" | "assert_never" | "field" | "dataclass")):
                pass
            case _:
                waiting += ast.iter_child_nodes(node)


def _is_text(node: ast.expr) -> bool:
    """Whether an operand is surely no number."""
    return isinstance(node, ast.JoinedStr | ast.List | ast.Tuple | ast.Set | ast.Dict | ast.ListComp) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _source(node: ast.expr) -> str:
    """An expression as it may stand anywhere."""
    plain = isinstance(node, ast.Name | ast.Constant | ast.Call | ast.Attribute | ast.Compare | ast.ListComp)
    return ast.unparse(node) if plain else f"({ast.unparse(node)})"
