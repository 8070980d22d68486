"""Strips: one for each fact that nobody may miss, from one table of rules, and none where nothing is so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.inspections import Remake, Scrap
from shopledger.ledger.orders import Making, OwnLens
from shopledger.ledger.papers.job_sheet import Job, job_sheet
from shopledger.ledger.papers.strips import (
    ON_JOB_SHEET,
    ON_LENS_ORDER,
    ON_REORDER,
    LensSaid,
    Strip,
    StripFacts,
    StripKind,
    strips_of,
)
from shopledger.optics.sides import Side
from tests.ledger.papers.bench import job
from tests.ledger.papers.lab import sent
from tests.shelf import CUSTOMER, WREN

RIGHT, LEFT = LensSaid(Side.RIGHT), LensSaid(Side.LEFT)
DAY = date(2026, 3, 1)


def remade(scrap: Scrap, remakes: int = 1) -> Job:
    """Give a job that is made again because of a scratch, told of by the wearer."""
    return replace(job(), remake=Remake(57, DAY, f"scratched, says {CUSTOMER}.", 500, scrap, number=9), remakes=remakes)


def in_place(cause: RemakeCause, reason: str = "the coating peeled") -> Job:
    """Give a job in the place of job 51."""
    whole = job()
    return replace(whole, pair=replace(whole.pair, again=Again(1, 51, cause, DAY, reason)))


def only_right() -> Job:
    """Give a job whose left lens stays as it is."""
    whole = job("-2.50 DS 1 BU", "-2.25 DS 2 BI")
    return replace(whole, pair=replace(whole.pair, left=OwnLens(Making.KEPT)))


def strips(made: Job) -> dict[StripKind, Strip]:
    """Give the strips of a job's sheet by their kinds."""
    found = job_sheet(made).strips
    assert len({strip.kind for strip in found}) == len(found)
    return {strip.kind: strip for strip in found}


def test_a_plain_job_has_none() -> None:
    """White on black is kept for what is unusual."""
    assert job_sheet(job()).strips == ()


@pytest.mark.parametrize("kind", StripKind)
def test_every_kind_has_its_rule(kind: StripKind) -> None:
    """A kind without a rule fails at once; with no facts, each rule says nothing."""
    assert strips_of(StripFacts(), (kind,)) == ()


@pytest.mark.parametrize(
    ("scrap", "lenses", "others"),
    [
        (Scrap.BOTH, (RIGHT, LEFT), ()),
        (Scrap.RIGHT, (RIGHT,), ("the left one is done",)),
        (Scrap.LEFT, (LEFT,), ("the right one is done",)),
        (Scrap.NONE, (), ("with the lenses that are there",)),
    ],
)
def test_a_remake_says_which_lens_and_why(scrap: Scrap, lenses: tuple[LensSaid, ...], others: tuple[str, ...]) -> None:
    """Of the wearer the reason keeps no more than initials."""
    strip = strips(remade(scrap))[StripKind.REMAKE]
    assert strip == Strip(StripKind.REMAKE, lenses, (*others, "scratched, says O.F"))


def test_a_second_remake_says_that_it_is_one() -> None:
    """Which one it is is known from the job's own history; the first needs no number."""
    assert "remake 2 of this job" in strips(remade(Scrap.BOTH, 2))[StripKind.REMAKE].said
    assert not any("remake" in said for said in strips(remade(Scrap.BOTH))[StripKind.REMAKE].said)


def test_a_job_made_again_says_whose_doing_it_was() -> None:
    """The cause and the job in whose place it is; a reason that nobody gave leaves nothing behind."""
    said = strips(in_place(RemakeCause.MAKER))[StripKind.REMAKE].said
    assert said == ("in the place of job 51, maker error", "the coating peeled")
    assert strips(in_place(RemakeCause.LOST, ""))[StripKind.REMAKE].said == ("in the place of job 51, lost on its way",)


@pytest.mark.parametrize("cause", [RemakeCause.PUT_RIGHT, RemakeCause.EXCHANGED])
def test_what_was_put_right_is_no_remake(cause: RemakeCause) -> None:
    """Nothing was made yet: the sheet says it among what to look at, and no lens is called a remake."""
    made = in_place(cause, "PD read wrong")
    assert StripKind.REMAKE not in strips(made)
    assert job_sheet(made).asks == (f"In the place of job 51, {cause.value}: PD read wrong.",)
    assert StripKind.REMAKE not in {strip.kind for strip in sent(made).strips}


def test_a_remake_is_also_said_in_a_sentence_to_who_has_no_paper() -> None:
    """It is not among what the sheet asks, where its strip says it already."""
    sheet = job_sheet(remade(Scrap.RIGHT))
    assert sheet.asks == ()
    assert sheet.looks == ("Made again, the RIGHT lens only; the left one is done: scratched, says O.F.",)


def test_a_customer_s_own_frame_is_said() -> None:
    """The shop has no second one."""
    assert StripKind.OWN_FRAME in strips(job(frame=replace(WREN, owned_by=1)))
    assert StripKind.OWN_FRAME not in strips(job())


def test_one_lens_alone_is_said_and_the_other_eye_has_no_prism() -> None:
    """The left lens stays as it is, whatever prism it has."""
    found = strips(only_right())
    assert found[StripKind.ONE_LENS] == Strip(StripKind.ONE_LENS, (RIGHT,))
    assert found[StripKind.PRISM].lenses == (LensSaid(Side.RIGHT, "1.00 BU"),)


def test_prism_is_said_of_each_eye_in_one_order() -> None:
    """In or out first, then up or down."""
    both = strips(job("-2.50 DS 1 BU 2 BI", "-2.25 DS 2 BO"))[StripKind.PRISM]
    assert both.lenses == (LensSaid(Side.RIGHT, "2.00 BI, 1.00 BU"), LensSaid(Side.LEFT, "2.00 BO"))


def test_an_edge_is_thick_from_the_thickness_on_that_the_checks_ask_about() -> None:
    """7 mm (common practice, no source); just below it is not."""
    facts = StripFacts(thickest={Side.RIGHT: 6.99, Side.LEFT: 7.0})
    assert strips_of(facts, ON_JOB_SHEET) == (Strip(StripKind.THICK_EDGE, (LensSaid(Side.LEFT, "7.0 mm"),)),)
    whole = job("-12.00 DS", "-1.00 DS")
    assert whole.layout is not None
    assert whole.layout.right.body is not None
    (strip,) = job_sheet(whole).strips
    assert strip.kind is StripKind.THICK_EDGE
    assert [lens.side for lens in strip.lenses] == [Side.RIGHT]


def test_a_lab_hears_what_concerns_it_and_no_reason() -> None:
    """That it is a remake, in whose place, one lens, prism; why is kept in the shop, and the frame is not the lab's."""
    made = in_place(RemakeCause.MAKER)
    made = replace(made, frame=replace(made.frame, owned_by=1))
    order = sent(made, lenses=(Side.LEFT,))
    assert order.strips == (
        Strip(StripKind.REMAKE, (LEFT,), ("in the place of job 51",)),
        Strip(StripKind.ONE_LENS, (LEFT,)),
    )
    assert "peeled" not in order.canonical()
    again = sent(remade(Scrap.BOTH), remake=9)
    assert again.strips == (Strip(StripKind.REMAKE, (RIGHT, LEFT)),)
    assert sent(job()).strips == ()


def test_each_paper_shows_its_kinds() -> None:
    """The job sheet shows all; what is sold anew is no remake, and a lab is not told of the shop's own questions."""
    assert set(ON_JOB_SHEET) == set(StripKind)
    assert set(ON_REORDER) == set(StripKind) - {StripKind.REMAKE}
    assert set(ON_LENS_ORDER) == {StripKind.REMAKE, StripKind.ONE_LENS, StripKind.PRISM}
