"""Two who change different things of the same record at once both keep their change, on both databases."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import date
from threading import Barrier
from typing import Any

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, EXTRAS, FRAMES, LENSES, OFFERS
from shopledger.desk.people import add_supplier, change_customer, change_supplier, change_wearer
from shopledger.desk.shop import change_shop, shop_and_settings
from shopledger.ledger.books.suppliers import Supplier
from shopledger.store.opening import open_ledger
from tests.desk.books import on_both
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, INCLUDED, SINGLE, WREN

ROUNDS = 4
Edit = Callable[[Any], Any]
Deed = Callable[[Desk, Edit], Any]


def _shop(desk: Desk, edit: Edit) -> Any:  # noqa: ANN401 - whatever is changed
    return change_shop(desk, lambda shop, settings: (edit(shop), settings))[0]


DEEDS: dict[str, tuple[Deed, dict[str, str]]] = {
    "shop": (_shop, {"phone": "555-0199", "email": "pebble@example.com"}),
    "customer": (
        lambda desk, edit: change_customer(desk, CUSTOMER, edit),
        {"phone": "555-0199", "email": "odalys@example.com"},
    ),
    "wearer": (
        lambda desk, edit: change_wearer(desk, CUSTOMER, CHILD, edit),
        {"member_id": "W-7", "printed_name": "W. Fernhollow"},
    ),
    "supplier": (
        lambda desk, edit: change_supplier(desk, "Brightwater", edit),
        {"phone": "555-0199", "note": "asks for the job number"},
    ),
}
"""Each deed that changes a record, and two things of it that two people change."""


@contextmanager
def another(desk: Desk) -> Iterator[Desk]:
    """Sit down at a second desk before the same ledger."""
    with closing(open_ledger(desk.ledger.url)) as ledger:
        yield replace(desk, ledger=ledger, operator="Ines")


@on_both
@pytest.mark.parametrize("record", DEEDS)
def test_what_another_changes_meanwhile_is_kept(desk: Desk, record: str) -> None:
    """One begins while the other is at it: the later one waits and sees what the earlier one wrote."""
    add_supplier(desk, Supplier("Brightwater Lens Laboratory", "A-77", "555-0164"))
    deed, ((first, one), (second, other)) = DEEDS[record][0], tuple(DEEDS[record][1].items())
    begun: list[Future[Any]] = []

    def while_the_other_begins(found: Any) -> Any:  # noqa: ANN401 - as above
        begun.append(threads.submit(deed, there, lambda new: replace(new, **{second: other})))
        # One that need not wait for its turn would be done by then, and lost afterwards.
        wait(begun, timeout=0.4)
        return replace(found, **{first: one})

    with another(desk) as there, ThreadPoolExecutor(1) as threads:
        deed(desk, while_the_other_begins)
        begun[0].result()
        kept = deed(desk, lambda found: found)
    assert (getattr(kept, first), getattr(kept, second)) == (one, other)


@on_both
@pytest.mark.parametrize(
    ("goods", "code", "one", "other"),
    [
        (FRAMES, WREN.code, {"price": 19000}, {"colour": "slate"}),
        (ACCESSORIES, CASE.code, {"price": 1500}, {"name": "Harder case"}),
        (LENSES, SINGLE.code, {"price": 9000}, {"name": "Clear lens", "blank_diameters": (65.0, 80.0)}),
        (EXTRAS, CLEAR.code, {"price": 9995}, {"name": "Coating"}),
        (OFFERS, INCLUDED.code, {"name": "Lenses included"}, {"ends": date(2027, 3, 2)}),
    ],
    ids=["frame", "accessory", "lens", "extra", "offer"],
)
def test_goods_keep_both_changes(desk: Desk, goods: Any, code: str, one: dict[str, Any], other: dict[str, Any]) -> None:  # noqa: ANN401 - any kind
    """Price and name changed at the same moment, again and again: neither is lost."""
    before = _item(goods.called(desk, code))
    undo = {name: getattr(before, name) for name in (*one, *other)}
    at_once = Barrier(2)

    def change(there: Desk, changes: dict[str, Any]) -> None:
        at_once.wait(timeout=10)
        goods.change(there, code, changes)

    with another(desk) as there, ThreadPoolExecutor(2) as threads:
        for _ in range(ROUNDS):
            goods.change(desk, code, undo)
            for done in (threads.submit(change, desk, one), threads.submit(change, there, other)):
                done.result()
            found = _item(goods.called(desk, code))
            assert {name: getattr(found, name) for name in (*one, *other)} == {**one, **other}


def _item(found: Any) -> Any:  # noqa: ANN401 - as above
    return found[0] if isinstance(found, tuple) else found


@on_both
def test_a_change_of_the_shop_gives_what_is_stored(desk: Desk) -> None:
    """What the deed gives back is what is read afterwards, settings included."""
    changed = change_shop(desk, lambda shop, settings: (replace(shop, phone="555-0188"), replace(settings, paper="a4")))
    assert changed == shop_and_settings(desk)
    assert (changed[0].phone, changed[1].paper) == ("555-0188", "a4")
