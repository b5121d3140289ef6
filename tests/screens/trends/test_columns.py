"""How wide the columns of a table are."""

from __future__ import annotations

from shopclock.screens.trends.tables import fit_columns

TEXTS = [["Batch", "26-01"], ["Min", "14.6"], ["Left out", "more than a fifth guessed"]]


def wide(text: str, px: int) -> float:
    return len(text) * px * 0.5


def test_with_room_every_text_fits_at_the_largest_size_and_the_rest_is_shared_out() -> None:
    fit = fit_columns(TEXTS, 1000, (18, 12), wide)
    assert fit.px == 18
    assert all(width >= max(wide(t, 18) for t in texts) for width, texts in zip(fit.widths, TEXTS, strict=True))
    assert sum(fit.widths) <= 1000


def test_with_less_room_the_text_is_smaller() -> None:
    fit = fit_columns(TEXTS, 300, (18, 12), wide)
    assert 12 <= fit.px < 18
    assert sum(fit.widths) <= 300 + 1e-9


def test_with_too_little_room_the_widest_column_gives_way() -> None:
    fit = fit_columns(TEXTS, 150, (18, 12), wide)
    assert fit.px == 12
    assert fit.widths[0] >= wide("26-01", 12)
    assert fit.widths[2] < wide("more than a fifth guessed", 12)
    assert sum(fit.widths) <= 150 + 1e-9


def test_what_is_missing_is_taken_from_the_widest_columns_alike() -> None:
    names = ["Couteau à désosser façonné à la forge 9", "Slicing knife with a hidden tang and 27"]
    fit = fit_columns([[names[0]], ["23 to 24"], [names[1]], ["Min"]], 300, (18, 12), wide)
    assert fit.widths[1] >= wide("23 to 24", 12)
    assert fit.widths[3] >= wide("Min", 12)
    assert fit.widths[0] == fit.widths[2] < wide(names[1], 12)
    assert sum(fit.widths) <= 300 + 1e-9


def test_columns_stand_beside_each_other() -> None:
    fit = fit_columns(TEXTS, 1000, (18, 12), wide)
    assert [fit.lefts[i] + fit.widths[i] for i in range(2)] == [fit.lefts[1], fit.lefts[2]]
