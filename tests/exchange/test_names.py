import pytest

from shopclock.exchange.names import batches_named
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.errors import ShopError


def _floor(names: list[str]) -> ShopFloor:
    floor = ShopFloor()
    for number, name in enumerate(names, start=1):
        floor.put(
            Batch(
                id=number,
                uuid=str(number),
                name=name,
                pattern_id=1,
                route_id=1,
                started_us=number,
                closed_us=None,
                next_time="",
            )
        )
    return floor


@pytest.mark.parametrize("typed", ["Reed", "reed", " REED "])
def test_a_name_finds_all_batches_that_have_it_whatever_its_capitals(typed: str) -> None:
    assert [batch.id for batch in batches_named(_floor(["Reed", "Mud", "reed"]), typed)] == [1, 3]


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ([], "There is no batch 'x'. The record has no batches yet."),
        (["a"], "There is no batch 'x'. There is only a."),
        (["a", "b"], "There is no batch 'x'. There are b, a."),
        (["a", "b", "c", "d", "e", "f"], "There is no batch 'x'. The newest of 6 are f, e, d, c, b."),
    ],
)
def test_an_unknown_name_is_answered_with_a_few_that_exist(names: list[str], said: str) -> None:
    with pytest.raises(ShopError) as raised:
        batches_named(_floor(names), "x")
    assert str(raised.value) == said
