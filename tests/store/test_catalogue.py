"""Catalogue items are known by their codes; changing one leaves what was sold as it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import UnknownNameError
from shopledger.store.opening import Ledger
from shopledger.store.refusals import DuplicateError
from tests.rows import rows
from tests.shelf import CASE, CLEAR, GRADUAL, INCLUDED, LARK, LINED, SINGLE, WREN
from tests.store.samples import NOW, OPERATOR, an_order


def test_a_code_is_given_once_of_each_kind(furnished: Ledger) -> None:
    """A second frame, lens, extra, accessory or offer of a code is refused by name."""
    with furnished.writing(OPERATOR, NOW) as work:
        shelf = work.catalogue
        twice = (
            (lambda: shelf.add_frame(WREN), "frame 'WREN-52'"),
            (lambda: shelf.add_lens(SINGLE), "lens 'SV-150'"),
            (lambda: shelf.add_extra(CLEAR), "extra 'CLEAR'"),
            (lambda: shelf.add_accessory(CASE), "accessory 'CASE'"),
            (lambda: shelf.add_offer(INCLUDED), "offer 'SV-FREE'"),
        )
        for add, said in twice:
            with pytest.raises(DuplicateError, match=said):
                add()
        shelf.add_extra(replace(CLEAR, code="CASE"))


def test_a_code_is_found_as_it_is_typed_and_an_unknown_one_gets_the_nearest(furnished: Ledger) -> None:
    """Small letters and spare space do no harm; a slip is answered with what was perhaps meant."""
    with furnished.reading() as work:
        assert work.catalogue.frame(" wren-52 ").model == WREN.model
        with pytest.raises(UnknownNameError, match=r"no frame called 'WREN-53'\. Did you mean WREN-52"):
            work.catalogue.frame("WREN-53")
        with pytest.raises(UnknownNameError, match="no lens called 'WREN-52'"):
            work.catalogue.lens("WREN-52")


def test_a_segment_comes_back_as_it_was_kept(furnished: Ledger) -> None:
    """Its shape, size and place on the blank, and for a progressive whether it has thinning prism."""
    thinned = replace(GRADUAL, fitting_up=4.0, thinning_prism=False)
    with furnished.writing(OPERATOR, NOW) as work:
        lined = work.catalogue.add_lens(LINED)
        work.catalogue.change_lens(thinned)
        assert work.catalogue.lens(LINED.code) == lined == replace(LINED, number=lined.number)
        kept = work.catalogue.lens(GRADUAL.code)
        assert (kept.fitting_up, kept.thinning_prism, kept.segment_shape) == (4.0, False, None)


def test_items_are_listed_by_code_and_offers_as_they_were_added(furnished: Ledger) -> None:
    """Offers are tried in the order in which the owner made them."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.catalogue.add_offer(replace(INCLUDED, code="AAA"))
        assert [frame.code for frame in work.catalogue.frames()] == [LARK.code, WREN.code]
        assert [lens.code for lens in work.catalogue.lenses()] == [GRADUAL.code, SINGLE.code]
        assert [offer.code for offer in work.catalogue.offers()] == [INCLUDED.code, "AAA"]


def test_only_offers_of_the_day_are_given(furnished: Ledger) -> None:
    """An offer counts on its first and last day and on those between."""
    spring = replace(INCLUDED, code="SPRING", starts=date(2026, 3, 1), ends=date(2026, 5, 31))
    with furnished.writing(OPERATOR, NOW) as work:
        work.catalogue.add_offer(spring)
        for day, codes in (
            (date(2026, 2, 28), [INCLUDED.code]),
            (date(2026, 3, 1), [INCLUDED.code, "SPRING"]),
            (date(2026, 5, 31), [INCLUDED.code, "SPRING"]),
            (date(2026, 6, 1), [INCLUDED.code]),
        ):
            assert [offer.code for offer in work.catalogue.offers_on(day)] == codes


def test_changes_are_kept_whole_and_noted(furnished: Ledger) -> None:
    """New terms, blanks and matches take the old ones' place; each change leaves an audit note."""
    with furnished.writing(OPERATOR, NOW) as work:
        shelf = work.catalogue
        changed = (
            (replace(WREN, price=1), shelf.change_frame, shelf.frame),
            (replace(SINGLE, blank_diameters=(60, 62)), shelf.change_lens, shelf.lens),
            (replace(CLEAR, name="New"), shelf.change_extra, shelf.extra),
            (replace(CASE, price=5), shelf.change_accessory, shelf.accessory),
            (replace(INCLUDED, needs=(), automatic=False), shelf.change_offer, shelf.offer),
        )
        for item, change, get in changed:
            change(item)  # type: ignore[arg-type]
            assert replace(get(item.code), number=None) == item
        notes = [(note.subject_kind, note.detail) for note in rows(work, "audit_note", order=("number",))]
        assert notes[0] == ("frame", WREN.code)
        assert len(notes) == len(changed)
        with pytest.raises(UnknownNameError):
            shelf.change_frame(replace(WREN, code="OTHER"))


def test_an_order_keeps_what_it_was_priced_with(furnished: Ledger) -> None:
    """A new price or name in the catalogue does not reach back."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        work.catalogue.change_frame(replace(WREN, price=1, model="Renamed"))
        assert work.orders.get(order.number or 0) == order
