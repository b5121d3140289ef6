"""The manual as a book: .venv/bin/python -m tests.manual.book FOLDER [--draw] writes index.html and manual.pdf.

With `--draw` its pictures are drawn anew by the program itself, into `.pictures/`, where the README has them too.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import sys
import tempfile
from html import escape
from pathlib import Path

from markdown_it import MarkdownIt

from shopclock import __version__
from shopclock.places import resource
from shopclock.screens.manual.chapters import CHAPTERS

TOP = Path(__file__).resolve().parents[2]
PICTURES = TOP / ".pictures"
PICTURE = re.compile(r"!\[[^]]*\]\(\.\./\.\./\.pictures/([^)]+)\)")
DPI, SCREEN_DPI = 300, 96
TITLE = f"Shopclock {__version__}: the manual"
STYLE = """
:root { color-scheme: light dark; }
body { font: 18px/1.55 system-ui, sans-serif; margin: 0 auto; max-width: 46rem; padding: 1rem 1.2rem 6rem; }
img { max-width: 100%; height: auto; }
h1 { margin-top: 4rem; line-height: 1.2; }
pre { overflow-x: auto; }
table { border-collapse: collapse; display: block; overflow-x: auto; }
td, th { border: 1px solid #8888; padding: .2rem .6rem; }
input { font: inherit; width: 100%; padding: .6rem; box-sizing: border-box; }
.hidden { display: none; }
"""
SEARCH = """
const field = document.getElementById("find");
const parts = [...document.querySelectorAll("section > *:not(h1)")];
field.addEventListener("input", () => {
  const words = field.value.toLowerCase().split(/\\s+/).filter(Boolean);
  for (const part of parts) {
    const text = part.textContent.toLowerCase();
    part.classList.toggle("hidden", words.length > 0 && !words.every(word => text.includes(word)));
  }
  for (const section of document.querySelectorAll("section"))
    section.classList.toggle("hidden", words.length > 0 && !section.querySelector(":scope > :not(h1):not(.hidden)"));
});
"""


def texts() -> list[tuple[str, str]]:
    """Name and Markdown of each chapter, in order."""
    return [(name, resource("manual", f"{name}.md").read_text("utf-8")) for name in CHAPTERS]


def html(pictures: str) -> str:
    """The whole manual as one page with a field that finds; its pictures lie in the folder of this name."""
    markdown = MarkdownIt("commonmark").enable("table")
    sections, entries = [], []
    for name, text in texts():
        title, about = text.split("\n\n", 2)[:2]
        entries.append(f'<li><a href="#{name}">{escape(title.removeprefix("# "))}</a>: {escape(about)}</li>')
        placed = text.replace("../../.pictures/", f"{pictures}/")
        sections.append(f'<section id="{name}">\n{markdown.render(placed)}</section>')
    return (
        f'<!doctype html>\n<html lang="en">\n<head><meta charset="utf-8">\n<title>{TITLE}</title>\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<style>{STYLE}</style></head>\n<body>\n<h1>{TITLE}</h1>\n"
        '<p><label for="find">Find</label> <input id="find" type="search"></p>\n'
        f"<nav><ol>\n{chr(10).join(entries)}\n</ol></nav>\n{chr(10).join(sections)}\n<script>{SEARCH}</script>\n"
        "</body>\n</html>\n"
    )


def write_pdf(file: Path) -> None:
    """Write the manual as one PDF, A4, a chapter after the other, pages numbered by the reader."""
    from PySide6.QtCore import QMarginsF, QSizeF, QUrl
    from PySide6.QtGui import QFont, QImage, QPageLayout, QPageSize, QPdfWriter, QTextDocument

    from shopclock.exchange.printing.output import application

    running = application()
    writer = QPdfWriter(str(file))
    writer.setResolution(DPI)
    writer.setTitle(TITLE)
    writer.setCreator("Shopclock")
    margins = QMarginsF(18, 18, 18, 18)
    writer.setPageLayout(
        QPageLayout(
            QPageSize(QPageSize.PageSizeId.A4), QPageLayout.Orientation.Portrait, margins, QPageLayout.Unit.Millimeter
        )
    )
    document = QTextDocument()
    document.setDefaultFont(QFont("Inter", 10))
    document.documentLayout().setPaintDevice(writer)
    size = QSizeF(writer.width(), writer.height())
    text = "\n\n".join(text.replace("../../.pictures/", "") for _, text in texts())
    document.setMarkdown(f"# {TITLE}\n\n{text}")
    for picture in PICTURES.glob("*.png"):
        image = QImage(str(picture))
        image.setDevicePixelRatio(image.width() / (size.width() * SCREEN_DPI / DPI))  # as wide as the page's text
        document.addResource(QTextDocument.ResourceType.ImageResource.value, QUrl(picture.name), image)
    document.setPageSize(size)
    document.print_(writer)
    del document, writer, running


def draw() -> None:
    """Draw the pictures anew that manual and README show, those that are there and those that the manual names."""
    from shopclock.tour.story import tour

    wanted = {path.name for path in PICTURES.glob("*.png")} | {n for _, text in texts() for n in PICTURE.findall(text)}
    with tempfile.TemporaryDirectory() as folder:
        tour(Path(folder))
        for name in wanted:
            shutil.copyfile(Path(folder) / name, PICTURES / name)


def main() -> int:
    """Write the book into a folder."""
    parser = argparse.ArgumentParser(description="The manual as one HTML page and as one PDF.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--draw", action="store_true", help="draw its pictures anew first")
    asked = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    if asked.draw:
        draw()
    asked.folder.mkdir(parents=True, exist_ok=True)
    (asked.folder / "index.html").write_text(html("pictures"), "utf-8")
    shutil.copytree(PICTURES, asked.folder / "pictures", dirs_exist_ok=True)
    write_pdf(asked.folder / "manual.pdf")
    sys.stdout.write(f"{asked.folder}/index.html and manual.pdf are written.\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
