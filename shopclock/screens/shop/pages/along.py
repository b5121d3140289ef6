"""Shop and desk: which file this is, taking the record along, bringing a desk's copy back."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.review.change_text import GONE, NOTHING, SidesText, entry_name, sides
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.desk_copy import give_up, out_at_desk, which_file
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.errors import Refusal
from shopclock.views.dialogs import Choice
from shopclock.views.field import Text, ask, choose, field
from shopclock.views.page import Page, PageContent, TextLine, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.desk.bringing_back import BringPlan
    from shopclock.record.desk.looking import DeskEntry, Found
    from shopclock.screens.files.desk_copy import DeskCopies
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

IN_SHOP = "At the desk what is older can be put right while the shop goes on. Bringing it back joins both."
AT_DESK = "What is older can be put right here. Then bring this file back in the shop: {name}"
NAMED = 3
LISTED = 60
"""So many of the entries that come in are told; old notes are thousands."""


class AlongPage(Page):
    """Page of this file; the desk's copies that can be reached, another, and taking along. A desk's copy has none."""

    def __init__(self, stack: PagedPresenter, along: DeskCopies) -> None:
        self._stack = stack
        self._along = along
        self._copies = [] if along.here_is_desk else along.copies()

    def content(self) -> PageContent:
        """The copies, the newest in sight."""
        record, desk = self._stack.record, self._along.here_is_desk
        other = Text("The desk's copy", str(record.path.parent))
        if desk:
            return PageContent(which_file(self._stack.floor), [AT_DESK.format(name=record.path.name)])
        take = item("take", "Take along", self._ask_where, role="primary")
        ways = [field("other", "Another file", "", other, self._bring_typed, role="raised"), *self._lost()]
        if not self._copies:
            return nothing_yet(which_file(self._stack.floor), IN_SHOP, take, ways)
        return PageContent(
            which_file(self._stack.floor), [IN_SHOP], [self._copy(path) for path in self._copies], [*ways, take]
        )

    def _lost(self) -> list[Action]:
        """The end of a copy that is out and was lost; should it be found, it still can be brought back."""
        if out_at_desk(self._stack.floor) is None:
            return []

        def gone() -> None:
            self._stack.do("The desk's copy won't come back", give_up)

        return [item("gone", "It won't come back", gone, role="raised")]

    def _copy(self, path: Path) -> Action:
        changed = age_text(round(path.stat().st_mtime * 1e6), self._stack.record.instant())
        bring = partial(BringPage, self._stack, self._along, path)
        return item(str(path), "Bring back", bring, f"{path.stem}, {changed}, in {path.parent}")

    def _bring_typed(self, typed: str) -> Page:
        return BringPage(self._stack, self._along, Path(typed.strip()).expanduser())

    def _ask_where(self) -> Asking[None]:
        beside = self._stack.record.path.parent
        answers: list[tuple[Choice, Path | None]] = [
            *((Choice(f"at {name}", name, str(place)), place) for name, place in self._along.drives()),
            (Choice("beside", "Beside the record", str(beside)), beside),
            (Choice("typed", "Another folder", "typed"), None),
        ]
        folder = yield from choose("Where the desk's copy goes", answers)
        if folder is None:
            typed = yield from Text("Folder for the desk's copy", str(beside))
            folder = Path(typed.strip()).expanduser()
            if not folder.is_dir():
                raise Refusal(f"There is no folder {folder}. Nothing was written.")
        self._along.take(folder)


class BringPage(Page):
    """One desk's copy: what it brings, what both sides changed, and joining it."""

    def __init__(self, stack: PagedPresenter, along: DeskCopies, path: Path) -> None:
        self._stack = stack
        self._along = along
        self._path = path
        self._found: Found | None = None
        self.picks: dict[int, bool] = {}
        along.look(path, self._know)

    def content(self) -> PageContent:
        """Contents of a desk's copy: how much it brings, how much both sides changed; join, once all is picked."""
        found = self._found
        entries = found.entries if found is not None else ()
        both = [(place, entry) for place, entry in enumerate(entries) if entry.both]
        lines = [TextLine(found_text(found), "text") if found is not None else TextLine("Looking through it.")]
        if both:
            picked = "" if len(both) == len(self.picks) else ": press each and pick"
            were = "was" if len(both) == 1 else "were"
            lines.append(TextLine(f"{len(both)} of them {were} changed on both sides{picked}", "straw"))
        title = f"Bring back {self._path.stem}"
        to_pick = len(both) - len(self.picks)
        why = f"{to_pick} to pick first." if to_pick else ""
        join = item("join", "Join both", self._try, why_not=why, role="primary")
        if not entries:
            return PageContent(title, lines)
        alone = [(place, entry) for place, entry in enumerate(entries) if not entry.both][:LISTED]
        tiles = [*(self._entry(*one) for one in both), *(self._comes_in(*one) for one in alone)]
        return PageContent(title, lines, tiles, [join])

    def _comes_in(self, place: int, entry: DeskEntry) -> Action:
        """Tile of an entry that the desk alone changed: nothing has to be pressed."""
        floor = self._stack.floor
        one = next(iter(sides(floor, entry.was, entry.desk, entry.desk)), SidesText("", "", "", ""))
        now = one.desk if one.was == NOTHING else f"{one.was} → {one.desk}"
        said = "new" if entry.was is None else GONE if entry.desk is None else f"{one.what} {now}"
        return item(
            str(place), entry_name(floor, entry.thing), lambda: None, said.strip(), why_not="It comes in as it is."
        )

    def _entry(self, place: int, entry: DeskEntry) -> Action:
        first = next(iter(_sides(self._stack, entry)), SidesText("", "", "", ""))
        picked = self.picks.get(place)

        def pick(desk: bool) -> None:
            self.picks[place] = desk
            self._stack.back()

        return item(
            str(place),
            entry_name(self._stack.floor, entry.shop or entry.thing),
            partial(DescribedPage, self._stack, partial(both_page, entry=entry, pick=pick)),
            f"{first.what}{': ' if first.what else ''}the shop {first.shop}, the desk {first.desk}",
            note="to pick" if picked is None else "the desk's" if picked else "the shop's",
            note_role="straw" if picked is None else "green",
        )

    def _know(self, found: Found) -> None:
        self._found = found
        self._stack.record.bring_in([Change(entry.shop, entry.desk) for entry in found.entries])
        self._stack.changed()

    def _try(self) -> None:
        if self._found is not None:
            to_desk = [place for place, desk in self.picks.items() if desk]
            self._along.plan(self._found, to_desk, lambda planned: ask(self._stack.dialogs, self._join(planned)))

    def _join(self, planned: BringPlan) -> Asking[None]:
        """Join; where something can't be as pressed beside what the other side has, ask first."""
        self._stack.record.bring_in([Change(thing, thing) for thing in planned.gives_way])
        names = list(dict.fromkeys(entry_name(self._stack.floor, thing) for thing in planned.gives_way))
        if names:
            more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
            answers = (
                (Choice("join", "Join both", "one side gives way, the journal keeps it", "primary"), True),
                (Choice("leave", "Leave it", "nothing is changed"), False),
            )
            question = f"Not all can stay as it was pressed: {'; '.join(names[:NAMED])}{more}"
            if not (yield from choose(question, answers)):
                return
        if self._along.join(planned):
            self._stack.home()


def both_page(stack: PagedPresenter, entry: DeskEntry, pick: Callable[[bool], None]) -> PageContent:
    """One entry that both sides changed: what it was, what each says; one press picks."""
    found = _sides(stack, entry)
    was = ", ".join(f"{one.what} {one.was}".strip() for one in found)
    shop = ", ".join(f"{one.what} {one.shop}".strip() for one in found)
    desk = ", ".join(f"{one.what} {one.desk}".strip() for one in found)
    return PageContent(
        entry_name(stack.floor, entry.shop or entry.thing),
        ["Press the one that holds. The other stays in the journal."],
        [
            item("was", "It was", lambda: None, was, why_not="Neither side has it so any more."),
            item("shop", "The shop", lambda: pick(False), shop, role="primary"),
            item("desk", "The desk", lambda: pick(True), desk, role="primary"),
        ],
    )


def found_text(found: Found) -> str:
    """Say how much a desk's copy brings."""
    n = len(found.entries)
    if n == 0:
        return "Nothing in it is new: all of it is in the record."
    new = sum(entry.was is None for entry in found.entries)
    return f"{n} {'entry' if n == 1 else 'entries'} from the desk" + (f", {new} of them new" if new else "")


def _sides(stack: PagedPresenter, entry: DeskEntry) -> list[SidesText]:
    return sides(stack.floor, *entry.sides)
