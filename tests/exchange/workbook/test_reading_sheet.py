"""The sheet of readings says what was entered, and how it lies to its limits."""

from pathlib import Path
from zoneinfo import ZoneInfo

from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import ReadingKind
from shopclock.shop.work import batches, readings
from tests.exchange.read_workbook import read_workbook
from tests.exchange.shop_story import START_US, Story
from tests.shop.starters import starters


def test_each_reading_is_a_row_of_its_batch(tmp_path: Path) -> None:
    story = Story(tmp_path / "a.shopclock")
    route = next(r for r in starters() if r.name == "Stock removal, carbon steel")
    pattern = story.press(0, lambda tx: patterns.copy_route(tx, route, "Paring 95"))
    kind = next(k for k in story.floor.all(ReadingKind) if k.unit == "in")
    made = [story.press(1, lambda tx, n=n: batches.start_batch(tx, pattern, 2, n)) for n in ("one", "two")]
    for batch, typed in zip(made, ("3/32", "8 thou"), strict=True):
        step = readings.step_for(story.floor, kind, batch, None, None)
        piece = story.floor.pieces(batch.id)[1] if batch.name == "one" else None
        story.press(1, lambda tx, s=step, p=piece, t=typed: readings.take(tx, kind, s, p, t))
    story.record.close()
    options = ExportOptions(now_us=START_US, batch_ids=None)
    with ReadOnlyRecord.open(tmp_path / "a.shopclock") as reading:
        export_record(reading, tmp_path / "all.xlsx", ZoneInfo("Europe/Vienna"), options)
        only = ExportOptions(now_us=START_US, batch_ids=frozenset({made[1].id}))
        export_record(reading, tmp_path / "two.xlsx", ZoneInfo("Europe/Vienna"), only)
    first, second = read_workbook(tmp_path / "all.xlsx")["Readings"]
    assert (first["Batch"][1], first["Piece"][1], first["Measured"][1]) == ("one", "B", "3/32 in")
    assert (float(first["Measured (value)"][1]), first["Outside"][1]) == (0.09375, "above 0.01 in")
    assert (first["Low"][1], first["High"][1], first["Common practice"][1]) == ("0.005 in", "0.01 in", "yes")
    assert second["Measured"][1] == "8 thousandths"
    assert "Piece" not in second
    assert "Outside" not in second
    assert [row["Batch"][1] for row in read_workbook(tmp_path / "two.xlsx")["Readings"]] == ["two"]
