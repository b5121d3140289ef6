"""One press writes the whole shop as a sheet and says where it lies."""

from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.screens.files.exporting import Exporting
from shopclock.screens.long_work.background import AtOnce
from tests.fake_dialogs import FakeDialogs
from tests.shop.workshop import ToyClock


class Never:
    """Takes work and never ends."""

    def __init__(self) -> None:
        self.taken = 0

    def run_long(self, *_: object) -> None:
        self.taken += 1

    def close(self) -> None:
        """Nothing runs."""


def test_each_press_writes_a_sheet_of_its_own_and_names_it(tmp_path: Path) -> None:
    record = Record.open(tmp_path / "shop.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
    dialogs = FakeDialogs()
    exporting = Exporting(record, dialogs, AtOnce(), tmp_path)
    exporting.to_spreadsheet()
    exporting.to_spreadsheet()
    record.close()
    names = sorted(path.name for path in tmp_path.glob("*.xlsx"))
    assert names == ["shopclock 2026-10-24 21.00 (2).xlsx", "shopclock 2026-10-24 21.00.xlsx"]
    assert [asked.words for asked in dialogs.asked] == [
        f"The spreadsheet is {name}, in {tmp_path}." for name in reversed(names)
    ]


def test_what_went_wrong_is_told_and_a_new_press_can_follow(tmp_path: Path) -> None:
    record = Record.open(tmp_path / "shop.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
    dialogs = FakeDialogs()
    exporting = Exporting(record, dialogs, AtOnce(), tmp_path / "nowhere")
    exporting.to_spreadsheet()
    exporting.to_spreadsheet()
    record.close()
    assert len(dialogs.asked) == 2
    assert all(str(tmp_path / "nowhere") in asked.words for asked in dialogs.asked)


def test_a_second_press_while_it_is_being_written_does_nothing(tmp_path: Path) -> None:
    record = Record.open(tmp_path / "shop.shopclock", ToyClock(), make=True, zone="Europe/Vienna")
    work = Never()
    exporting = Exporting(record, FakeDialogs(), work, tmp_path)
    exporting.to_spreadsheet()
    exporting.to_spreadsheet()
    record.close()
    assert work.taken == 1
