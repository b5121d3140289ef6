"""Two speakers share the line beside the date."""

from shopclock.screens.shell.shell import StatusLine


def test_what_is_wrong_with_copies_waits_until_no_alarm_has_anything_to_say() -> None:
    shown: list[str] = []
    strip = StatusLine(shown.append)
    strip.alarm("Temper ended 14 min ago")
    strip.copies("There was no copy")
    strip.alarm("")
    strip.copies("")
    assert shown == ["Temper ended 14 min ago", "Temper ended 14 min ago", "There was no copy", ""]
