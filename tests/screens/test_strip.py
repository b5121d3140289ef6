"""Two speakers share the line beside the date."""

from shopclock.screens.strip import Strip


def test_work_that_goes_on_is_said_before_a_wait_and_the_wait_after_it() -> None:
    shown: list[str] = []
    strip = Strip(shown.append)
    strip.alarm("Temper ended 14 min ago")
    strip.doing("Writing the spreadsheet.")
    strip.alarm("Temper ended 15 min ago")
    strip.doing("")
    assert shown == [
        "Temper ended 14 min ago",
        "Writing the spreadsheet.",
        "Writing the spreadsheet.",
        "Temper ended 15 min ago",
    ]
