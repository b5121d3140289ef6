"""The copies of the record: which there are, where they go, and bringing one back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.screens.shop.pages.archive import ArchivePage
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.wording import counted, day_text, shop_time, zone_of
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.record.copies.archive import ArchiveFile
    from shopclock.record.copies.restoring import Lost
    from shopclock.record.file.copy_files import Copy
    from shopclock.screens.files.keeping import Keeping
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action

ON_A_STICK = "Shopclock copies"


def made_text(copy: Copy, floor: ShopFloor) -> str:
    """Say when a copy was made; its age tells the year."""
    at = shop_time(copy.at_us, zone_of(floor))
    return f"{day_text(at.date())} {at:%H:%M}"


class CopiesPage(Page):
    """Every copy by age, the newest first."""

    def __init__(
        self, stack: PagedPresenter, keeping: Keeping, drives: Callable[[], Sequence[tuple[str, Path]]]
    ) -> None:
        self._stack = stack
        self._keeping = keeping
        self._drives = drives
        self._copies = keeping.copies()
        keeping.on_change(self._look_again)

    def title(self) -> str:
        """What it is."""
        return "Copies of the record"

    def lines(self) -> Sequence[TextLine]:
        """Where they go and when; what is wrong."""
        trouble = self._keeping.trouble
        where = TextLine(f"Made when the window closes and each day of use, in {self._keeping.folder}")
        return (where, TextLine(trouble, "straw")) if trouble else (where,)

    def offers(self) -> Sequence[Action]:
        """The copies, then the archives, then one that lies elsewhere."""
        typed = action("typed", "Another archive", calling(self._ask_archive), detail="typed; it becomes a new record")
        return [*map(self._copy, self._copies), *map(self._archive, self._keeping.archives()), typed]

    def actions(self) -> Sequence[Action]:
        """One more, and where they go."""
        return [
            action("where", "Where to", calling(self._ask_where), role="raised"),
            action("archive", "One archive", calling(self._keeping.archive), role="raised"),
            action("now", "Copy now", calling(self._keeping.copy_now), role="primary"),
        ]

    def _copy(self, copy: Copy) -> Action:
        age = age_text(copy.at_us, self._stack.record.instant())
        words = [age, f"{copy.size / 1_000_000:.1f} MB", *(["before one came back"] if copy.before else [])]
        return action(
            copy.path.name,
            made_text(copy, self._stack.floor),
            calling(lambda: self._stack.open(CopyPage(self._stack, self._keeping, copy))),
            detail=", ".join(words),
        )

    def _archive(self, archive: ArchiveFile) -> Action:
        age = age_text(archive.at_us, self._stack.record.instant())
        detail = f"an archive, {age}, {archive.size / 1_000_000:.1f} MB"
        return action(str(archive.path), archive.path.stem, calling(lambda: self._open(archive.path)), detail=detail)

    def _open(self, archive: Path) -> None:
        self._stack.open(ArchivePage(self._stack, self._keeping, archive))

    def _ask_archive(self) -> None:
        def typed(text: str) -> None:
            self._open(Path(text.strip()).expanduser())

        self._stack.dialogs.text("The archive", str(self._keeping.folder), on_answer(typed))

    def _look_again(self) -> None:
        self._copies = self._keeping.copies()
        self._stack.changed()

    def _ask_where(self) -> None:
        drives = dict(self._drives())
        choices = [
            Choice("", "Beside the record"),
            *(Choice(f"at {name}", name, str(place)) for name, place in drives.items()),
            Choice("typed", "Another folder", "typed"),
        ]

        def take(key: str) -> None:
            if key == "typed":
                self._stack.dialogs.text("Folder for the copies", str(self._keeping.folder), on_answer(self._typed))
            else:
                self._choose(drives[key.removeprefix("at ")] / ON_A_STICK if key else None)

        self._stack.dialogs.ask("Where copies go", choices, on_answer(take))

    def _typed(self, text: str) -> None:
        folder = Path(text.strip()).expanduser()
        if folder.is_absolute() and folder.parent.is_dir():
            self._choose(folder)
        else:
            self._stack.dialogs.tell(f"There is no folder {folder.parent}. Copies go where they went before.")

    def _choose(self, folder: Path | None) -> None:
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

    def title(self) -> str:
        """Which it is."""
        return f"The copy of {made_text(self._copy, self._stack.floor)}"

    def lines(self) -> Sequence[TextLine]:
        """What would be lost and what is kept."""
        if self._lost is None:
            return (TextLine("Looking at what has come since."),)
        return (
            TextLine(lost_text(self._lost, self._stack.floor), "text"),
            TextLine("The record as it is now is kept as a copy. The window opens again on the older one."),
        )

    def actions(self) -> Sequence[Action]:
        """Do it."""
        ready = self._lost is not None
        return [action("bring", "Bring this copy back", calling(self._bring), enabled=ready, role="primary")]

    def _know(self, lost: Lost | None) -> None:
        self._lost = lost
        self._stack.changed()

    def _bring(self) -> None:
        choices = (Choice("bring", "Bring it back", "the window closes and opens again"), Choice("leave", "Leave it"))
        question = f"Go back to {made_text(self._copy, self._stack.floor)}"
        self._stack.dialogs.ask(question, choices, lambda key: self._go(wanted=key == "bring"))

    def _go(self, *, wanted: bool) -> None:
        if wanted:
            self._keeping.bring_back(self._copy.path)


def lost_text(lost: Lost, floor: ShopFloor) -> str:
    """Say what would be lost."""
    if lost.presses == 0:
        return "Nothing would be lost: it holds all that the record holds."
    said = [f"{lost.presses} press{'es' if lost.presses != 1 else ''} since then"]
    if lost.intervals:
        said.append(f"{lost.intervals} stretch{'es' if lost.intervals != 1 else ''} of work")
    if lost.batches:
        said.append(f"{counted(floor, 'batch', lost.batches)} begun")
    return f"Lost would be {', '.join(said)}."
