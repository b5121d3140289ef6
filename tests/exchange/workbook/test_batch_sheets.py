"""What the sheets of batches and costs tell is the program's own, batch by batch."""

import re
import zipfile
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from shopclock.analysis.money.cost import lowest_price
from shopclock.analysis.money.earnings import earned, spread
from shopclock.exchange.workbook.export import export_record
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.setup.rates import rates
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import rounded
from tests.exchange.read_workbook import Row, read_workbook

NOW_US = 1_792_868_400_000_000


@pytest.fixture(scope="module")
def book(demo: Path) -> Path:
    path = demo.with_suffix(".xlsx")
    with ReadOnlyRecord.open(demo) as reading:
        export_record(reading, path, ZoneInfo("Europe/Vienna"), ExportOptions(now_us=NOW_US))
    return path


def _by_name(book: Path, sheet: str) -> dict[str, Row]:
    return {str(row["Batch"][1]): row for row in read_workbook(book)[sheet]}


def test_a_batch_costs_and_earns_what_the_program_says(demo: Path, book: Path) -> None:
    rows, told, begun = _by_name(book, "Costs"), 0, 0
    with ReadOnlyRecord.open(demo) as reading:
        floor, own = reading.floor, rates(reading.floor)
        over = spread(floor, reading.reads.intervals(), NOW_US)
        for batch in floor.all(Batch):
            row = rows[batch.name]
            figured = figures(reading.load_batch(batch.id), batch.id, NOW_US)
            if figured.at_least:
                with pytest.raises(ShopError, match=re.escape(str(row["Why not"][1]))):
                    earned(floor, figured, over)
                continue
            told += 1
            found = earned(floor, figured, over)
            done = not figured.so_far or figured.all_through
            begun += not done
            for head, value in {
                "Labour a piece (EUR)": found.cost.labour,
                "Carried a piece (EUR)": found.cost.carried,
                "Fees a piece (EUR)": found.fees,
                "Cost of a piece (EUR)": found.total,
                "Cost of all (EUR)": found.total * figured.finished,
                "Lowest price (EUR)": lowest_price(found.cost, own) if done else None,
                "Price of a piece (EUR)": found.price,
                "Earned an hour (EUR)": found.hour,
            }.items():
                assert (value is None) == (not done and head in ("Lowest price (EUR)", "Earned an hour (EUR)"))
                assert row.get(head, ("", None))[1] == (None if value is None else float(rounded(value, "EUR")))
    assert told > 20
    assert begun > 0


def test_a_row_of_batches_adds_up_to_what_the_program_says(demo: Path, book: Path) -> None:
    rows = _by_name(book, "Batches")
    with ReadOnlyRecord.open(demo) as reading:
        for batch in reading.floor.all(Batch):
            told, row = figures(reading.load_batch(batch.id), batch.id, NOW_US), rows[batch.name]
            assert row["Finished (pieces)"][1] == told.finished
            assert float(row["Spent (min)"][1]) == pytest.approx(told.whole.all_us / 60e6, rel=1e-15)
            assert round(float(row["Spent (h:mm)"][1]) * 86_400e6) == told.whole.all_us
            each = [float(row[head][1]) for head in ("Its own (min)", "Carried (min)", "Per finished piece (min)")]
            assert each[0] + each[1] == pytest.approx(each[2], rel=1e-12)
            assert each[2] == pytest.approx(told.whole.per_finished_min, rel=1e-15)


def test_charts_are_fed_by_cells_of_the_first_two_sheets(book: Path) -> None:
    """Each series has a head, names and figures that stand in one table, a row for each batch."""
    with zipfile.ZipFile(book) as parts:
        front, table = (parts.read(f"xl/worksheets/sheet{n}.xml").decode() for n in (1, 2))
        charts = [parts.read(f"xl/charts/chart{n}.xml").decode() for n in (1, 2)]
    bars = [re.findall(r"<c:f>Figures!([^<]+)</c:f>", series) for series in charts[0].split("<c:ser>")[1:]]
    assert len(bars) == 9
    for head, names, values in bars:
        first, last = map(int, re.findall(r"\d+", names))
        assert (int(re.findall(r"\d+", head)[0]), last - first + 1) == (first - 1, 12)
        assert re.findall(r"\d+", values) == re.findall(r"\d+", names)
        column = head.split("$")[1]
        assert all(f'<c r="{column}{row}"' in table for row in range(first - 1, last + 1))
    days, minutes = re.findall(r"<c:f>Front!([^<]+)</c:f>", charts[1])
    assert re.findall(r"\d+", days) == re.findall(r"\d+", minutes)
    assert front.count("<f>") > 30
    assert table.count("<f>") > 100
    assert front.count('<dataValidation type="list"') == 2


def test_figures_is_one_table_to_a_program_that_reads_it(book: Path, demo: Path) -> None:
    """Read as pandas does without being told anything but the sheet's name: heads first, a column a kind of value."""
    from pandas import api, read_excel

    table = read_excel(book, sheet_name="Figures", engine="calamine")
    heads = [str(head) for head in table.columns]
    assert (heads[:3], heads[-2:]) == (["Batch", "Started", "Pattern"], ["Other stages", "All"])
    assert not any(head.startswith("Unnamed") for head in heads)
    assert not table.isna().to_numpy().any()
    assert api.types.is_datetime64_any_dtype(table["Started"])
    assert all(api.types.is_float_dtype(table[head]) for head in heads[3:])
    with ReadOnlyRecord.open(demo) as reading:
        whole = {b.name: figures(reading.load_batch(b.id), b.id, NOW_US).whole for b in reading.floor.all(Batch)}
    assert len(table) == 12
    for name, *stages, in_all in table[["Batch", *heads[3:]]].itertuples(index=False):
        assert in_all == pytest.approx(whole[name].per_finished_min, rel=1e-12)
        assert sum(stages) == pytest.approx(in_all, abs=1e-5)
