"""What is made of a source, and what is said of the mutants of it that survived."""

import ast

import pytest

from tests.mutation.__main__ import TARGETS, TOP, equivalent, judged
from tests.mutation.mutants import Mutant, mutants


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("a < b", {"a <= b", "a >= b"}),
        ("a >= b", {"a > b", "a < b"}),
        ("a is b", {"a is not b"}),
        ("a not in b", {"a in b"}),
        ("a and b and c", {"a or b or c", "b and c", "a and c", "a and b"}),
        ("a or b", {"a and b", "a", "b"}),
        ("not a", {"a"}),
        ("a + b", {"a - b"}),
        ("a // b", {"a * b", "a / b"}),
        ("7", {"6", "8"}),
        ("True", {"False"}),
        ("'so'", {"''"}),
        ("f'so {a}'", {"f'so '", "f'{a}'"}),
        ("a if b else c", {"a", "c"}),
        ("[i for i in a if i if j]", {"[i for i in a if i]", "[i for i in a if j]"}),
        ("sorted(a, key=b)", {"list(a)", "sorted(a)"}),
        ("min(a)", {"max(a)"}),
        ("a.strip()", {"a"}),
        ("a.of(b, c)", {"a.of(b)"}),
        ("zip(a, strict=True)", set()),
        ("(Per.PIECE, Per.BATCH)", {"(Per.BATCH, Per.BATCH)", "(Per.PIECE, Per.PIECE)"}),
        ("i.start_us", {"i.end_us"}),
        ("lambda i: (i.a, i.b)", {"lambda i: (i.a,)", "lambda i: (i.b,)"}),
    ],
)
def test_an_expression_is_broken_in_every_small_way(right: str, wrong: set[str]) -> None:
    told = [mutant.now for mutant in mutants(f"found = {right}")]
    assert sorted(told) == sorted(["pass", *(f"found = {one}" for one in wrong)])


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("found += a", ["pass", "found -= a", "found = a"]),
        ("def f(): return a", ["return None"]),
        ("if a: found()", ["if True:", "pass"]),
        ("if a: return b", ["if True:", "if False:", "return None"]),
        ("if a: b()\nelse: c()", ["if True:", "if False:", "pass", "pass"]),
        ("while a: found()", ["pass", "pass"]),
        ("raise a", ["pass"]),
    ],
)
def test_a_statement_is_broken_in_every_small_way(right: str, wrong: list[str]) -> None:
    assert [mutant.now for mutant in mutants(right)] == wrong


@pytest.mark.parametrize(
    "source",
    [
        "from a import b", '"""Said of it."""', "def f(a: int) -> None:\n    '''Says so.'''",
        "@some(1)\nclass A:\n    b: int", "if TYPE_CHECKING:\n    A = 1", "def f(): return None",
    ],
)  # fmt: skip
def test_what_bears_on_no_result_is_left_alone(source: str) -> None:
    assert mutants(source) == []


def test_a_mutant_says_where_it_is_and_of_long_lines_what_differs() -> None:
    long = ", ".join(f"argument_{i}=other.argument_{i}" for i in range(9))
    source = f"class Some:\n    def made(self):\n        return Other({long}, last=a < b)\n"
    made = {mutant.now: mutant for mutant in mutants(source)}
    found = made["last=a <= b"]
    assert (found.place, found.was) == ("Some.made", "last=a < b")
    assert ast.unparse(ast.parse(source.replace("a < b", "a <= b"))) == found.source


def test_two_that_are_told_alike_are_numbered() -> None:
    assert [m.now for m in mutants("a()\na()")] == ["pass", "pass  # 2"]


def test_survivors_have_to_be_listed_and_listed_ones_to_survive() -> None:
    one, other, third = (Mutant("f", was, "pass", "") for was in ("a()", "b()", "c()"))
    listed = {other.key: "", third.key: "", ("f", "d()", "pass"): ""}
    assert judged([one, other, third], [one, other], listed) == [
        "survived: in f\n    a()\n    pass",
        "listed as equivalent but killed: in f\n    c()\n    pass",
        "listed as equivalent but not there: in f\n    d()\n    pass",
    ]
    assert judged([one, other], [other], {other.key: ""}) == []


@pytest.mark.parametrize("name", TARGETS)
def test_what_is_listed_as_equivalent_is_a_mutant_and_has_its_reason(name: str) -> None:
    keys = {mutant.key for mutant in mutants((TOP / TARGETS[name].path).read_text("utf-8"))}
    assert set(equivalent(name)) <= keys
    assert all(len(why.split()) > 3 for why in equivalent(name).values())
