"""A chart saved by one press: a picture and a drawing, named by the day, in the maker's own documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.files.exporting import free_place
from shopclock.shop.values.errors import ShopError
from shopclock.widgets.chart_save import png_of, svg_of

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style


def save_picture(widget: QWidget, look: Style, heading: str, target: Path) -> None:
    """Write a chart under its heading to a chosen file; its ending (.png, .svg) says how.

    ShopError says why it can't be done; what was there before stays as it was until all is written.
    """
    from shopclock.exchange.workbook.beside import written_beside

    makes = {".png": png_of, ".svg": svg_of}
    make = makes.get(target.suffix.casefold())
    if make is None:
        raise ShopError(f"{target.name} is neither .png nor .svg. Nothing was written. Choose one of the two.")
    with written_beside(target) as part:
        part.write_bytes(make(widget, look, heading))


def save_both(widget: QWidget, look: Style, heading: str, folder: Path, name: str) -> str:
    """Save a chart as PNG and as SVG in a folder, and return the sentence that says where, or why not."""
    places = [free_place(folder, name, ending) for ending in (".png", ".svg")]
    try:
        for place in places:
            save_picture(widget, look, heading, place)
    except ShopError as error:
        return str(error)
    return f"Saved as {places[0].name} and {places[1].name}, in {folder}."
