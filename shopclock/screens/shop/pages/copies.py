"""The copies of the record and its archives: which there are, where they go, and bringing one back."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.copies.archive import place_for
from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.wording import clock_time, counted, day_text, shop_time, zone_of
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import figure
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, Text, choose, field
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.record.copies.archive import ArchiveFile
    from shopclock.record.copies.restoring import Lost
    from shopclock.record.file.copy_files import Copy
    from shopclock.screens.files.keeping import Keeping
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

IN_IT = (
    Choice("all", "All of the record", "it becomes a record again"),
    Choice("others", "Without customers and prices", "to show; notes that were typed are in it"),
)
ON_A_STICK = "Shopclock copies"


def made_text(copy: Copy, floor: ShopFloor) -> str:
    """Say when a copy was made; its age tells the year."""
    at = shop_time(copy.at_us, zone_of(floor))
    return f"{day_text(at.date())} {clock_time(at)}"


class CopiesPage(Page):
    """Every copy by age, the newest first; then the archives, then one that lies elsewhere."""

    def __init__(
        self, stack: PagedPresenter, keeping: Keeping, drives: Callable[[], Sequence[tuple[str, Path]]]
    ) -> None:
        self._stack = stack
        self._keeping = keeping
        self._drives = drives
        self._copies = keeping.copies()
        keeping.on_change(self._look_again)

    def content(self) -> PageContent:
        """The copies; where they go and when, and what is wrong; one more."""
        keeping = self._keeping
        lines = [TextLine(f"Made when the window closes and each day of use, in {keeping.folder}")]
        if keeping.trouble:
            lines.append(TextLine(keeping.trouble, "straw"))
        elsewhere = Text("The archive", str(keeping.folder))
        return PageContent(
            "Copies of the record",
            lines,
            [
                *map(self._copy, self._copies),
                *map(self._archive, keeping.archives()),
                field("typed", "Another archive", "typed; it becomes a new record", elsewhere, self._open_typed),
            ],
            [
                item("where", "Where to", self._ask_where, role="raised"),
                field("archive", "One archive", "", Pick("What is in the archive", IN_IT), self._pack, role="raised"),
                item("now", "Copy now", keeping.copy_now, role="primary"),
            ],
        )

    def _pack(self, key: str) -> None:
        self._keeping.archive(for_others=key == "others")

    def _copy(self, copy: Copy) -> Action:
        age = age_text(copy.at_us, self._stack.record.instant())
        words = [age, f"{figure(copy.size / 1_000_000)} MB", *(["before one came back"] if copy.before else [])]
        page = partial(CopyPage, self._stack, self._keeping, copy)
        return item(copy.path.name, made_text(copy, self._stack.floor), page, ", ".join(words))

    def _archive(self, archive: ArchiveFile) -> Action:
        age = age_text(archive.at_us, self._stack.record.instant())
        detail = f"an archive, {age}, {figure(archive.size / 1_000_000)} MB"
        return item(str(archive.path), archive.path.stem, partial(self._open, archive.path), detail)

    def _open_typed(self, typed: str) -> Page:
        return self._open(Path(typed.strip()).expanduser())

    def _open(self, archive: Path) -> Page:
        return DescribedPage(self._stack, partial(archive_page, keeping=self._keeping, archive=archive))

    def _look_again(self) -> None:
        self._copies = self._keeping.copies()
        self._stack.changed()

    def _ask_where(self) -> Asking[None]:
        drives = dict(self._drives())
        choices = [
            Choice("", "Beside the record"),
            *(Choice(f"at {name}", name, str(place)) for name, place in drives.items()),
            Choice("typed", "Another folder", "typed"),
        ]
        key = yield from Pick("Where copies go", choices)
        folder = drives[key.removeprefix("at ")] / ON_A_STICK if key in {f"at {name}" for name in drives} else None
        if key == "typed":
            typed = yield from Text("Folder for the copies", str(self._keeping.folder))
            folder = Path(typed.strip()).expanduser()
            if not (folder.is_absolute() and folder.parent.is_dir()):
                raise Refusal(f"There is no folder {folder.parent}. Copies go where they went before.")
        self._keeping.choose(folder)
        self._look_again()


class CopyPage(Page):
    """One copy: what would be lost by bringing it back, and doing so."""

    def __init__(self, stack: PagedPresenter, keeping: Keeping, copy: Copy) -> None:
        self._stack = stack
        self._keeping = keeping
        self._copy = copy
        self._lost: Lost | None = None
        keeping.preview(copy.path, self._know)

    def content(self) -> PageContent:
        """Losses if it came back, once they are known, and what is kept."""
        made, lost = made_text(self._copy, self._stack.floor), self._lost
        kept = "The record as it is now is kept as a copy. The window opens again on the older one."
        looking = "Looking at what has come since."
        answers = (
            (Choice("bring", "Bring it back", "the window closes and opens again"), True),
            (Choice("leave", "Leave it"), False),
        )
        bring = field("bring", "Bring this copy back", "", choose(f"Go back to {made}", answers), self._bring,
                      why_not="" if lost is not None else looking, role="primary")  # fmt: skip
        return PageContent(
            f"The copy of {made}",
            [TextLine(lost_text(lost, self._stack.floor), "text"), kept] if lost is not None else [looking],
            actions=[bring],
        )

    def _know(self, lost: Lost | None) -> None:
        self._lost = lost
        self._stack.changed()

    def _bring(self, wanted: bool) -> None:
        if wanted:
            self._keeping.bring_back(self._copy.path)


def lost_text(lost: Lost, floor: ShopFloor) -> str:
    """Say what would be lost."""
    if lost.presses == 0:
        return "Nothing would be lost: it holds all that the record holds."
    said = ["1 press since then" if lost.presses == 1 else f"{lost.presses} presses since then"]
    if lost.intervals:
        n = lost.intervals
        said.append("1 stretch of work" if n == 1 else f"{n} stretches of work")
    if lost.batches:
        said.append(f"{counted(floor, 'batch', lost.batches)} begun")
    return f"Lost would be {', '.join(said)}."


def archive_page(stack: PagedPresenter, keeping: Keeping, archive: Path) -> PageContent:
    """Archive as a record of its own, that nothing else is touched, and having it so."""
    place = place_for(archive, keeping.record.path.parent)
    made = partial(_made, stack, keeping, place)
    return PageContent(
        archive.name,
        [f"It becomes a record of its own: {place}", "The record that is open stays as it is."],
        actions=[item("make", "Make a record of it", lambda: keeping.unarchive(archive, place, made), role="primary")],
    )


def _made(stack: PagedPresenter, keeping: Keeping, place: Path) -> None:
    def go(answer: str | None) -> None:
        if answer == "open":
            keeping.open_other(place)
        else:
            stack.back()

    choices = (
        Choice("open", "Open it now", "this window closes and opens again on it"),
        Choice("stay", "Stay here", f"later: shopclock --record {place}"),
    )
    stack.dialogs.ask(f"{place.name} is made", choices, go)
