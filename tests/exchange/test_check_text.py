"""What check says of work that still runs."""

from types import SimpleNamespace

from shopclock.exchange.check_text import running_text
from shopclock.shop.work import begin, pieces
from tests.shop.workshop import Shop


def test_work_that_letters_split_runs_since_it_was_begun() -> None:
    shop = Shop(3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(16)
    shop.press(lambda tx: pieces.cover(tx, shop.runs(), shop.pieces("AB")))
    row = SimpleNamespace(id=shop.runs().id, step="Saw", stage="Saw", batch="26-01")
    said = running_text(row, shop.floor, shop.clock.now_us)  # type: ignore[arg-type]  # as much of a row as is read
    assert said == "Still running: Saw of 26-01, since 21:00."
