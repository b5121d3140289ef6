"""Questions one after another, and the field that takes what they end in."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Name, Number, Pick, Text, ask, choice, choose, field, length, options
from tests.fake_dialogs import FakeDialogs

if TYPE_CHECKING:
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

SIDES = {True: ("Left", "the far hand"), False: ("Right", "")}


def order() -> Asking[tuple[str, str, str]]:
    """Three questions, the third of which rests on the first."""
    name = yield from Text("Name", "Ada")
    count = yield from Number("How many", "2", ("mm", "in"), "whole ones", COUNT)
    end = yield from Pick(f"How does {name} end", (Choice("kept", "Kept"), Choice("lost", "Lost")))
    return name, count, end


def asked_for(asking: Asking[object], *answers: str | None) -> tuple[list[object], FakeDialogs]:
    """What it ends in, if it ends, and the dialogs that answered."""
    taken: list[object] = []
    dialogs = FakeDialogs([*answers])
    ask(dialogs, asking, taken.append)
    return taken, dialogs


def pressed(action: Action, *answers: str | None) -> FakeDialogs:
    """Press a field as its page does."""
    dialogs = FakeDialogs([*answers])
    ask(dialogs, action.act(None))
    return dialogs


def test_each_question_is_put_once_the_one_before_is_answered() -> None:
    taken, dialogs = asked_for(order(), "Bo", "3 mm", "lost")
    assert taken == [("Bo", "3 mm", "lost")]
    assert [(a.kind, a.words, a.start) for a in dialogs.asked] == [
        ("text", "Name", "Ada"),
        ("number", "How many", "2"),
        ("ask", "How does Bo end", ""),
    ]
    assert (dialogs.asked[1].units, dialogs.asked[1].note, dialogs.asked[1].signs) == (
        ("mm", "in"),
        "whole ones",
        COUNT,
    )
    assert [c.key for c in dialogs.asked[2].choices] == ["kept", "lost"]


@pytest.mark.parametrize("answers", [(None,), ("Bo", None), ("Bo", "3", None)])
def test_going_back_at_any_question_ends_it_and_nothing_is_taken(answers: tuple[str | None, ...]) -> None:
    taken, dialogs = asked_for(order(), *answers)
    assert taken == []
    assert len(dialogs.asked) == len(answers)


def test_a_refusal_between_two_questions_is_told_and_ends_it() -> None:
    def asking() -> Asking[str]:
        typed = yield from Text("First")
        if typed == "no":
            raise Refusal("That can't be. Nothing was changed.")
        return (yield from Text("Second"))

    taken, dialogs = asked_for(asking(), "no", "never asked")
    assert taken == []
    assert [a.words for a in dialogs.asked] == ["First", "That can't be. Nothing was changed."]
    assert asked_for(asking(), "yes", "then")[0] == ["then"]


def test_what_is_chosen_is_what_the_choice_stands_for() -> None:
    answers = [(Choice("1", "One"), "first"), (Choice("2", "Two"), "second")]
    assert asked_for(choose("Which", answers), "2")[0] == ["second"]


def test_the_value_that_holds_now_is_marked_among_the_options() -> None:
    taken, dialogs = asked_for(options("Which side", SIDES, False), "True")
    assert taken == [True]
    assert [(c.key, c.label, c.detail, c.checked) for c in dialogs.asked[0].choices] == [
        ("True", "Left", "the far hand", False),
        ("False", "Right", "", True),
    ]


@pytest.mark.parametrize(
    ("unit", "typed", "seconds"),
    [("minutes", "1", 60), ("hours", "1.5", 5_400), ("days", "366", 31_622_400), ("minutes", "0.999", 60)],
)
def test_a_length_is_in_seconds(unit: str, typed: str, seconds: int) -> None:
    assert asked_for(length("How long"), unit, typed)[0] == [seconds]


@pytest.mark.parametrize(("unit", "typed"), [("minutes", "0.9"), ("days", "366.1"), ("hours", "x"), ("days", "inf")])
def test_what_is_no_length_is_refused(unit: str, typed: str) -> None:
    taken, dialogs = asked_for(length("How long"), unit, typed)
    assert taken == []
    assert dialogs.asked[-1].words == f"{typed} {unit} is no length from a minute to a year. Nothing was changed."


def test_a_field_shows_its_value_and_hands_the_answer_to_what_takes_it() -> None:
    taken: list[str] = []
    name = field("name", "Name", "Ada", Text("Name of it", "Ada"), taken.append, role="raised", why_not="Not yet.")
    assert (name.key, name.title, name.detail, name.role, name.enabled) == ("name", "Name", "Ada", "raised", False)
    pressed(name, "Bo")
    assert taken == ["Bo"]


def test_a_choice_shows_the_title_of_what_holds_now() -> None:
    taken: list[bool] = []
    side = choice("side", "Side", "Which side", SIDES, False, taken.append)
    assert side.detail == "Right"
    pressed(side, "True")
    assert taken == [True]


def test_a_refusal_of_what_takes_the_answer_is_told() -> None:
    def take(_name: str) -> None:
        raise Refusal("It is taken. Nothing was changed.")

    assert pressed(field("name", "Name", "", Text("Name"), take), "Bo").asked[-1].words.startswith("It is taken.")


def test_a_name_that_is_too_long_stands_there_to_be_put_right() -> None:
    dialogs, taken = FakeDialogs(["Long" * 10 + "r", "", "Creek paring"]), []
    ask(dialogs, iter(Name("Name of the pattern")), taken.append)
    assert taken == ["Creek paring"]
    told = [(asked.kind, asked.start or asked.words) for asked in dialogs.asked]
    assert told[:3] == [
        ("text", "Name of the pattern"),
        ("tell", f"{'Long' * 10}r is too long: 41 of at most 40 letters. Nothing was changed."),
        ("text", "Long" * 10 + "r"),
    ]
    assert told[3] == ("tell", "A name is needed. Nothing was changed.")


def test_going_back_at_a_name_ends_it() -> None:
    dialogs, taken = FakeDialogs([None]), []
    ask(dialogs, iter(Name("Name of the pattern")), taken.append)
    assert (taken, len(dialogs.asked)) == ([], 1)
