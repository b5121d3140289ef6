"""Old notes that are brought in at the desk."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.exchange.notes.notes import NotesAnswers, draft_notes
from shopclock.exchange.notes.notes_in import here_in, take_in
from shopclock.record.check.check import check
from shopclock.shop.values.entities import ImportFile, Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty
from tests.record.desk.at_desk import Desk, joined
from tests.record.on_disk import DiskShop

NOTES = """Date,Batch,Pattern,Stage,Length,Pieces
2019-01-09,L1,{pattern},Bevel,1:20,4
2019-01-10,L1,{pattern},Saw,95 min,4
"""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 4, 2)
    yield made
    made.close()


def test_old_notes_come_in_at_the_desk_and_back_with_it(shop: DiskShop, tmp_path: Path) -> None:
    """They are older than the handing-over, whenever they are typed; brought in again in the shop they add nothing."""
    desk, file = Desk(shop), tmp_path / "notebook.csv"
    file.write_text(NOTES.format(pattern=shop.pattern.name), encoding="utf-8")
    take_in(desk.record, draft_notes(desk.record, file, NotesAnswers(), here_in(desk.record)))
    desk.close()
    joined(shop, desk)
    lengths = [
        (i.end_us - i.start_us) // 60_000_000
        for i in shop.floor.all(Interval)
        if i.end_us is not None and i.start_sure is Certainty.ESTIMATED
    ]
    assert sorted(lengths) == [80, 95]
    assert [one.name for one in shop.floor.all(ImportFile)] == ["notebook.csv"]
    with pytest.raises(Refusal, match="was brought in already"):
        draft_notes(shop.record, file, NotesAnswers(), here_in(shop.record))
    assert check(shop.path) == []
    shop.undo()
    assert list(shop.floor.all(ImportFile)) == []
    assert check(shop.path) == []
