"""Every text that is painted, and whether it was cut: also what charts and tables write, which no button knows of."""

from __future__ import annotations

import sys
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from PySide6.QtGui import QFontMetricsF

from shopclock.widgets import drawing

if TYPE_CHECKING:
    from collections.abc import Iterator

    import pytest

    from shopclock.views.fit import FittedText

LEAST_PX = 12
"""No text is smaller."""


@dataclass
class Painted:
    """Texts since the last `clear`: each in one piece, its size in px (0 where a table has it), and whether it is cut.

    A text that Qt shortens is noted whole, as it was given.
    """

    texts: list[tuple[str, int, bool]] = field(default_factory=list)

    def faults(self) -> Iterator[str]:
        """Yield each text that is cut and stands whole nowhere else, and each that is too small to be read."""
        whole = {_bare(text) for text, _, cut in self.texts if not cut}
        for text, px, cut in dict.fromkeys(self.texts):
            begins = _bare(text).removesuffix("…")
            if cut and not any(begins in other for other in whole):
                yield f"cut: {text}"
            if text and 0 < px < LEAST_PX:
                yield f"{px} px: {text}"


def note_painted(monkeypatch: pytest.MonkeyPatch) -> Painted:
    """Note from now on what is painted by what has been imported."""
    painted, draw, shorten = Painted(), drawing.draw_fitted, QFontMetricsF.elidedText

    def noting(p: object, rect: object, fitted: FittedText, *style: object) -> None:
        painted.texts.append((" ".join(fitted.lines), fitted.px, fitted.cut))
        draw(p, rect, fitted, *style)  # type: ignore[arg-type]  # handed on as they came

    def shortening(metrics: QFontMetricsF, text: str, *how: object) -> str:
        shown = shorten(metrics, text, *how)  # type: ignore[arg-type]  # handed on as they came
        painted.texts.append((text, 0, shown != text))
        return shown

    for module in [one for one in sys.modules.values() if getattr(one, "draw_fitted", None) is draw]:
        monkeypatch.setattr(module, "draw_fitted", noting)
    monkeypatch.setattr(QFontMetricsF, "elidedText", shortening)
    return painted


def _bare(text: str) -> str:
    return "".join(text.split())
