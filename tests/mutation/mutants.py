"""Mutants of a module: its source with one small thing wrong, each of which some test has to notice.

Left alone: annotations, decorators, docstrings, imports, what only a type checker reads, and `strict=True` of a zip,
which asserts and does nothing.
"""

from __future__ import annotations

import ast
import copy
from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE), ast.LtE: (ast.Lt, ast.Gt), ast.Gt: (ast.GtE, ast.LtE), ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,), ast.NotEq: (ast.Eq,), ast.Is: (ast.IsNot,), ast.IsNot: (ast.Is,), ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}  # fmt: skip
RECKONED: dict[type[ast.operator], tuple[type[ast.operator], ...]] = {
    ast.Add: (ast.Sub,), ast.Sub: (ast.Add,), ast.Mult: (ast.Div,), ast.Div: (ast.Mult, ast.FloorDiv),
    ast.FloorDiv: (ast.Mult, ast.Div), ast.Mod: (ast.FloorDiv,), ast.Pow: (ast.Mult,), ast.BitOr: (ast.BitAnd,),
    ast.BitAnd: (ast.BitOr,), ast.RShift: (ast.LShift,), ast.LShift: (ast.RShift,),
}  # fmt: skip
CALLED = {
    "min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list", "ceil": "floor", "floor": "ceil",
    "bisect_left": "bisect_right", "bisect_right": "bisect_left",
}  # fmt: skip
"""A function and the one that it is easily taken for."""
ENDS = {"start_us": "end_us", "end_us": "start_us"}
ON_THE_SAME = {"strip", "upper", "lower", "casefold", "replace", "removesuffix", "removeprefix", "quantize"}
"""Methods whose answer is of the same sort as what they are called on, which may therefore stand in its place."""
LINE = 120
LEFT_ALONE = {"annotation", "returns", "decorator_list", "type_params", "ctx", "type_comment"}
REMOVED = (
    *(ast.Expr, ast.Assign, ast.AugAssign, ast.Raise, ast.Delete, ast.Break, ast.Continue, ast.Assert),
    *(ast.For, ast.While),
)


@dataclass(frozen=True, slots=True)
class Mutant:
    """One wrong version of a module: in which function, the statement before and after, or what of it differs.

    Where two have all of that in common, `now` of the second ends with "# 2".
    """

    place: str
    was: str
    now: str
    source: str

    @property
    def key(self) -> tuple[str, str, str]:
        """What a list of mutants knows it by: neither a line nor a path, which move."""
        return self.place, self.was, self.now


def mutants(source: str) -> list[Mutant]:
    """Return all mutants of a module's source, in its order, each once."""
    tree = ast.parse(source)
    members, parts = _members(tree), [ast.unparse(part) for part in tree.body]
    found: dict[str, Mutant] = {"\n".join(parts): Mutant("", "", "", source)}
    alike: Counter[tuple[str, str, str]] = Counter()
    for slot in _slots(tree, "", None):
        before, around, at = slot.node, slot.around(), slot.outermost()
        was = around.told()
        for other in _others(before, members):
            slot.put(other)
            text = "\n".join([*parts[:at], ast.unparse(tree.body[at]), *parts[at + 1 :]])
            if text not in found:
                alike[slot.place, was, now := around.told()] += 1
                n = alike[slot.place, was, now]
                found[text] = Mutant(slot.place, was, now if n == 1 else f"{now}  # {n}", text)
        slot.put(before)
    return list(found.values())[1:]


@dataclass(slots=True)
class _Slot:
    """Where a node hangs: a field of its owner, at an index where that holds a list."""

    owner: ast.AST
    field: str
    index: int | None
    place: str
    outer: _Slot | None

    @property
    def node(self) -> Any:
        held = getattr(self.owner, self.field)
        return held if self.index is None else held[self.index]

    def put(self, node: ast.AST) -> None:
        if self.index is None:
            setattr(self.owner, self.field, node)
        else:
            getattr(self.owner, self.field)[self.index] = node

    def around(self) -> _Slot:
        """Return the slot of the statement that this is part of, or of as much of that as one line holds."""
        slot = self
        while not isinstance(slot.node, ast.stmt) and slot.outer is not None and len(slot.outer.told()) <= LINE:
            slot = slot.outer
        return slot

    def outermost(self) -> int:
        """Return the place in the module of the statement that holds it."""
        slot = self
        while slot.outer is not None:
            slot = slot.outer
        return slot.index or 0

    def told(self) -> str:
        """Return its text; of a statement the first line, without what is nested in it."""
        node = self.node
        if hasattr(node, "body") and isinstance(node, ast.stmt):
            node = _with(node, body=[ast.Pass()], decorator_list=[], orelse=[])
        return ast.unparse(node).strip().split("\n")[0]


def _slots(owner: ast.AST, place: str, outer: _Slot | None) -> Iterator[_Slot]:
    """Yield the slots under a node, from the outside in."""
    if isinstance(owner, ast.FunctionDef | ast.ClassDef):
        place = f"{place}.{owner.name}".lstrip(".")
    for field, value in ast.iter_fields(owner):
        if field in LEFT_ALONE:
            continue
        for i, node in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(node, ast.AST) and not _left_alone(node):
                slot = _Slot(owner, field, i if isinstance(value, list) else None, place, outer)
                yield slot
                yield from _slots(node, place, slot)


def _left_alone(node: ast.AST) -> bool:
    """Tell whether nothing of this bears on a result: imports, docstrings, types, the assertion `strict=True`."""
    return (
        isinstance(node, ast.Import | ast.ImportFrom)
        or (isinstance(node, ast.keyword) and node.arg == "strict")
        or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))
        or (isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING")
    )


def _members(tree: ast.Module) -> dict[str, list[str]]:
    """Return the members of closed lists (`Kind.WATCH`) that a module names, by list."""
    found: dict[str, list[str]] = defaultdict(list)
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.attr.isupper():
            found[node.value.id].append(node.attr)
    return {of: list(dict.fromkeys(names)) for of, names in found.items()}


def _others(node: ast.AST, members: dict[str, list[str]]) -> Iterator[ast.AST]:
    """Yield what could wrongly stand where a node does."""
    if isinstance(node, REMOVED):
        yield ast.Pass()
    if isinstance(node, ast.Attribute):
        yield from _attributes(node, members)
    elif type(node) in WRONG:
        yield from WRONG[type(node)](node)


def _attributes(node: ast.Attribute, members: dict[str, list[str]]) -> Iterator[ast.AST]:
    if node.attr in ENDS:
        yield _with(node, attr=ENDS[node.attr])
    elif node.attr.isupper() and isinstance(node.value, ast.Name):
        yield from (_with(node, attr=name) for name in members[node.value.id])


def _augmented(node: ast.AugAssign) -> Iterator[ast.AST]:
    yield from _reckoned(node)
    yield ast.Assign([node.target], node.value, lineno=0)


def _returned(node: ast.Return) -> Iterator[ast.AST]:
    if node.value is not None:
        yield ast.Return(ast.Constant(None))


def _conditions(node: ast.If) -> Iterator[ast.AST]:
    yield _with(node, test=ast.Constant(True))
    if node.orelse or len(node.body) > 1 or not isinstance(node.body[0], REMOVED):  # else it is removed there
        yield _with(node, test=ast.Constant(False))


def _constants(node: ast.Constant) -> Iterator[ast.AST]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int | float):
        yield from (ast.Constant(value + 1), ast.Constant(value - 1))
    elif isinstance(value, str):
        yield ast.Constant("" if value else "x")


def _called(node: ast.Call) -> Iterator[ast.AST]:
    """Yield a call of another function, of none, and with an argument less."""
    function = node.func
    if isinstance(function, ast.Name) and function.id in CALLED:
        keywords = [] if function.id == "sorted" else node.keywords
        yield _with(node, func=_with(function, id=CALLED[function.id]), keywords=keywords)
    elif isinstance(function, ast.Attribute) and function.attr in CALLED:
        yield _with(node, func=_with(function, attr=CALLED[function.attr]))
    elif isinstance(function, ast.Attribute) and function.attr in ON_THE_SAME:
        yield function.value
    for keyword in node.keywords:
        if not _left_alone(keyword):
            yield _with(node, keywords=[k for k in node.keywords if k is not keyword])
    if len(node.args) > 1:
        yield _with(node, args=node.args[:-1])


def _compared(node: ast.Compare) -> Iterator[ast.AST]:
    for i, op in enumerate(node.ops):
        for other in COMPARED[type(op)]:
            yield _with(node, ops=[*node.ops[:i], other(), *node.ops[i + 1 :]])


def _joined(node: ast.BoolOp) -> Iterator[ast.AST]:
    yield _with(node, op=ast.And() if isinstance(node.op, ast.Or) else ast.Or())
    for fewer in _without_one(node.values):
        yield _with(node, values=fewer) if len(fewer) > 1 else fewer[0]


def _reckoned(node: ast.BinOp | ast.AugAssign) -> Iterator[ast.AST]:
    yield from (_with(node, op=op()) for op in RECKONED.get(type(node.op), ()))


def _keys(node: ast.Lambda) -> Iterator[ast.AST]:
    if isinstance(node.body, ast.Tuple):
        yield from (_with(node, body=_with(node.body, elts=fewer)) for fewer in _without_one(node.body.elts))


WRONG: dict[type[ast.AST], Callable[[Any], Iterator[ast.AST]]] = {
    ast.AugAssign: _augmented,
    ast.Return: _returned,
    ast.If: _conditions,
    ast.Constant: _constants,
    ast.Call: _called,
    ast.Compare: _compared,
    ast.BoolOp: _joined,
    ast.BinOp: _reckoned,
    ast.Lambda: _keys,
    ast.UnaryOp: lambda node: iter([node.operand]),
    ast.IfExp: lambda node: iter([node.body, node.orelse]),
    ast.comprehension: lambda node: (_with(node, ifs=fewer) for fewer in _without_one(node.ifs)),
    ast.JoinedStr: lambda node: (_with(node, values=fewer) for fewer in _without_one(node.values)),
}


def _without_one(held: list[Any]) -> Iterator[list[Any]]:
    yield from (held[:i] + held[i + 1 :] for i in range(len(held)))


def _with(node: ast.AST, **fields: Any) -> Any:
    """Return a node with other fields; the node itself hangs in the tree and stays as it is."""
    other = copy.copy(node)
    for name, value in fields.items():
        setattr(other, name, value)
    return other
