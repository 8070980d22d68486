"""Jobs put right after the sale: what each deed comes to, and what it refuses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Final

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.closing import close_month
from shopledger.desk.changing_jobs import LENSES_ORDERED, MEASURED_FOR, FrameBroken, JobChange, Remeasured
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES, add_frame
from shopledger.desk.inspecting import record_inspection, record_remake
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, record_arrival
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, ship_order
from shopledger.desk.people import add_supplier
from shopledger.desk.putting_right import plan_correction, record_correction
from shopledger.desk.receipt_lookups import overtaken_of
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stages import Stage
from shopledger.ledger.stock import OutOfStockError, StockReason
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from tests.desk.books import on_both, postings, words_in
from tests.desk.family import (
    CHILDS,
    DISTANCE,
    MEASURED,
    inspected,
    later,
    ordered,
    prescribe,
    read_as_ordered,
)
from tests.desk.righted import CASH_BACK, WHY, assert_whole, free, pay_all, refused, sell_two_pairs, stands
from tests.rows import rows
from tests.shelf import CHILD, CLEAR, CUSTOMER, LARK, SINGLE, THIN, WREN

pytestmark = pytest.mark.slow

WIDE: Final = frozenset({"DECENTRATION-UNUSUAL"})


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell the customer's pair and the child's, with two cases."""
    return sell_two_pairs(desk)


@on_both
def test_a_wrong_pd_is_put_right(sold: Desk, tmp_path: Path) -> None:
    """A job in the place of the old one has the other PD and all else as it was; no line and no amount changes."""
    issue_receipt(sold, 1, CUSTOMER, tmp_path, not_paid_in_full=True)
    before = order_account(sold, 1)
    done = record_correction(sold, JobChange(1, WHY, measured=Remeasured(pd_right=32)))
    (job,) = done.jobs
    assert job.measurements == replace(MEASURED, right=replace(MEASURED.right, mono_pd=32))
    assert replace(job, job_number=1, position=1, again=None, measurements=MEASURED) == before.order.pairs[0]
    assert done.account.order.lines == before.order.lines
    assert (done.correction.kind, done.correction.parts, done.refund) == (CorrectionKind.PUT_RIGHT, (), None)
    assert done.touched_receipts == ()
    assert [row.job.facts.job_number for row in open_jobs(sold)] == [2, 3]
    assert job_card(sold, 1).row.standing.stage is Stage.OVERTAKEN
    assert_whole(sold)


def test_one_measure_is_put_right_and_the_others_stay(sold: Desk) -> None:
    """A height of one eye; a PD of both for a child that was measured so, and a near PD of each eye."""
    record_correction(sold, JobChange(1, WHY, measured=Remeasured(height_left=20, near=(29, 28.5))))
    record_correction(sold, JobChange(2, WHY, measured=Remeasured(pd=55)))
    _, _, first, second = order_account(sold, 1).order.pairs
    assert first.measurements == Measurements(EyeMeasurements(31.5, 29, 19), EyeMeasurements(31.0, 28.5, 20))
    assert second.measurements == Measurements.from_binocular(55, None, 17, 17)


@on_both
@pytest.mark.parametrize("paid", [False, True])
def test_a_wrong_frame_is_put_right(sold: Desk, paid: bool) -> None:
    """The right one comes in at today's price, the lenses stay included; 60.00 are owed no longer, or go back."""
    # Nothing of it left yet, so the change itself posts nothing; what leaves later is 120.00, 120.00 and 24.00.
    if paid:
        pay_all(sold)
    done = record_correction(sold, JobChange(1, CASH_BACK if paid else WHY, frame=LARK.code))
    assert (done.account.balance, done.refund and done.refund.amount) == ((0, 6000) if paid else (27050, None))
    assert stands(sold) == [("SV-150", 0), ("LARK-48", 12000), ("SV-150", 0), ("CASE", 2400), ("SHIPPING", 650),
                            ("LARK-48", 12000)]  # fmt: skip
    assert done.account.order.lines[-1].pair == 1
    assert (free(sold, WREN.code), free(sold, LARK.code)) == (3, 0)
    back = [("refund 1", "cash", -6000), ("refund 1", "customer prepayments", 6000)]
    assert [each for each in postings(sold) if each[0].startswith("correction")] == []
    assert sorted(each for each in postings(sold) if each[0].startswith("refund")) == (back if paid else [])
    ship_order(sold, 1, "post", without_inspection="a trial")
    moved = [(account, amount) for document, account, amount in postings(sold) if document == "parcel 1"]
    assert sum(amount for account, amount in moved if account in {"sales", "offers and discounts"}) == -26400
    assert {account for account, _ in moved} >= {"shipping income", "customer prepayments" if paid else "receivable"}
    assert_whole(sold)


def test_a_frame_that_is_not_free_is_refused(sold: Desk) -> None:
    """Both brick frames are promised by then; what is set free by the same deed counts."""
    record_correction(sold, JobChange(1, WHY, frame=LARK.code))
    record_sale(sold, ordered(DISTANCE))
    said = refused(sold, JobChange(4, WHY, frame=LARK.code), OutOfStockError)
    assert "LARK-48: 1 asked for, 0 on hand" in said
    record_correction(sold, JobChange(3, WHY, frame=WREN.code))
    record_correction(sold, JobChange(4, WHY, frame=LARK.code))
    assert_whole(sold)


@on_both
def test_a_wrong_wearer_is_put_right(sold: Desk, tmp_path: Path) -> None:
    """The lines change hands at their price, the power is the child's; both receipts are overtaken."""
    pay_all(sold)
    for wearer in (CUSTOMER, CHILD):
        issue_receipt(sold, 1, wearer, tmp_path)
    asked = JobChange(1, WHY, wearer=CHILD)
    with pytest.raises(FindingsRefusedError, match=MEASURED_FOR):
        record_correction(sold, asked)
    yes = replace(WHY, accept=WIDE)
    done = record_correction(sold, JobChange(1, yes, wearer=CHILD, measured=Remeasured(pd=54, near=(51,))))
    assert done.touched_receipts == (1, 2)
    assert {part.wearer_number: part.kept for part in parts_of(done.account)} == {1: 0, 2: 33050}
    assert (done.account.balance, done.refund) == (0, None)
    (job,) = done.jobs
    assert (job.wearer_number, job.prescription_number, job.made and job.made.right.power.sphere) == (2, 2, -1.0)
    assert stands(sold)[-2:] == [("WREN-52", 18000), ("SV-150", 0)]
    assert_whole(sold)


@on_both
def test_a_wrong_prescription_changes_powers_and_codes_alone(sold: Desk, tmp_path: Path) -> None:
    """The lenses stay included under the frozen offer, whatever the catalogue says since; the code is another."""
    prescribe(sold, CUSTOMER, "-4.50 DS", "-4.00 -0.50 x 085")
    LENSES.change(sold, SINGLE.code, {"price": 9900})
    issued = [issue_receipt(sold, 1, each, tmp_path, not_paid_in_full=True).receipt for each in (CUSTOMER, CHILD)]
    done = record_correction(sold, JobChange(1, WHY, prescription=3))
    assert done.touched_receipts == (1,)
    assert overtaken_of(sold, issued) == {1}
    line = done.account.order.lines[-1]
    assert (line.item_code, line.list_price, line.net, line.offer_code) == ("SV-150", 8000, 0, "SV-FREE")
    assert [(charge.modifier, charge.code) for charge in line.charges] == [("RT", "V2101"), ("LT", "V2103")]
    assert [part.line for part in done.correction.parts] == [2]
    assert done.account.balance == 33050
    assert_whole(sold)


def test_another_power_under_the_same_code_is_another_lens(sold: Desk, tmp_path: Path) -> None:
    """Its line is written anew at the same price, so that the receipt with the old power is overtaken."""
    issued = [issue_receipt(sold, 1, CUSTOMER, tmp_path, not_paid_in_full=True).receipt]
    prescribe(sold, CUSTOMER, "-2.75 -1.25 x 090", "-2.25 -1.00 x 085")
    done = record_correction(sold, JobChange(1, WHY, prescription=3))
    assert [part.line for part in done.correction.parts] == [2]
    assert done.touched_receipts == (1,)
    assert overtaken_of(sold, issued) == {1}


def test_a_power_in_two_bands_asks_as_with_a_sale(sold: Desk) -> None:
    """The code is not taken over from the old power; once chosen, it is kept through the next correction."""
    prescribe(sold, CUSTOMER, "-8.00 -2.25 x 090", "-8.00 -2.00 x 090")
    said = refused(sold, JobChange(1, WHY, prescription=3), UnsettledCodeError)
    assert "V2111 or V2112" in said
    record_correction(sold, JobChange(1, WHY, prescription=3, codes={Side.RIGHT: "V2112"}))
    done = record_correction(sold, JobChange(3, WHY, measured=Remeasured(pd_left=30)))
    assert done.correction.parts == ()
    assert [charge.code for charge in done.account.order.lines[-1].charges] == ["V2112", "V2111"]


def test_another_lens_comes_at_its_price_or_as_agreed(sold: Desk) -> None:
    """180.00 by the catalogue, 150.00 as agreed; what the lenses are for stays."""
    dear = plan_correction(sold, JobChange(1, WHY, lens=THIN.code))
    assert dear.difference == 18000
    agreed = replace(WHY, prices={THIN.code: 15000})
    done = record_correction(sold, JobChange(1, agreed, lens=THIN.code))
    line = done.account.order.lines[-1]
    assert (line.list_price, line.reduction, line.net, line.offer_code) == (18000, 3000, 15000, "")
    assert sum(charge.net for charge in line.charges) == 15000
    assert done.jobs[0].use is LensUse.DISTANCE
    assert refused(sold, JobChange(2, agreed, note="by hand")).startswith("agreed price is of SV-167; nothing comes in")
    assert_whole(sold)


def test_a_lens_that_is_included_with_a_frame_comes_in_by_the_offer(desk: Desk) -> None:
    """As with a sale; without the offer where it is declined."""
    record_sale(desk, ordered(replace(DISTANCE, lens=THIN.code)))
    declined = replace(WHY, without_offers=("SV-FREE",))
    assert plan_correction(desk, JobChange(1, declined, lens=SINGLE.code)).difference == 8000 - 18000
    record_correction(desk, JobChange(1, WHY, lens=SINGLE.code))
    assert order_account(desk, 1).balance == 18000
    assert_whole(desk)


def test_the_use_of_single_vision_lenses_is_put_right(sold: Desk) -> None:
    """Reading instead of distance: sphere and add together, other words and codes on the same price."""
    done = record_correction(sold, JobChange(1, WHY, use=LensUse.READING))
    (job,) = done.jobs
    assert job.made is not None
    assert (job.made.right.power.sphere, job.use) == (-0.5, LensUse.READING)
    assert done.account.order.lines[-1].description == "Clear single vision, for reading"
    assert done.account.balance == 33050


@on_both
def test_an_upgrade_is_put_on_and_taken_off_again(sold: Desk) -> None:
    """129.95, an odd cent to the right lens; off again, nothing is left of it and each line stands once."""
    done = record_correction(sold, JobChange(1, WHY, extras=(CLEAR.code,)))
    assert [charge.net for charge in done.account.order.lines[-1].charges] == [6498, 6497]
    assert done.account.balance == 33050 + 12995
    pay_all(sold)
    asked = JobChange(3, WHY, without_extras=("clear",))
    assert refused_to_store(sold, asked) == "method is not said; 129.95 was paid and goes back"
    done = record_correction(sold, replace(asked, terms=CASH_BACK))
    assert (done.refund and done.refund.amount, done.account.balance) == (12995, 0)
    assert [pair.extras for pair in done.account.order.pairs] == [(), (), ("CLEAR",), ()]
    assert_whole(sold)


def refused_to_store(desk: Desk, asked: JobChange) -> str:
    """Give the first part of the sentence by which storing is refused."""
    with pytest.raises(RefusedError) as refusal:
        record_correction(desk, asked)
    return str(refusal.value).partition(".  ")[0].partition(". Say")[0]


def test_a_way_to_give_back_is_refused_where_nothing_goes_back(sold: Desk) -> None:
    """Nobody is to think that money went out."""
    assert "no money goes back" in refused_to_store(sold, JobChange(1, CASH_BACK, measured=Remeasured(pd_right=32)))


def test_lenses_that_were_ordered_are_asked_about(sold: Desk, tmp_path: Path) -> None:
    """They may be the wrong ones, on their way or here; a note alone changes nothing of them."""
    add_supplier(sold, Supplier("Brightwater Lab"))
    place_lens_order(sold, LensOrderRequest(1, "Brightwater"), tmp_path)
    asked = JobChange(1, WHY, measured=Remeasured(pd_right=32))
    (found,) = [each for each in plan_correction(sold, asked).change.findings if each.code == LENSES_ORDERED]
    assert "lens order 1) and are on their way" in found.sentence
    record_arrival(sold, 1)
    with pytest.raises(FindingsRefusedError, match="came on 2026-03-02"):
        record_correction(sold, asked)
    assert not plan_correction(sold, JobChange(1, WHY, note="by hand")).change.findings
    yes = replace(WHY, accept=frozenset({LENSES_ORDERED}))
    record_correction(sold, replace(asked, terms=yes))
    with sold.reading() as work:
        assert rows(work, "audit_note", {"deed": "accepted a warning"})[-1].detail == LENSES_ORDERED


def test_a_warning_that_was_accepted_with_the_order_is_not_asked_again(desk: Desk) -> None:
    """Word for word the same finding was said yes to; one that the correction brings is asked."""
    record_sale(desk, ordered(replace(CHILDS, frame=WREN.code), accept=WIDE))
    record_correction(desk, JobChange(1, WHY, lens=THIN.code))
    with pytest.raises(FindingsRefusedError, match="DECENTRATION-UNUSUAL"):
        record_correction(desk, JobChange(2, WHY, measured=Remeasured(pd=53)))


@on_both
def test_a_frame_that_broke_in_work_is_replaced_by_another_of_it(sold: Desk) -> None:
    """It is written off at its cost, another is kept for the order, nothing is charged, and the job is made anew."""
    inspected(sold)
    done = record_correction(sold, FrameBroken(1, replace(WHY, reason="temple snapped")))
    assert (done.account.balance, done.correction.parts) == (33050, ())
    assert free(sold, WREN.code) == 1
    assert postings(sold)[-2:] == [("movement 5", "inventory", -6200), ("movement 5", "stock written off", 6200)]
    assert [each.again.cause.value for each in done.jobs if each.again] == ["broken in work"]
    assert [row.job.facts.job_number for row in open_jobs(sold)] == [2, 3]
    assert_whole(sold)


@on_both
def test_a_broken_frame_is_replaced_by_another_kind_at_the_old_price(sold: Desk) -> None:
    """A dearer one costs the customer nothing more, and stands on the order as the frame of that pair."""
    done = record_correction(sold, FrameBroken(2, replace(WHY, reason="rim cracked", accept=WIDE), WREN.code))
    line = done.account.order.lines[-1]
    assert (line.item_code, line.list_price, line.net, line.pair) == ("WREN-52", 18000, 12000, 2)
    assert done.account.balance == 33050
    assert (free(sold, WREN.code), free(sold, LARK.code)) == (1, 1)
    with sold.reading() as work:
        (gone,) = rows(work, "stock_movement", {"reason": StockReason.WRITTEN_OFF.value})
    assert (gone.item_code, gone.quantity, gone.job_number, gone.note) == ("LARK-48", -1, 2, "rim cracked")
    assert_whole(sold)


@on_both
def test_a_customers_own_frame_that_breaks_is_replaced_for_nothing(desk: Desk) -> None:
    """One of the shop's takes its place at 0.00; its cost leaves with the order."""
    add_frame(desk, replace(WREN, code="OWN-1", price=0, cost=0), owner=CUSTOMER)
    record_sale(desk, ordered(replace(DISTANCE, frame="OWN-1")))
    assert "Name the frame that takes its place" in refused(desk, FrameBroken(1, WHY))
    done = record_correction(desk, FrameBroken(1, replace(WHY, reason="bridge broke"), LARK.code))
    line = done.account.order.lines[-1]
    assert (line.item_code, line.list_price, line.net, done.account.balance) == ("LARK-48", 12000, 0, 8000)
    inspected(desk)
    ship_order(desk, 1, "post")
    assert free(desk, LARK.code) == 1
    assert_whole(desk)


def test_a_frame_of_which_there_is_no_other_does_not_replace_a_broken_one(sold: Desk) -> None:
    """Both brick frames are promised, one of them to the job itself."""
    record_sale(sold, ordered(CHILDS))
    assert "LARK-48: 1 asked for, 0 on hand" in refused(sold, FrameBroken(2, WHY), OutOfStockError)


@on_both
def test_what_was_put_right_is_put_right_again(sold: Desk) -> None:
    """The job that stands is named; the order keeps its place and ships once, with the newest."""
    record_correction(sold, JobChange(1, WHY, measured=Remeasured(pd_right=32)))
    said = refused(sold, JobChange(1, WHY, measured=Remeasured(pd_right=31)))
    assert "job 3 took its place on 2026-03-02 (put right). Go on with that one: 'shopledger job show 3'" in said
    record_correction(sold, JobChange(3, WHY, frame=LARK.code))
    inspected(sold)
    ship_order(sold, 1, "post")
    with sold.reading() as work:
        sent = sorted((each.item_code, each.job_number) for each in work.stock.of_order(1))
    assert sent == [("CASE", None), ("LARK-48", 2), ("LARK-48", 4)]
    assert_whole(sold)


def test_a_job_that_was_cut_is_made_again_instead(sold: Desk) -> None:
    """Passed, failed, to be made again, or away: each says how it is known, and what to type."""
    record_inspection(sold, read_as_ordered(sold, 1))
    record_remake(sold, 2, "axis off", 900)
    for job, known in ((1, "it was inspected on 2026-03-02"), (2, "it was to be made again on 2026-03-02")):
        said = refused(sold, JobChange(job, WHY, measured=Remeasured(pd=60)))
        assert known in said
        assert f"shopledger job remake {job}" in said
    ship_order(sold, 1, "post", without_inspection="a trial")
    assert "it left on 2026-03-02" in refused(sold, JobChange(1, WHY, measured=Remeasured(pd=60)))
    assert "it left on 2026-03-02" in refused(sold, FrameBroken(1, WHY))


def test_what_cannot_be_put_right_is_refused_in_words(sold: Desk) -> None:
    """Nothing to change, what is not there, a day before the order, and unlikely measures; nothing is stored."""
    for asked, said in (
        (JobChange(1, WHY), "nothing on it would change"),
        (JobChange(1, WHY, frame="wren-52"), "nothing on it would change"),
        (JobChange(1, WHY, wearer="Odalys"), "nothing on it would change"),
        (JobChange(1, WHY, without_extras=("CLEAR",)), "the job has none there"),
        (JobChange(1, WHY, prescription=2), "it is not Odalys Fernhollow's"),
        (JobChange(1, WHY, frame="FINCH"), "FINCH"),
        (JobChange(9, WHY, frame=LARK.code), "no job"),
        (JobChange(1, replace(WHY, day=date(2026, 2, 1)), frame=LARK.code), "2026-02-01"),
        (JobChange(1, replace(WHY, day=date(2026, 3, 9)), frame=LARK.code), "it lies after today"),
        (JobChange(1, replace(WHY, reason=" "), frame=LARK.code), "reason"),
        (JobChange(1, WHY, measured=Remeasured(pd=90)), "PD"),
        (JobChange(1, WHY, measured=Remeasured(pd=62, pd_left=31)), "it is one or the other"),
    ):
        assert said.casefold() in refused(sold, asked, ShopledgerError).casefold(), asked


def test_a_cancelled_order_and_a_closed_month_take_no_correction(sold: Desk) -> None:
    """The month of the correction counts: an order of a closed month is put right in an open one."""
    april = later(sold, date(2026, 4, 2))
    close_month(april, Month(2026, 3), frozenset({"NOT-SHIPPED", "NOT-PAID", "NO-LENS-BILL", "TAX-NOT-SET"}))
    asked = JobChange(1, replace(WHY, day=date(2026, 3, 30)), frame=LARK.code)
    assert "2026-03" in refused(april, asked, ShopledgerError)
    record_correction(april, replace(asked, terms=WHY))
    cancel_order(april, 1, "changed her mind")
    assert "was cancelled on 2026-04-02" in refused(april, JobChange(2, WHY, frame=WREN.code))
    assert_whole(april)


def test_a_pair_with_lenses_of_their_own_keeps_them(desk: Desk) -> None:
    """What one lens has alone stays through a correction of the other things, and is itself put right."""
    pair = replace(DISTANCE, left=replace(DISTANCE.left, lens=THIN.code, extras=(CLEAR.code,)))
    record_sale(desk, ordered(pair))
    before = order_account(desk, 1)
    done = record_correction(desk, JobChange(1, WHY, measured=Remeasured(pd_right=32)))
    assert (done.account.order.lines, done.jobs[0].left) == (before.order.lines, before.order.pairs[0].left)
    done = record_correction(
        desk, JobChange(2, WHY, own_lenses={Side.LEFT: SINGLE.code}, without_own_extras={Side.LEFT: (CLEAR.code,)})
    )
    assert not done.jobs[0].left
    assert_whole(desk)


def test_the_sheet_says_what_became_of_a_job(sold: Desk, tmp_path: Path) -> None:
    """The old one is not to be made, the new one says in whose place it stands and why."""
    from shopledger.desk.job_sheets import print_job_sheet

    record_correction(sold, JobChange(1, WHY, measured=Remeasured(pd_right=32)))
    old, new = (words_in(print_job_sheet(sold, job, tmp_path)) for job in (1, 3))
    assert "Do not make it: job 3 took its place" in old
    assert "In the place of job 1, put right: misread." in new
