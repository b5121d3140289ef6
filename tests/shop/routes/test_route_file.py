"""A route file with an error gets one sentence: file, line, what is wrong, what is expected."""

import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopclock.shop.routes.route_file import RouteFileError, StarterRoutes, load_route, read_route
from shopclock.shop.routes.starter_route import Outline
from shopclock.shop.values.kinds import Kind, RuleKind
from tests.shop.route_example import GOOD, said_of

IN_TOML = 'key = value, with texts in "quotes"'

BAD_WORDS = [
    ('"hands-on"', '"handson"', 10, 'kind is "handson"', "hands-on, watch, wait or away"),
    ('"hands-on"', "3", 10, "kind is 3", "hands-on, watch, wait or away"),
    ('kind = "hands-on"\n', "", 8, "kind is missing", 'a line kind = "..." here'),
    ('stage = "Harden"\n', "", 14, "stage is missing", 'a line stage = "..." here'),
    ('name = "Oyster knife"\n', "", 1, "name is missing", 'a line name = "..." here'),
    ('"Oyster knife"', "12", 1, "name is 12", 'text in "quotes"'),
    ('"Oyster knife"', '" "', 1, "name is empty", "a word or two"),
    ('"Oyster knife"', f'"{"x" * 41}"', 1, "name is 41 letters long", "at most 40, so that it fits on the screen"),
    ('"blade"', '"fish"', 2, 'outline is "fish"', "blade or bar"),
    ("outline", "outlin", 2, "outlin is not known in the head of a route", "outline"),
    ('outline = "blade"', 'note = "a\\u0007b"', 2, "note has a letter that can not be shown", "plain text"),
    ("minutes = 6", "minuts = 6", 12, "minuts is not known in [[step]]", "minutes"),
    ("low = 57", "lowest = 57", 28, "lowest is not known in [[step.reading]]", "low"),
    ("capacity = 5", "colour = 5", 6, "colour is not known in [[tool]]", "name or capacity"),
    ('"Temper 1"', f'"{"x" * 41}"', 22, "name is 41 letters long", "at most 40, so that it fits on the screen"),
    ('"Temper 1"', f'"{"焼" * 21}"', 22, "name is 42 letters long", "at most 40, so that it fits on the screen"),
    ('"Temper 1"', '"…"', 20, 'key is ""', "small letters and figures joined by -"),
    ('name = "Temper 1"', 'key = "Temper 1"', 22, 'key is "Temper 1"', "small letters and figures joined by -"),
    ('"Drill holes"', '"Drill\\u200bholes"', 9, "stage has a letter that can not be shown", "plain text"),
    ('["by eye", "jig"]', '["jig", "Jig"]', 11, 'methods "Jig" is given twice', "each one once"),
    ('["by eye", "jig"]', '"jig"', 11, 'methods is "jig"', 'a list of texts such as ["freehand", "jig"]'),
    ('["by eye", "jig"]', "[1, 2]", 11, "methods is a list", 'a list of texts such as ["freehand", "jig"]'),
    ('["by eye", "jig"]', '["jig", ""]', 11, "methods is empty", "a word or two"),
    ("minutes = 6", 'worked = "one at a time"', 12, 'worked is "one at a time"', "one by one or in rounds"),
    ("minutes = 6", "common_practice = 1", 12, "common_practice is 1", "true or false, without quotes"),
    ('"blade"', '"blade', 2, "this can not be read", IN_TOML),
    ('"blade"', "blade", 2, "this can not be read", IN_TOML),
    ("[[rule]]", "[[rule", 32, "this can not be read", IN_TOML),
    ('limit = "60 min"', 'limit = ["60 min"', 36, "this can not be read", IN_TOML),
    (
        "minutes = 6",
        "minutes = 6\nminutes = 7",
        13,
        "this stands here for the second time",
        "each key once in its table",
    ),
]


@pytest.mark.parametrize(("good", "bad", "line", "what", "expected"), BAD_WORDS)
def test_a_bad_word_gets_one_sentence_with_its_line(good: str, bad: str, line: int, what: str, expected: str) -> None:
    assert said_of(good, bad) == f"routes/mine.toml, line {line}: {what}; expected {expected}."


def test_a_route_of_three_steps_is_read_with_what_it_leaves_out() -> None:
    route = read_route(GOOD, "mine.toml")
    drill, harden, temper = route.steps
    (rule,) = route.rules
    assert (route.outline, route.piece, route.pieces, route.note) == (Outline.BLADE, "piece", "pieces", "")
    assert (drill.key, drill.name, drill.methods, drill.minutes) == ("drill-holes", "Drill holes", ("by eye", "jig"), 6)
    assert (harden.kind, harden.tool, harden.share, harden.wait_s) == (Kind.WATCH, "oven", 1, None)
    assert (temper.key, temper.stage, temper.wait_s, temper.begins_itself) == ("temper-1", "Temper", 7_200, False)
    assert (rule.kind, rule.first, rule.then, rule.limit_s) == (RuleKind.WITHIN, "harden", "temper-1", 3_600)


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n"])
def test_an_empty_file_lacks_its_name(text: str) -> None:
    with pytest.raises(RouteFileError, match=r"^x, line 1: name is missing"):
        read_route(text, "x")


def test_a_route_without_steps_is_refused() -> None:
    with pytest.raises(RouteFileError, match="the route has no steps; expected at least one"):
        read_route('name = "Nothing"\n', "x")


@pytest.mark.parametrize("value", ["9" * 5_000, "[" * 20_000])
def test_what_the_reader_chokes_on_is_still_one_sentence(value: str) -> None:
    with pytest.raises(RouteFileError, match=r"^x[:,] .*expected .*\.$"):
        read_route(f"name = {value}\n", "x")


def _said(text: str) -> str:
    try:
        return read_route(text, "x").name and "a route"
    except RouteFileError as error:
        return str(error)


@given(st.integers(0, len(GOOD)), st.integers(0, 30), st.text(st.sampled_from('[]{}"=.,#x1-\n\\\x00é'), max_size=4))
@example(at=GOOD.index("hands-on"), cut=0, put="\\n")
def test_however_a_file_is_spoilt_it_is_one_sentence_or_a_route(at: int, cut: int, put: str) -> None:
    spoilt = GOOD[:at] + put + GOOD[at + cut :]
    said = re.fullmatch(r"a route|x, line (\d+): [^\n]+; expected [^\n]+\.", _said(spoilt))
    assert said
    assert 1 <= int(said[1] or 1) <= spoilt.count("\n") + 1


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    with pytest.raises(RouteFileError) as raised:
        load_route(path)
    assert str(raised.value) == f"{path}: there is no such file; expected a route file (.toml)."


def test_a_folder_is_no_route_file(tmp_path: Path) -> None:
    with pytest.raises(RouteFileError) as raised:
        load_route(tmp_path)
    assert str(raised.value) == f"{tmp_path}: this is a folder; expected a route file (.toml)."


def test_a_file_in_another_encoding_is_told_with_the_line(tmp_path: Path) -> None:
    path = tmp_path / "old.toml"
    path.write_bytes(GOOD.replace("Harden", "Härten").encode("latin-1"))
    with pytest.raises(RouteFileError) as raised:
        load_route(path)
    assert str(raised.value) == f"{path}, line 15: this is not UTF-8 text; expected a file saved as UTF-8."


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_whatever_editor_saved_it_the_route_is_the_same(tmp_path: Path, encoding: str, newline: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(GOOD.replace("\n", newline).encode(encoding))
    assert load_route(path) == read_route(GOOD, "mine.toml")


def test_a_file_that_can_not_be_opened_says_so(tmp_path: Path) -> None:
    path = tmp_path / "loop.toml"
    path.symlink_to(path)
    with pytest.raises(RouteFileError, match=r"it can not be read \(.+\); expected a file that is yours to read\.$"):
        load_route(path)


def test_the_routes_of_a_folder_come_by_file_name_and_other_files_stay_out(tmp_path: Path) -> None:
    for file, name in (("b.toml", "Second"), ("a.toml", "First"), ("notes.txt", "Third")):
        (tmp_path / file).write_text(GOOD.replace("Oyster knife", name), encoding="utf-8")
    assert [route.name for route in StarterRoutes(tmp_path)] == ["First", "Second"]


def test_a_folder_that_is_missing_is_named(tmp_path: Path) -> None:
    with pytest.raises(RouteFileError, match="there is no such folder; expected route files"):
        StarterRoutes(tmp_path / "none")


def test_a_route_of_a_folder_is_read_when_it_is_asked_for(tmp_path: Path) -> None:
    for file, text in (("a.toml", GOOD), ("b.toml", "name = ")):
        (tmp_path / file).write_text(text, encoding="utf-8")
    routes = StarterRoutes(tmp_path)
    assert len(routes) == 2
    assert routes[0].name == "Oyster knife"
    assert routes[0] is routes[:1][0]
    with pytest.raises(RouteFileError, match=r"b\.toml, line 1"):
        tuple(routes)
