"""The window as Shop sees it: full screen, closing, and whether it is there at log-in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.screens.shell.at_login import AtLogin
    from shopclock.widgets.frame import Frame


class Kiosk:
    """A frame and this machine's log-in."""

    def __init__(self, frame: Frame, login: AtLogin) -> None:
        self._frame = frame
        self._login = login

    def set_full_screen(self, on: bool) -> None:  # one plain switch
        """Take or leave the whole screen, as F11 does."""
        self._frame.keep_full_screen(on)

    def close(self) -> None:
        """Close the program, once what is still to be asked is answered."""
        self._frame.close()

    @property
    def at_login(self) -> bool:
        """True if the program starts when its user logs in."""
        return self._login.on

    def set_at_login(self, on: bool) -> None:  # one plain switch
        """Have it start then, or not. ShopError says why it can't."""
        self._login.set(on)
