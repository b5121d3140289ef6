"""The style sheet of Qt's own widgets, made from the roles."""

from __future__ import annotations

from string import Template
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.views.metrics import Sizes
    from shopclock.widgets.theme import Theme

_SHEET = Template("""
QLineEdit, QPlainTextEdit, QAbstractSpinBox, QComboBox {
    background: $plate; color: $text; border: 1px solid $line; border-radius: 0; padding: ${pad}px;
    selection-background-color: $text; selection-color: $ground; font-size: ${body}px;
}
QLineEdit:focus, QPlainTextEdit:focus, QAbstractSpinBox:focus, QComboBox:focus { border: 3px solid $text; }
QLabel, QCheckBox, QRadioButton { color: $text; font-size: ${body}px; }
QAbstractItemView {
    background: $plate; alternate-background-color: $ground; color: $text; border: 1px solid $line;
    gridline-color: $line; selection-background-color: $text; selection-color: $ground; font-size: ${body}px;
}
QHeaderView::section {
    background: $ground; color: $quiet; border: 0; border-bottom: 1px solid $line; padding: ${pad}px;
}
QScrollArea, QScrollArea > QWidget > QWidget { background: transparent; border: 0; }
QScrollBar:vertical { background: $ground; width: ${bar}px; margin: 0; }
QScrollBar:horizontal { background: $ground; height: ${bar}px; margin: 0; }
QScrollBar::handle { background: $line; min-height: ${touch}px; min-width: ${touch}px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QToolTip { background: $raised; color: $text; border: 1px solid $line; }
""")


def stylesheet(theme: Theme, sizes: Sizes) -> str:
    """The style sheet in these colours and sizes."""
    lengths = {"pad": sizes.gap // 2, "body": sizes.body_text, "bar": sizes.px(6.0), "touch": sizes.touch}
    colours = ("ground", "plate", "raised", "text", "quiet", "line")
    return _SHEET.substitute(lengths, **{role: getattr(theme, role) for role in colours})
