"""Copies and archives that an older version of the program made are no lost ones: they come back, brought up."""

from contextlib import closing
from pathlib import Path

from shopclock.record.check.check import check
from shopclock.record.copies import copying, restoring
from shopclock.record.copies.older import as_now
from shopclock.record.file.opening import version_of
from shopclock.record.file.schema import VERSION
from shopclock.record.press.record import Record
from tests.record.file.test_version_1 import EXPECTED, figures, later, opened, unpacked


def test_a_copy_of_version_1_comes_back_into_a_record_of_now(tmp_path: Path) -> None:
    copy = unpacked("story", tmp_path)
    record = tmp_path / "now.shopclock"
    copying.copy_to(copy, record)
    opened(record).close()
    assert (version_of(copy), version_of(record)) == (1, VERSION)
    assert restoring.lost(record, copy) == restoring.Lost(0, 0, 0)
    with closing(opened(record)) as now:
        now.undo()
    restoring.restore(record, copy, later().now_us)
    opened(record).close()
    assert check(record) == []
    assert figures(record) == EXPECTED["story"]["figures"]


def test_looking_at_an_older_file_leaves_it_as_it_is(tmp_path: Path) -> None:
    path = unpacked("evenings", tmp_path)
    before = path.read_bytes()
    with as_now(path) as now:
        assert check(now) == []
    assert path.read_bytes() == before
    assert not now.exists()


def test_a_file_of_now_is_looked_at_where_it_is(tmp_path: Path) -> None:
    path = tmp_path / "new.shopclock"
    Record.open(path, later(), make=True).close()
    with as_now(path) as now:
        assert now == path
