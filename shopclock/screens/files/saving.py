"""A chart saved by one press: a picture and a drawing, named by the day, in the maker's own documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication, QImage

from shopclock.screens.files.exporting import free_place
from shopclock.shop.state.demo_mark import demo_said
from shopclock.shop.values.errors import ShopError
from shopclock.views.dialogs import Choice
from shopclock.widgets.chart_save import for_paper, png_of, svg_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from PySide6.QtWidgets import QWidget

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.widgets.style import Style


def save_picture(widget: QWidget, look: Style, heading: str, target: Path) -> None:
    """Write a chart under its heading, in the light colours of paper; the ending (.png, .svg) says how.

    ShopError says why it can't be done; what was there before stays as it was until all is written.
    """
    from shopclock.exchange.workbook.beside import written_beside

    makes = {".png": png_of, ".svg": svg_of}
    make = makes.get(target.suffix.casefold())
    if make is None:
        raise ShopError(f"{target.name} is neither .png nor .svg. Nothing was written. Choose one of the two.")
    with written_beside(target) as part, for_paper(widget, look) as (copy, paper):
        part.write_bytes(make(copy, paper, heading))


def save_both(widget: QWidget, look: Style, heading: str, folder: Path, name: str) -> str:
    """Save a chart as PNG and as SVG in a folder, and return the sentence that says where, or why not."""
    places = [free_place(folder, name, ending) for ending in (".png", ".svg")]
    try:
        for place in places:
            save_picture(widget, look, heading, place)
    except ShopError as error:
        return str(error)
    return f"Saved as {places[0].name} and {places[1].name}, in {folder}."


SAVE, CHART, FIGURES = "save", "copy chart", "copy figures"
"""Ways to take a chart along; one that is saved has the number of its place behind it: save 0."""


def ways_out(places: Sequence[tuple[str, Path]]) -> list[Choice]:
    """Return the ways to take a chart along: saved in one of these places (a name, a folder), or to the clipboard."""
    return [
        *(
            Choice(f"{SAVE} {n}", f"Save it{f' on {name}' if name else ''}", f"picture and drawing, in {folder}")
            for n, (name, folder) in enumerate(places)
        ),
        Choice(CHART, "Copy the chart", "to paste it into a letter"),
        Choice(FIGURES, "Copy the figures", "to paste them into a spreadsheet"),
    ]


def places_to_save(folder: Path) -> list[tuple[str, Path]]:
    """Return the maker's own folder, and what is plugged in by its name."""
    from shopclock.screens.files.drives import drives

    return [("", folder), *drives()]


def marked(floor: ShopFloor, heading: str) -> str:
    """Return a heading that says of the demo shop's charts that they are invented."""
    said = demo_said(floor)
    return f"{heading} {said[:1].upper()}{said[1:]}." if said else heading


def copy_chart(widget: QWidget, look: Style, heading: str) -> str:
    """Put a chart under its heading on the clipboard as a picture, in light colours; return what is to be told."""
    with for_paper(widget, look) as (copy, paper):
        QGuiApplication.clipboard().setImage(QImage.fromData(png_of(copy, paper, heading)))
    return "The chart is on the clipboard."


def copy_figures(figures: str) -> str:
    """Put figures, cells apart by tabs, on the clipboard; return what is to be told."""
    QGuiApplication.clipboard().setText(figures)
    n = max(0, len(figures.splitlines()) - 1)
    return f"The figures are on the clipboard: {n} {'line' if n == 1 else 'lines'} under their heads."
