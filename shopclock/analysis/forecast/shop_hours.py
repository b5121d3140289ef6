"""The hours to come: the shop's week without its days off, and how much of it becomes work, week by week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from shopclock.shop.planning.quiet_weeks import monday_of, planned_us, untimed, was_open
from shopclock.shop.setup.week import planned_makers, planned_on
from shopclock.shop.state.wording import MINUTE_US, instant_of, shop_time, zone_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from zoneinfo import ZoneInfo

    import numpy as np
    import numpy.typing as npt

    from shopclock.record.read.rows import IntervalRow
    from shopclock.shop.state.shop_floor import ShopFloor

    Floats = npt.NDArray[np.float64]

WEEKS = 104
"""So far ahead a plan looks."""
LAST_WEEKS = 12


@dataclass(frozen=True, slots=True)
class Hours:
    """Planned stretches from now on, in minutes after `now_us`, and where each calendar week begins among them.

    `planned` is the planned time before each stretch, `week_planned` that before each week; both end with all of it.
    """

    now_us: int
    starts: Floats
    ends: Floats
    planned: Floats
    week_planned: Floats

    @property
    def none(self) -> bool:
        """No hours at all."""
        return self.starts.size == 0

    def beyond(self, at: Floats) -> npt.NDArray[np.bool_]:
        """Tell which instants lie after all the hours that are looked at."""
        found: npt.NDArray[np.bool_] = at > self.ends[-1]
        return found

    def planned_by(self, at: Floats) -> Floats:
        """Return the planned minutes before instants."""
        import numpy as np

        edges = np.column_stack([self.starts, self.ends]).ravel()
        heights = np.column_stack([self.planned[:-1], self.planned[1:]]).ravel()
        found: Floats = np.interp(at, edges, heights)
        return found

    def ends_at(self, planned: Floats) -> Floats:
        """Return when so many planned minutes have gone by: at the end of a stretch, not at the next one's start."""
        import numpy as np

        i = np.clip(np.searchsorted(self.planned, planned, side="left") - 1, 0, self.starts.size - 1)
        found: Floats = self.starts[i] + np.minimum(planned - self.planned[i], self.ends[i] - self.starts[i])
        return found

    def at_half(self, at: Floats) -> Floats:
        """Return when work that ends at an instant with all planned hours worked ends with half of them; else infinite.

        Waits are taken as if they grew alike.
        """
        import numpy as np

        planned = 2 * self.planned_by(np.minimum(at, self.ends[-1]))
        late = self.beyond(at) | (planned > self.planned[-1])
        return np.where(late, np.inf, self.ends_at(np.minimum(planned, self.planned[-1])))

    def next_open(self, at: Floats) -> Floats:
        """Return when somebody can be in the shop: an instant itself, if it is planned, else the next stretch."""
        import numpy as np

        i = np.minimum(np.searchsorted(self.ends, at, side="right"), self.starts.size - 1)
        found: Floats = np.maximum(at, self.starts[i])
        return found


def hours_from(
    floor: ShopFloor,
    now_us: int,
    weeks: int = WEEKS,
    extra: Sequence[tuple[int, int, int]] = (),
    makers: Sequence[int | None] = (None,),
) -> Hours:
    """Return the planned hours from now on. `extra` are more of them: weekday, from and to in minutes.

    Of one maker, the first where none is given; of several the hours in which any of them is there.
    """
    import numpy as np

    zone = zone_of(floor)
    today = shop_time(now_us, zone).date()
    monday = today - timedelta(days=today.weekday())
    days = [monday + timedelta(days=i) for i in range(7 * weeks)]
    planned = [[one for maker in makers for one in planned_on(floor, day, zone, maker)] for day in days]
    intervals = [[*own, *_extra(day, extra, zone)] for own, day in zip(planned, days, strict=True)]
    cut = [[(max(s, now_us), e) for s, e in merged(one) if e > now_us] for one in intervals]
    flat = [((s - now_us) / MINUTE_US, (e - now_us) / MINUTE_US) for one in cut for s, e in one]
    lengths = [sum(e - s for one in cut[i : i + 7] for s, e in one) / MINUTE_US for i in range(0, len(cut), 7)]
    starts, ends = np.array([s for s, _ in flat]), np.array([e for _, e in flat])
    return Hours(now_us, starts, ends, _sums(ends - starts), _sums(np.array(lengths)))


def merged(intervals: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return stretches that don't overlap: what lies over another counts once."""
    found: list[tuple[int, int]] = []
    for start, end in sorted(intervals):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return found


def _extra(day: date, extra: Sequence[tuple[int, int, int]], zone: ZoneInfo) -> list[tuple[int, int]]:
    midnight = datetime.combine(day, time(), zone)
    own = [(s, e) for weekday, s, e in extra if weekday == day.weekday()]
    return [(instant_of(midnight + timedelta(minutes=s)), instant_of(midnight + timedelta(minutes=e))) for s, e in own]


def _sums(lengths: Floats) -> Floats:
    import numpy as np

    return np.concatenate([[0.0], np.cumsum(lengths)])


def week_yields(floor: ShopFloor, rows: Iterable[IntervalRow], now_us: int) -> tuple[float, ...]:
    """Return labour over planned time of the last twelve full weeks in which a batch was open, oldest first.

    Of all makers together who have hours: what others did was in no plan.

    Weeks without planned hours, and those in which work went on that was not timed, say nothing and are left out. Shop
    work is no progress of a batch, so it isn't in it.
    """
    zone = zone_of(floor)
    this_monday = monday_of(now_us, zone)
    names = {maker.name for maker in planned_makers(floor)}
    labour: dict[date, int] = {}
    for row in rows:
        if row.batch_id is not None and row.labour_us and row.maker in names:
            monday = monday_of(row.start_us, zone)
            labour[monday] = labour.get(monday, 0) + row.labour_us
    found: list[float] = []
    monday = this_monday - timedelta(days=7)
    while labour and len(found) < LAST_WEEKS and monday >= min(labour):
        planned = planned_us(floor, monday, zone)
        if planned and was_open(floor, monday, zone) and not untimed(floor, monday):
            found.append(labour.get(monday, 0) / planned)
        monday -= timedelta(days=7)
    return tuple(reversed(found))


class WorkedHours:
    """The work that the planned hours yield, by draw: each week's yield is that of a whole past week."""

    def __init__(self, hours: Hours, yields: Floats) -> None:
        """Take yields of all weeks (weeks × draws)."""
        import numpy as np

        self.hours, self._yields = hours, yields
        lengths = np.diff(hours.week_planned)[:, None] * yields
        self._done = np.concatenate([np.zeros((1, yields.shape[1])), np.cumsum(lengths, axis=0)])
        self._draws = np.arange(yields.shape[1])
        self._week = np.zeros(yields.shape[1], int)

    @property
    def most(self) -> Floats:
        """All the work that can be done before the plan's last day, by draw."""
        whole: Floats = self._done[-1]
        return whole

    def after(self, at: Floats, labour: Floats) -> Floats:
        """Return when so many minutes of work are done that begin at an instant; instants only go forward.

        Where the hours ahead don't suffice it lies after the last of them (`Hours.beyond`), one minute for another.
        """
        import numpy as np

        planned = self.hours.planned_by(at)
        self._forward(planned, self.hours.week_planned[:, None])
        w, d = self._week, self._draws
        target = self._done[w, d] + (planned - self.hours.week_planned[w]) * self._yields[w, d] + labour
        self._forward(target, self._done)
        w = self._week
        speed = np.maximum(self._yields[w, d], 1e-12)
        end = self.hours.week_planned[w] + (target - self._done[w, d]) / speed
        found = np.maximum(at, self.hours.ends_at(np.maximum(end, planned)))
        lacking = (labour > 0) & (target > self._done[-1] + 1e-9)
        return np.where(lacking, np.maximum(at, self.hours.ends[-1]) + labour, found)

    def _forward(self, wanted: Floats, ends: Floats) -> None:
        """Go on to the week in which a sum is reached."""
        last = self._yields.shape[0] - 1
        columns = self._draws if ends.shape[1] > 1 else self._draws * 0
        while True:
            behind = (self._week < last) & (ends[self._week + 1, columns] < wanted)
            if not behind.any():
                return
            self._week = self._week + behind


ENOUGH_WEEKS = 4
"""Fewer past weeks tell nothing of good and bad spells: then no date is given with how often it holds."""
LEVEL, LEVEL_WORTH = 0.55, 2.0
"""Standard deviation of a week about the shop's level, as a share of it, before any week is known, and how many weeks
that is worth. A start, tried on simulated weeks, no source."""
LIKENESSES = tuple(i / 10 for i in range(10))
BELIEVED, GIVE = 0.3, 0.5
"""A weak belief about how alike neighbouring weeks are, normal; a start, no source."""
MOST_YIELD = 1.2


def drawn_yields(yields: Sequence[float], weeks: int, draws: int, dice: np.random.Generator) -> Floats:
    """Draw past weeks for the weeks to come (weeks × draws): in spells, at a level that is unsure.

    How alike neighbouring weeks are is drawn by what the past ones say of it. By so much the next week goes on in a
    past spell (the first one in the spell that is now), else another begins anywhere. The level of all weeks to come is
    the past one times exp(t), as unsure as so many weeks so alike leave it. Under four weeks every planned hour is
    worked, and no share of these draws means anything.
    Source: the stationary bootstrap, D. N. Politis and J. P. Romano 1994, here with its ends mirrored.
    """
    import numpy as np

    n = len(yields)
    if n < ENOUGH_WEEKS:
        return np.ones((weeks, draws))
    known = np.array(yields)
    believed, unsure = _levels(known / max(0.02, float(known.mean())))
    kind = dice.choice(len(LIKENESSES), draws, p=believed)
    goes_on = dice.random((weeks, draws)) < np.array(LIKENESSES)[kind]
    anywhere = dice.integers(0, 2 * n, (weeks, draws))
    there_and_back = np.concatenate([known, known[::-1]])
    place = np.full(draws, n - 1)
    drawn = np.empty((weeks, draws))
    for week in range(weeks):
        place = np.where(goes_on[week], (place + 1) % (2 * n), anywhere[week])
        drawn[week] = there_and_back[place]
    levels = np.exp(np.clip(unsure[kind] * dice.standard_t(LEVEL_WORTH + n - 1, draws), -2, 2))
    found: Floats = np.minimum(drawn * levels, MOST_YIELD)
    return found


def _levels(known: Floats) -> tuple[Floats, Floats]:
    """Return how much each likeness is to be believed, and how unsure the level is with it, from weeks of level 1 (n).

    Restricted likelihood of weeks that correlate by likeness^apart, their variance squeezed to the start.
    """
    import numpy as np

    n = known.size
    df = LEVEL_WORTH + n - 1
    apart = np.abs(np.subtract.outer(np.arange(n), np.arange(n)))
    scores, unsure = [], []
    for likeness in LIKENESSES:
        root = np.linalg.cholesky(likeness**apart)
        one, own = np.linalg.solve(root, np.column_stack([np.ones(n), known])).T
        information = float(one @ one)
        left = own - one * (one @ own) / information
        squares = LEVEL_WORTH * LEVEL**2 + float(left @ left)
        belief = -0.5 * ((likeness - BELIEVED) / GIVE) ** 2
        scores.append(belief - float(np.log(np.diag(root)).sum()) - 0.5 * (np.log(information) + df * np.log(squares)))
        unsure.append(np.sqrt(squares / df / information))
    believed = np.exp(np.array(scores) - max(scores))
    return believed / believed.sum(), np.array(unsure)
