"""A name in old notes is stage and method: parted where both can be told, left whole where not."""

from __future__ import annotations

import pytest

from shopclock.exchange.notes.match import Match, match, part_method, with_methods

SHOP = {"Grind bevels": ["freehand", "jig"], "Shape handle": ["belt", "rasp"], "Harden": []}


def one(written: str) -> Match:
    (found,) = with_methods(match([written], SHOP, {}), SHOP)
    return found


@pytest.mark.parametrize(
    ("written", "rest", "method"),
    [
        ("bevels free hand", "bevels", "freehand"),
        ("Bevels, with jig", "Bevels", "jig"),
        ("jig bevels", "bevels", "jig"),
        ("Fase Vorrichtung", "Fase", "jig"),
        ("Fase freihand", "Fase", "freehand"),
        ("\u00e9mouture \u00e0 main lev\u00e9e", "\u00e9mouture", "freehand"),
        ("jig", "jig", ""),
        ("drill", "drill", ""),
    ],
)
def test_a_method_is_parted_by_any_word_for_it(written: str, rest: str, method: str) -> None:
    assert part_method(written, ["freehand", "jig"]) == (rest, method)


def test_a_way_that_the_shop_has_not_is_called_as_the_notes_do() -> None:
    assert part_method("Fase Vorrichtung", []) == ("Fase", "Vorrichtung")


def test_the_stage_is_the_one_that_has_these_words_and_this_method() -> None:
    assert one("bevels free hand") == Match("bevels free hand", "Grind bevels", True, True, "freehand")
    assert one("handle belt") == Match("handle belt", "Shape handle", True, True, "belt")


def test_a_stage_without_this_method_is_not_meant() -> None:
    assert one("scales jig") == Match("scales jig", "scales", False, False, "jig")


def test_the_shops_own_name_is_not_parted() -> None:
    assert one("Harden") == Match("Harden", "Harden", True, False)


def test_new_names_are_one_in_any_capitals() -> None:
    found = with_methods(match(["Fase Vorrichtung", "fase freihand"], {}, {}), {})
    assert [(m.name, m.method) for m in found] == [("Fase", "Vorrichtung"), ("Fase", "freihand")]
