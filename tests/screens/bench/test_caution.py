"""A caution is one line on the plate, once a day: of work while it runs, of a wait until the next press."""

from shopclock.record.press.record import Record
from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import CautionShown
from shopclock.views.button import Press
from tests.screens.bench.workshop import Workshop

SAW = "Eye protection on; fingers clear of the saw blade."
GLASS = "An untempered blade is glass: don't drop, bend or tap it."


def reopened(shop: Workshop) -> Workshop:
    shop.record.close()
    return Workshop(Record.open(shop.record.path, shop.clock), shop.clock)


def test_after_a_restart_on_the_same_day_it_is_not_said_again(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    assert shop.start("Saw out").plate.caution == SAW
    shop.clock.go(5)
    again = reopened(shop)
    assert again.running_names() == ["Saw out"]
    assert again.state.plate.caution == ""
    again.press(Verb.STOP)
    assert again.press(Verb.CARRY_ON, 5).plate.caution == ""
    again.record.close()


def test_undo_takes_it_back_with_the_start(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.UNDO)
    assert not list(shop.record.floor.all(CautionShown))
    assert shop.start("Saw out").plate.caution == SAW


def test_a_wait_begun_beside_work_says_its_caution_until_the_next_press(shop: Workshop) -> None:
    hard = shop.batch("Paring 95", 3)
    soft = shop.batch("Oyster", 3)
    shop.start("Saw out", soft)
    assert shop.start("Temper 1", hard, 5).plate.caution == GLASS
    shop.clock.go(1)
    assert shop.state.plate.caution == GLASS
    shop.press(Press(Verb.BATCH, soft.id), 1)
    assert shop.state.plate.caution == SAW
    assert not shop.dialogs.asked


def test_where_nothing_is_by_hand_it_stands_in_the_line_of_the_plate(shop: Workshop) -> None:
    cooks = shop.batch("Cook's 180", 3, "Kitchen knife")
    for _ in range(3):
        shop.start("Temper 1", cooks)
        assert shop.state.plate.line == GLASS
        shop.press(Verb.UNDO)
