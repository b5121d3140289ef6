import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.exchange.workbook.safe_text import LONGEST, cell_text, clean, csv_text, risky

ANY_TEXT = st.text(st.characters(exclude_categories=[]), max_size=60)


@pytest.mark.parametrize(
    "name",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "\tx",
        "\rx",
        "\n=1",
        "  =1",
        "\u00a0=1",
        "\uff1d1",
        "\uff20x",
        "\u22121",
        "\x07=1",
    ],
)
def test_what_could_be_a_formula_gets_an_apostrophe_in_csv(name: str) -> None:
    assert csv_text(name) == f"'{clean(name)}"


@pytest.mark.parametrize("name", ["", "Bevels", "a=1", "26-03", "'quoted", "1,5", "\u20ac", "\U0001f52a", "x\ny"])
def test_plain_names_stay_as_they_are(name: str) -> None:
    assert csv_text(name) == cell_text(name) == name


@given(ANY_TEXT)
def test_no_text_at_all_comes_out_as_a_formula(text: str) -> None:
    assert not risky(csv_text(text))


@given(ANY_TEXT)
def test_clean_text_can_be_written_to_any_file(text: str) -> None:
    kept = clean(text)
    assert kept.encode("utf-8").decode("utf-8") == kept
    assert not any(ord(c) < 32 and c not in "\t\n\r" for c in kept)


@given(st.lists(ANY_TEXT, min_size=1, max_size=4), st.sampled_from(",;\t"))
def test_fields_are_read_back_as_they_were_written(texts: list[str], separator: str) -> None:
    fields = [csv_text(text) for text in texts]
    file = io.StringIO(newline="")
    csv.writer(file, delimiter=separator).writerow(fields)
    file.seek(0)
    assert list(csv.reader(file, delimiter=separator)) == [fields]


@pytest.mark.parametrize("letter", ["x", "\U0001f52a"])
def test_a_text_longer_than_a_cell_is_cut_and_says_so(letter: str) -> None:
    kept = cell_text(letter * 40_000)
    assert len(kept.encode("utf-16-le")) // 2 <= LONGEST
    assert kept.endswith(letter + "\u2026")


def test_text_that_looks_like_the_writers_own_markup_is_no_markup() -> None:
    assert cell_text("<r><t>x</t></r>") == "<r><t>x</t></r> "
