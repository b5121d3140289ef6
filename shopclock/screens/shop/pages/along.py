"""Shop and desk: which file this is, taking the record along, bringing a desk's copy back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import MergeText, entry_name, sides
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.desk_copy import which_file
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.record.merge.merge_apply import MergePlan
    from shopclock.record.merge.merge_compare import Found, MergeEntry
    from shopclock.screens.files.desk_copy import DeskCopies
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

IN_SHOP = "At the desk what is older can be put right while the shop goes on. Bringing it back joins both."
AT_DESK = "What is older can be put right here. Then bring this file back in the shop: {name}"
NAMED = 3


class AlongPage(Page):
    """The desk's copies that there are, and taking another along."""

    def __init__(self, stack: PagedPresenter, along: DeskCopies) -> None:
        self._stack = stack
        self._along = along
        self._copies = [] if along.here_is_desk else along.copies()

    def title(self) -> str:
        """Which file this is."""
        return which_file(self._stack.floor)

    def lines(self) -> Sequence[TextLine]:
        """What that means."""
        name = self._stack.record.path.name
        return (TextLine(AT_DESK.format(name=name) if self._along.here_is_desk else IN_SHOP),)

    def offers(self) -> Sequence[Action]:
        """The desk's copies that can be reached."""
        return [self._copy(path) for path in self._copies]

    def actions(self) -> Sequence[Action]:
        """Another file, and taking along; a desk's copy has neither."""
        if self._along.here_is_desk:
            return []
        return [
            action("other", "Another file", calling(self._ask_file), role="raised"),
            action("take", "Take along", calling(self._ask_where), role="primary"),
        ]

    def _copy(self, path: Path) -> Action:
        changed = age_text(round(path.stat().st_mtime * 1e6), self._stack.record.instant())
        detail = f"{path.stem}, {changed}, in {path.parent}"
        return action(str(path), "Bring back", calling(lambda: self._bring(path)), detail=detail)

    def _bring(self, path: Path) -> None:
        self._stack.open(BringPage(self._stack, self._along, path))

    def _ask_file(self) -> None:
        start = str(self._stack.record.path.parent)
        self._stack.dialogs.text(
            "The desk's copy", start, on_answer(lambda text: self._bring(Path(text.strip()).expanduser()))
        )

    def _ask_where(self) -> None:
        drives = dict(self._along.drives())
        choices = [
            *(Choice(f"at {name}", name, str(place)) for name, place in drives.items()),
            Choice("beside", "Beside the record", str(self._stack.record.path.parent)),
            Choice("typed", "Another folder", "typed"),
        ]

        def take(key: str) -> None:
            if key == "typed":
                start = str(self._stack.record.path.parent)
                self._stack.dialogs.text("Folder for the desk's copy", start, on_answer(self._typed))
            else:
                beside = self._stack.record.path.parent
                self._along.take(beside if key == "beside" else drives[key.removeprefix("at ")])

        self._stack.dialogs.ask("Where the desk's copy goes", choices, on_answer(take))

    def _typed(self, text: str) -> None:
        folder = Path(text.strip()).expanduser()
        if folder.is_dir():
            self._along.take(folder)
        else:
            self._stack.dialogs.tell(f"There is no folder {folder}. Nothing was written.")


class BringPage(Page):
    """One desk's copy: what it brings, what both sides changed, and joining it."""

    def __init__(self, stack: PagedPresenter, along: DeskCopies, path: Path) -> None:
        self._stack = stack
        self._along = along
        self._path = path
        self._found: Found | None = None
        self.picks: dict[int, bool] = {}
        along.look(path, self._know)

    def title(self) -> str:
        """Which it is."""
        return f"Bring back {self._path.stem}"

    def lines(self) -> Sequence[TextLine]:
        """How much it brings, and how much of it both sides changed."""
        if self._found is None:
            return (TextLine("Looking through it."),)
        both = len(self._both())
        said = [TextLine(found_text(self._found), "text")]
        if both:
            picked = "" if both == len(self.picks) else ": press each and pick"
            said.append(
                TextLine(f"{both} of them {'was' if both == 1 else 'were'} changed on both sides{picked}", "straw")
            )
        return said

    def offers(self) -> Sequence[Action]:
        """What both sides changed."""
        return [self._entry(place, entry) for place, entry in self._both()]

    def actions(self) -> Sequence[Action]:
        """Join, once all is picked."""
        found = self._found
        ready = found is not None and bool(found.entries) and len(self.picks) == len(self._both())
        return [action("join", "Join both", calling(self._try), enabled=ready, role="primary")]

    def pick(self, place: int, *, desk: bool) -> None:
        """Settle which side an entry is taken from."""
        self.picks[place] = desk
        self._stack.back()

    def _both(self) -> list[tuple[int, MergeEntry]]:
        entries = self._found.entries if self._found is not None else ()
        return [(place, entry) for place, entry in enumerate(entries) if entry.both]

    def _entry(self, place: int, entry: MergeEntry) -> Action:
        first = next(iter(_sides(self._stack, entry)), MergeText("", "", "", ""))
        picked = self.picks.get(place)
        return action(
            str(place),
            entry_name(self._stack.floor, entry.shop or entry.thing),
            calling(lambda: self._stack.open(BothPage(self._stack, self, place, entry))),
            detail=f"{first.what}{': ' if first.what else ''}the shop {first.shop}, the desk {first.desk}",
            note="to pick" if picked is None else "the desk's" if picked else "the shop's",
            note_role="straw" if picked is None else "green",
        )

    def _know(self, found: Found) -> None:
        self._found = found
        self._stack.record.bring_in([change for e in found.entries if (change := e.change(to_desk=True)) is not None])
        self._stack.changed()

    def _try(self) -> None:
        if self._found is not None:
            to_desk = [place for place, desk in self.picks.items() if desk]
            self._along.plan(self._found, to_desk, self._tried)

    def _tried(self, planned: MergePlan) -> None:
        if not planned.unfit:
            self._join(planned)
            return
        names = [entry_name(self._stack.floor, entry.thing) for entry in planned.unfit]
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        choices = (
            Choice("join", "Join without them", "the journal keeps them", "dye"),
            Choice("leave", "Leave it", "nothing is changed"),
        )
        question = f"Beside what the shop has these can't be: {'; '.join(names[:NAMED])}{more}"
        self._stack.dialogs.ask(question, choices, lambda key: self._join(planned) if key == "join" else None)

    def _join(self, planned: MergePlan) -> None:
        if self._along.join(planned):
            self._stack.home()


class BothPage(Page):
    """One entry that both sides changed: what it was, what each says; one press picks."""

    def __init__(self, stack: PagedPresenter, bring: BringPage, place: int, entry: MergeEntry) -> None:
        self._stack = stack
        self._bring = bring
        self._place = place
        self._entry = entry

    def title(self) -> str:
        """Which it is."""
        return entry_name(self._stack.floor, self._entry.shop or self._entry.thing)

    def lines(self) -> Sequence[TextLine]:
        """Where the other goes."""
        return (TextLine("Press the one that holds. The other stays in the journal."),)

    def offers(self) -> Sequence[Action]:
        """What each says."""
        found = _sides(self._stack, self._entry)
        was = ", ".join(f"{one.what} {one.was}".strip() for one in found)
        shop = ", ".join(f"{one.what} {one.shop}".strip() for one in found)
        desk = ", ".join(f"{one.what} {one.desk}".strip() for one in found)
        pick = self._bring.pick
        return [
            action("was", "It was", calling(lambda: None), detail=was, enabled=False),
            action("shop", "The shop", calling(lambda: pick(self._place, desk=False)), detail=shop, role="dye"),
            action("desk", "The desk", calling(lambda: pick(self._place, desk=True)), detail=desk, role="dye"),
        ]


def found_text(found: Found) -> str:
    """Say how much a desk's copy brings."""
    n = len(found.entries)
    if n == 0:
        return "Nothing in it is new: all of it is in the record."
    new = sum(entry.was is None for entry in found.entries)
    return f"{n} {'entry' if n == 1 else 'entries'} from the desk" + (f", {new} of them new" if new else "")


def _sides(stack: PagedPresenter, entry: MergeEntry) -> list[MergeText]:
    return sides(stack.floor, entry.was, entry.shop, entry.desk)
