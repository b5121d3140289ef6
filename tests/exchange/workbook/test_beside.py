import errno
import stat
from pathlib import Path

import pytest

from shopclock.exchange.workbook.beside import written_beside
from shopclock.shop.values.errors import ShopError


def test_what_is_written_takes_its_place_when_all_went_well(tmp_path: Path) -> None:
    target = tmp_path / "sheet.csv"
    target.write_text("old")
    target.chmod(0o640)
    with written_beside(target) as part:
        part.write_text("new")
        assert target.read_text() == "old"
    assert target.read_text() == "new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [target]


def test_a_new_file_may_be_read_by_whom_the_system_lets(tmp_path: Path) -> None:
    (tmp_path / "other").write_text("")
    with written_beside(tmp_path / "sheet.csv") as part:
        part.write_text("new")
    assert (tmp_path / "sheet.csv").stat().st_mode == (tmp_path / "other").stat().st_mode


@pytest.mark.parametrize("error", [KeyboardInterrupt(), ValueError("ours"), OSError(errno.ENOSPC, "full")])
def test_when_it_goes_wrong_the_old_file_stays_and_nothing_else(tmp_path: Path, error: BaseException) -> None:
    target = tmp_path / "sheet.csv"
    target.write_text("old")
    with pytest.raises((KeyboardInterrupt, ValueError, ShopError)):
        _write_half(target, error)
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def _write_half(target: Path, error: BaseException) -> None:
    with written_beside(target) as part:
        part.write_text("half")
        raise error


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "There is no room left to write"),
        (PermissionError(errno.EACCES, "Permission denied"), "another program has it open"),
        (OSError(errno.EIO, "Input/output error"), "can't be written (Input/output error)"),
    ],
)
def test_the_disks_errors_are_told_in_a_sentence(tmp_path: Path, error: OSError, said: str) -> None:
    with pytest.raises(ShopError) as raised, written_beside(tmp_path / "sheet.csv"):
        raise error
    assert said in str(raised.value)
    assert "Nothing was written." in str(raised.value)


def test_a_place_that_is_none_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "open.csv").write_text("old")
    (tmp_path / ".~lock.open.csv#").write_text("somebody")
    (tmp_path / "file").write_text("")
    for target, said in [
        (tmp_path, "is a folder"),
        (tmp_path / "none" / "sheet.csv", "There is no folder"),
        (tmp_path / "file" / "sheet.csv", "There is no folder"),
        (tmp_path / "open.csv", "is open in another program"),
        (Path("/dev/full"), "is not a file"),
    ]:
        with pytest.raises(ShopError, match=said), written_beside(target):
            pytest.fail("it went on")


def test_a_link_stays_a_link_to_the_new_file(tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    link, target = tmp_path / "sheet.csv", tmp_path / "stick" / "sheet.csv"
    link.symlink_to(target)
    with written_beside(link) as part:
        part.write_text("new")
    assert link.is_symlink()
    assert target.read_text() == "new"
