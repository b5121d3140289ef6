"""What a thing is by the presses that stand: the last one has each group of fields, and a move moves what there is."""

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.state.fold import GROUPS, SEVERAL, Move, Part, fold, folded
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Entity, Interval, Piece, Question, Reading, Setting
from shopclock.shop.values.instants import INSTANTS
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, QuestionReason

HOUR = 3_600_000_000
BEVEL = Interval(
    id=4, uuid="u", stage_id=1, maker_id=1, kind=Kind.HANDS_ON, start_us=10 * HOUR, end_us=11 * HOUR, pieces=(1, 2, 3)
)
PIECE = Piece(id=2, uuid="p", batch_id=1, position=1, mark="B")


def made(thing: Entity) -> Part:
    return Part(Change(None, thing))


def changed(before: Entity, **values: object) -> Part:
    return Part(Change(before, replace(before, **values)))


def test_nothing_made_is_nothing() -> None:
    assert fold([]) is None
    assert fold([Part(Change(BEVEL, replace(BEVEL, method_id=3)))]) is None
    assert fold([Part(move=Move(0, None, HOUR))]) is None


def test_what_was_made_is_there_until_it_goes_and_stays_gone() -> None:
    assert fold([made(BEVEL)]) == BEVEL
    gone = Part(Change(BEVEL, None))
    assert fold([made(BEVEL), gone]) is None
    assert fold([made(BEVEL), gone, changed(BEVEL, method_id=3)]) is None
    assert fold([made(BEVEL), Part(Change(replace(BEVEL, method_id=3), None))]) is None
    assert fold([made(BEVEL), gone, made(BEVEL)]) == BEVEL


def test_a_later_press_keeps_what_it_changed_when_an_earlier_one_is_not_folded() -> None:
    first = changed(BEVEL, method_id=3)
    later = changed(replace(BEVEL, method_id=3), together=True)
    assert fold([made(BEVEL), first, later]) == replace(BEVEL, method_id=3, together=True)
    assert fold([made(BEVEL), later]) == replace(BEVEL, together=True)


def test_of_one_field_the_last_press_counts() -> None:
    first = changed(BEVEL, method_id=3)
    later = changed(replace(BEVEL, method_id=3), method_id=5)
    assert fold([made(BEVEL), later]) == replace(BEVEL, method_id=5)
    back = changed(replace(BEVEL, method_id=5), method_id=None)
    assert fold([made(BEVEL), first, later, back]) == BEVEL


@pytest.mark.parametrize(
    ("thing", "first", "later", "alone"),
    [
        # An end with its certainty: the later press said the certainty of its own end.
        (
            BEVEL,
            {"end_us": 12 * HOUR, "end_sure": Certainty.ESTIMATED},
            {"end_us": 13 * HOUR},
            {"end_us": 13 * HOUR, "end_sure": Certainty.ESTIMATED},
        ),
        # A start is another group than an end.
        (BEVEL, {"end_us": 12 * HOUR}, {"start_us": 9 * HOUR}, {"start_us": 9 * HOUR}),
        # An outcome with its step, reason and instant.
        (
            PIECE,
            {"outcome": Outcome.SCRAPPED, "lost_step_id": 7, "reason": "cracked", "ended_us": HOUR},
            {"reason": "warped"},
            {"outcome": Outcome.SCRAPPED, "lost_step_id": 7, "reason": "warped", "ended_us": HOUR},
        ),
        (PIECE, {"outcome": Outcome.FINISHED, "ended_us": HOUR}, {"number": "12"}, {"number": "12"}),
    ],
)
def test_a_group_of_fields_is_said_as_a_whole(
    thing: Entity, first: dict[str, object], later: dict[str, object], alone: dict[str, object]
) -> None:
    after = replace(thing, **first)
    assert fold([made(thing), changed(thing, **first), changed(after, **later)]) == replace(after, **later)
    assert fold([made(thing), changed(after, **later)]) == replace(thing, **alone)


def test_a_reading_goes_with_its_unit() -> None:
    reading = Reading(
        id=1, kind_id=1, step_id=1, piece_id=1, load_id=None, target=None, target_unit="mm", measured="0.2", unit="mm",
        at_us=HOUR,
    )  # fmt: skip
    inches = replace(reading, measured="1/64", unit="in")
    again = replace(inches, measured="1/32")
    assert fold([made(reading), Part(Change(inches, again))]) == replace(reading, measured="1/32", unit="in")


def test_who_is_in_an_interval_is_said_piece_by_piece() -> None:
    without_b = changed(BEVEL, pieces=(1, 3))
    with_h = Part(Change(replace(BEVEL, pieces=(1, 3)), replace(BEVEL, pieces=(1, 3, 8))))
    assert fold([made(BEVEL), without_b, with_h]) == replace(BEVEL, pieces=(1, 3, 8))
    assert fold([made(BEVEL), with_h]) == replace(BEVEL, pieces=(1, 2, 3, 8))
    assert fold([made(BEVEL), without_b, changed(BEVEL, method_id=2)]) == replace(BEVEL, pieces=(1, 3), method_id=2)


def test_pieces_stay_in_the_order_in_which_they_were_written() -> None:
    by_mark = replace(BEVEL, pieces=(3, 1, 2, 9))
    assert fold([made(BEVEL), Part(Change(BEVEL, by_mark))]) == by_mark
    turned = changed(BEVEL, pieces=(3, 2, 1))
    assert fold([made(BEVEL), turned]) == replace(BEVEL, pieces=(3, 2, 1))
    elsewhere = changed(BEVEL, method_id=3)
    assert fold([made(BEVEL), elsewhere, Part(Change(BEVEL, by_mark))]) == replace(by_mark, method_id=3)


def test_a_setting_s_name_and_value_are_no_group() -> None:
    setting = Setting(id=1, name="theme", value="dark")
    assert folded(replace(setting, value="paper"), changed(setting, name="look")) == replace(
        setting, name="look", value="paper"
    )


def test_every_group_is_of_fields_that_there_are() -> None:
    for kind, groups in GROUPS.items():
        names = [name for group in groups for name in group]
        assert set(names) <= {field.name for field in fields(kind)} - {"id", "uuid", SEVERAL}
        assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("us", "lies_at"), [(HOUR - 1, HOUR - 1), (HOUR, HOUR + 7), (2 * HOUR - 1, 2 * HOUR + 6), (2 * HOUR, 2 * HOUR)]
)
def test_a_move_moves_from_one_instant_on_before_another(us: int, lies_at: int) -> None:
    assert Move(HOUR, 2 * HOUR, 7).at(us) == lies_at
    assert Move(HOUR, None, 7).at(max(us, HOUR)) == max(us, HOUR) + 7


def test_a_move_moves_every_instant_and_no_length() -> None:
    question = Question(
        id=1, why=QuestionReason.SET, about_id=None, asked_us=5, sure_us=3, boot_id="b", shift_us=9, answered_us=None
    )
    assert Move(4, None, 100).of(question) == replace(question, asked_us=105)
    assert Move(0, None, 100).of(question) == replace(question, asked_us=105, sure_us=103)
    assert Move(6, None, 100).of(question) is question
    assert Move(0, None, 100).of(Setting(id=1, name="theme", value="dark")).id == 1


def test_what_a_move_finds_moves_also_where_an_earlier_press_is_not_folded() -> None:
    """The end was pressed, amended, then the clock put right: without the amendment, the pressed end has moved too."""
    amended = changed(BEVEL, end_us=10 * HOUR + 30, end_sure=Certainty.AMENDED)
    before = replace(BEVEL, end_us=10 * HOUR + 30, end_sure=Certainty.AMENDED)
    move = Move(5 * HOUR, None, -HOUR)
    right = Part(Change(before, move.of(before)), move)
    assert fold([made(BEVEL), amended, right]) == move.of(before)
    assert fold([made(BEVEL), right]) == move.of(BEVEL)
    assert fold([made(BEVEL), Part(move=move)]) == move.of(BEVEL)


def test_what_else_the_press_of_a_move_changed_is_folded_field_by_field() -> None:
    guessed = replace(BEVEL, end_us=None, start_sure=Certainty.ESTIMATED)
    move = Move(5 * HOUR, None, HOUR)
    sure = replace(move.of(guessed), start_sure=Certainty.PRESSED)
    later_start = replace(guessed, start_us=9 * HOUR)
    assert fold([made(guessed), Part(Change(guessed, sure), move)]) == sure
    assert fold([made(later_start), Part(Change(guessed, sure), move)]) == replace(sure, start_us=10 * HOUR)
    assert folded(None, Part(Change(guessed, sure), move)) is None


VALUES = {
    "method_id": st.integers(1, 4),
    "together": st.booleans(),
    "start_us": st.integers(0, 20).map(lambda n: n * HOUR),
    "end_us": st.integers(20, 40).map(lambda n: n * HOUR),
    "end_sure": st.sampled_from(Certainty),
    "pieces": st.sets(st.integers(1, 5), min_size=1).map(lambda found: tuple(sorted(found))),
}
CHANGES = st.lists(
    st.one_of(
        st.dictionaries(st.sampled_from(sorted(VALUES)), st.integers(0, 99), min_size=1, max_size=3).flatmap(
            lambda names: st.fixed_dictionaries({name: VALUES[name] for name in names})
        ),
        st.builds(Move, st.integers(0, 40).map(lambda n: n * HOUR), st.none(), st.integers(-2, 2)),
    ),
    max_size=8,
)


def story(steps: list[dict[str, object] | Move]) -> list[Part]:
    """A stretch that is made and changed step by step, as one bench alone would."""
    thing, parts = BEVEL, [made(BEVEL)]
    for step in steps:
        if isinstance(step, Move):
            after: Entity = step.of(thing)
            parts.append(Part(Change(thing, after), step))
        else:
            after = replace(thing, **step)  # type: ignore[arg-type]  # of what VALUES gives
            parts.append(Part(Change(thing, after)))
        assert isinstance(after, Interval)
        thing = after
    assert fold(parts) == thing
    return parts


@given(CHANGES)
def test_folded_whole_it_is_what_it_was_left_as(steps: list[dict[str, object] | Move]) -> None:
    story(steps)


@given(CHANGES, st.integers(0, 7))
def test_without_the_last_so_many_it_is_what_it_was_before_them(
    steps: list[dict[str, object] | Move], left: int
) -> None:
    parts = story(steps)
    change = parts[min(left, len(parts) - 1)].change
    assert change is not None
    assert fold(parts[: min(left, len(parts) - 1) + 1]) == change.after


@given(CHANGES, st.data())
def test_each_group_is_as_the_last_folded_press_left_it(
    steps: list[dict[str, object] | Move], data: st.DataObject
) -> None:
    """Whatever is left out: asked field by field and piece by piece, of plain changes, with no fold at hand."""
    parts = story([step for step in steps if not isinstance(step, Move)])
    kept = [parts[0], *(part for part in parts[1:] if data.draw(st.booleans()))]
    found = fold(kept)
    assert isinstance(found, Interval)
    for group in (("method_id",), ("together",), ("start_us", "start_sure"), ("end_us", "end_sure")):
        changes = [part.change for part in kept if part.change is not None]
        values = [
            tuple(getattr(c.after, name) for name in group)
            for c in changes
            if c.before is None or any(getattr(c.before, name) != getattr(c.after, name) for name in group)
        ]
        assert tuple(getattr(found, name) for name in group) == values[-1]
    here: set[int] = set()
    for change in (part.change for part in kept if part.change is not None):
        was, now = (set(side.pieces) if isinstance(side, Interval) else set() for side in (change.before, change.after))
        then = {p for p in here | now if (p in now - was) or (p in here and p not in was - now)}
        here = then or here  # somebody has to be in it: what takes the last out doesn't count
    assert set(found.pieces) == here


def test_every_kind_with_an_instant_is_known() -> None:
    assert all(set(names) <= {field.name for field in fields(kind)} for kind, names in INSTANTS.items())
