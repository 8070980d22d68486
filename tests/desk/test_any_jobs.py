"""Any jobs through the bench, against a reference model: each stands where it should, and every paper stays."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from shopledger.desk.books.closing import prove_books
from shopledger.desk.certifying import print_certificate, print_issued
from shopledger.desk.context import Desk
from shopledger.desk.drafts import drafted_order
from shopledger.desk.inspecting import record_impact, record_inspection, record_remake
from shopledger.desk.job_sheets import print_job_sheet
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, print_lens_order, record_arrival
from shopledger.desk.orders import ship_order
from shopledger.desk.people import add_supplier
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.reordering import draft_reorder
from shopledger.desk.sales import record_sale
from shopledger.desk.tracing import keep_trace
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.exchange.trace_file import write_trace_file
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.inspections import ImpactProof, Scrap
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace
from shopledger.store.opening import ledger_url, open_ledger
from tests.desk.books import everything
from tests.desk.family import CUT_SHORT, DISTANCE, MEASURED, TWICE, WHOLE, ordered, prescribe, read_as_ordered, set_shop
from tests.desk.reference_bench import (
    BOTH_LENSES,
    FRAMES,
    LOST,
    PlainBench,
    PlainCertificate,
    PlainDraft,
    PlainInspection,
    PlainJob,
)
from tests.ledgers import LONG_ON_SERVER, copied
from tests.rows import rows
from tests.shelf import CUSTOMER, LARK, SHOP, SINGLE, WREN

pytestmark = pytest.mark.slow

FIRST = date(2026, 3, 2)
LAB = "Brightwater"
USUAL = frozenset({"CHANGE-UNUSUAL", "ADD-CHANGE"})
RAN_OUT = frozenset({"PRESCRIPTION-EXPIRED"})
POWERS = (
    ("-2.75 -1.25 x 090 add 2.25", "-2.25 -1.00 x 085 add 2.25"),
    ("-3.25 -1.50 x 092 add 2.25", "-2.75 -1.25 x 080 add 2.25"),
    ("+1.00 -0.50 x 010 add 2.00", "+1.50 -0.75 x 120 add 2.00"),
)
CHANGED = ("the shop's profile", "the proof of impact resistance", "the day until which its records are kept")
NUMBERED = {
    "order": ("shop_order", "number"), "job": ("order_pair", "job_number"), "lens order": ("lens_order", "number"),
    "inspection": ("inspection", "number"), "remake": ("remake", "number"), "impact": ("impact_record", "number"),
    "certificate": ("certificate", "number"), "trace": ("trace", "number"), "draft": ("draft_order", "number"),
    "prescription": ("prescription", "number"),
}  # fmt: skip

picks = st.integers(0, 99)
frames = st.sampled_from(sorted(FRAMES))


class AnyJobs(RuleBasedStateMachine):
    """One shop over some years; every rule does the same to the ledger and to the reference model."""

    opened: Callable[[], tuple[Desk, ExitStack]]
    around: Path
    """Where the folders of shops lie."""
    drawn: Path
    """A drawn shape for the frame that nobody traced yet."""

    @initialize()
    def begin(self) -> None:
        """Open the furnished shop; a lab makes its lenses."""
        self.desk, self.stack = type(self).opened()
        # Each shop has a folder of its own: the papers of another are nothing to write over.
        self.folder = Path(self.stack.enter_context(TemporaryDirectory(dir=type(self).around)))
        add_supplier(self.desk, Supplier("Brightwater Lens Laboratory"))
        self.bench = PlainBench()
        self.prescribe(POWERS[0])
        self.sell([(WREN.code, False)])

    def teardown(self) -> None:
        """Prove that papers stay, that no number is missing and that the chain is whole; let go of the ledger."""
        if not hasattr(self, "stack"):
            return
        with self.stack:
            self.the_shop_changes("Elsewhere Optical", "a4")
            for place in range(len(self.bench.printed)):
                self.print_again(place)
            with self.desk.reading() as work:
                for kind, (table, key) in NUMBERED.items():
                    numbers = sorted(getattr(row, key) for row in rows(work, table))
                    assert numbers == list(range(1, self.bench.counted[kind] + 1)), kind
            prove_books(self.desk)

    @rule(days=st.integers(1, 20))
    def days_pass(self, days: int) -> None:
        """Come back some days later."""
        self.come_back(days)

    @rule(years=st.integers(2, 3), powers=st.sampled_from(POWERS), asked=st.booleans())
    def years_pass(self, years: int, powers: tuple[str, str], asked: bool) -> None:
        """Come back years later, with a new prescription or without one."""
        self.come_back(365 * years)
        if asked:
            self.prescribe(powers)

    @rule(name=st.sampled_from(["Pebble Optics", "Elsewhere Optical"]), paper=st.sampled_from(["letter", "a4"]))
    def the_shop_changes(self, name: str, paper: str) -> None:
        """Give the shop another name or paper size."""
        set_shop(self.desk, replace(SHOP, name=name), Settings(paper=paper))
        self.bench.shop, self.bench.paper = name, paper

    @rule(pairs=st.lists(st.tuples(frames, st.booleans()), min_size=1, max_size=2))
    def sell(self, pairs: list[tuple[str, bool]]) -> None:
        """Sell pairs, in frames from the shelf or the wearer's own; an empty shelf and an old prescription stop it."""
        asked = ordered(*(replace(DISTANCE, frame=code, frame_owned=owned) for code, owned in pairs), shipping=0)
        taken = [code for code, owned in pairs if not owned]
        if any(taken.count(code) > self.bench.shelf[code] for code in taken):
            self.refused(partial(record_sale, self.desk, replace(asked, accept=RAN_OUT | TWICE)))
            return
        if self.bench.ran_out(self.desk.today):
            self.refused(partial(record_sale, self.desk, asked), FindingsRefusedError)
        self.sold(record_sale(self.desk, replace(asked, accept=RAN_OUT | TWICE)), [code for code, _ in pairs])
        self.bench.shelf.subtract(taken)

    @precondition(lambda self: self.bench.counted["trace"] < 4)
    @rule(code=frames)
    def trace(self, code: str) -> None:
        """Keep a frame's shape, from a tracer's file or drawn; a file that is cut short is refused."""
        self.refused(partial(keep_trace, self.desk, code, CUT_SHORT))
        kept = keep_trace(self.desk, code, WHOLE if code == WREN.code else self.drawn)
        assert kept.stored.number == self.bench.next("trace")
        self.bench.traced.add(code)

    @rule(pick=picks, edged=st.booleans(), again=st.booleans())
    def order_lenses(self, pick: int, edged: bool, again: bool) -> None:
        """Order a job's lenses: once, until some are lost, or again for a reason; no lens is edged to no shape."""
        job = self.one(pick)
        edging, reason = (Edging.EDGED if edged else Edging.UNCUT), ("one more" if again else "")
        request = LensOrderRequest(job.number, LAB, edging, again=reason)
        deed = partial(place_lens_order, self.desk, request, self.folder)
        if job.order in self.bench.shipped or (edged and job.frame not in self.bench.traced) or job.settled != again:
            self.refused(deed, RefusedError)
            return
        sent = deed()
        assert sent.content.number == self.bench.next("lens order")
        assert sent.content.follows == (job.lens_orders[-1] if job.lens_orders else None)
        assert {lens for lens in BOTH_LENSES if getattr(sent.content, lens).asked} == (job.lost or BOTH_LENSES)
        job.lens_orders.append(sent.content.number)
        job.lost = frozenset()
        self.bench.printed["lens order", sent.content.number] = [file.read_bytes() for file in sent.files]

    @rule(pick=picks)
    def lenses_arrive(self, pick: int) -> None:
        """Let the lenses come that a job waits for; none that were not ordered, and none twice."""
        job = self.one(pick)
        if not job.lens_orders or job.lens_orders[-1] in job.arrived:
            self.refused(partial(record_arrival, self.desk, job.number), RefusedError)
            return
        assert record_arrival(self.desk, job.number).order.number == job.lens_orders[-1]
        job.arrived.add(job.lens_orders[-1])
        self.refused(partial(record_arrival, self.desk, job.number), RefusedError)

    @rule(pick=picks, found=st.sampled_from(["right", "right", "off", "swapped", "incomplete"]))
    def inspect(self, pick: int, found: str) -> None:
        """Inspect a job: as it was ordered, a dioptre off, the lenses swapped, or half of it left unmeasured."""
        job = self.one(pick)
        asked = read_as_ordered(self.desk, job.number)
        if found == "incomplete":
            self.refused(partial(record_inspection, self.desk, replace(asked, measured=None)))
            return
        right, left = asked.read.right, asked.read.left
        if found == "off":
            power = replace(left.power, sphere=left.power.sphere - 1)
            asked = replace(asked, read=Prescription(right, replace(left, power=power)))
        if found == "swapped":
            asked = replace(asked, read=Prescription(left, right))
            self.refused(partial(record_inspection, self.desk, asked), FindingsRefusedError)
            asked = replace(asked, accept=frozenset({"READINGS-SWAPPED"}))
        kept = record_inspection(self.desk, asked).inspection
        assert (kept.number, kept.passed) == (self.bench.next("inspection"), found == "right")
        job.inspections.append(PlainInspection(kept.number or 0, kept.passed))
        job.redone = False

    @rule(pick=picks, scrap=st.sampled_from(Scrap))
    def make_again(self, pick: int, scrap: Scrap) -> None:
        """Make a job again, with what of it was thrown away; for one that left another deed makes a job of its own."""
        job = self.one(pick)
        if job.order in self.bench.shipped:
            self.refused(partial(record_remake, self.desk, job.number, "scratched", 1850, scrap), RefusedError)
            return
        remake = record_remake(self.desk, job.number, "scratched", 1850, scrap)
        assert remake.number == self.bench.next("remake")
        assert remake.follows == (job.inspections[-1].number if job.inspections else None)
        job.redone = True
        job.lost |= LOST[scrap.value]
        self.refused(partial(ship_order, self.desk, job.order, "post"), RefusedError)

    @rule(pick=picks)
    def prove_impact(self, pick: int) -> None:
        """Keep the supplier's certificate of impact resistance."""
        job = self.one(pick)
        kept = record_impact(self.desk, job.number, ImpactProof.CERTIFICATE, "C-2207")
        assert kept.record.number == self.bench.next("impact")
        job.proofs += 1

    @rule(pick=picks, steps=st.integers(1, 8), first=st.sampled_from(["right", "off", "scratched"]))
    def go_on(self, pick: int, steps: int, first: str) -> None:
        """Bring a job some steps along the usual way; at first it may fail, or be scratched when it has passed."""
        job = self.one(pick)
        for _ in range(steps):
            self.next_step(job, self.pick_of(job), "" if len(job.inspections) > 1 else first)

    def next_step(self, job: PlainJob, pick: int, first: str) -> None:
        """Do with a job what comes next."""
        if job.stage == "inspected" and first == "scratched":
            self.make_again(pick, Scrap.BOTH)
        elif job.order in self.bench.shipped:
            self.reorder(pick, said_yes=True)
        elif job.stage == "inspected":
            self.certify(pick, anew=False)
            self.ship(pick, excused=not all(each.verdict for each in self.bench.of_order(job.order)))
        elif job.stage == "failed inspection":
            self.make_again(pick, Scrap.LEFT)
            self.order_lenses(pick, edged=False, again=False)
        elif job.stage == "lenses awaited":
            self.lenses_arrive(pick)
        elif job.settled:
            self.order_lenses(pick, edged=False, again=False)
            self.inspect(pick, "off" if first == "off" and not job.inspections else "right")
        else:
            self.order_lenses(pick, edged=job.frame in self.bench.traced, again=False)

    @rule(pick=picks, excused=st.booleans())
    def ship(self, pick: int, excused: bool) -> None:
        """Ship an order whose jobs have all passed; another only with a reason, which is refused where none lacks."""
        order = self.one(pick).order
        deed = partial(ship_order, self.desk, order, "post", without_inspection="she leaves today" if excused else "")
        lacking = any(job.verdict is not True for job in self.bench.of_order(order))
        if order in self.bench.shipped or lacking != excused:
            self.refused(deed, RefusedError)
            return
        assert deed().away
        self.bench.shipped[order] = self.desk.today

    @rule(pick=picks, anew=st.booleans())
    def certify(self, pick: int, anew: bool) -> None:
        """Print a job's certificate: frozen at its first print, and a new one only where it says something new."""
        job = self.one(pick)
        deed = partial(print_certificate, self.desk, job.number, self.folder, anew=anew)
        if not job.inspections:
            self.refused(deed, RefusedError)
            return
        facts, inspection = self.bench.facts(job), job.inspections[-1]
        last = inspection.certificates[-1] if inspection.certificates else None
        if anew and (last is None or (last.facts, last.paper) == (facts, self.bench.paper)):
            self.refused(deed, RefusedError)
            return
        printed = deed()
        assert bool(printed.overtaken) == job.redone
        if last is None or anew:
            number = self.bench.next("certificate")
            assert (printed.first, printed.content.replaces) == (True, last.number if last else None)
            inspection.certificates.append(PlainCertificate(number, facts, self.bench.paper))
            self.bench.printed["certificate", number] = [printed.file.read_bytes()]
            last = inspection.certificates[-1]
        assert (printed.content.number, printed.content.passed) == (last.number, inspection.passed)
        pairs = zip(CHANGED, last.facts, facts, strict=True)
        assert printed.changed == tuple(words for words, then, now in pairs if then != now)
        assert [printed.file.read_bytes()] == self.bench.printed["certificate", last.number]

    @precondition(lambda self: self.bench.printed)
    @rule(pick=picks)
    def print_again(self, pick: int) -> None:
        """Print a paper that went out before: the same bytes, however long ago it was."""
        kind, number = sorted(self.bench.printed)[pick % len(self.bench.printed)]
        if kind == "certificate":
            files: tuple[Path, ...] = (print_issued(self.desk, number, self.folder).file,)
        else:
            files = print_lens_order(self.desk, number, self.folder).files
        assert [file.read_bytes() for file in files] == self.bench.printed[kind, number]

    @rule(pick=picks)
    def print_the_sheet_twice(self, pick: int) -> None:
        """Print a job's sheet, at any stage of it: the same bytes both times."""
        number = self.one(pick).number
        first, second = (print_job_sheet(self.desk, number, self.folder).read_bytes() for _ in range(2))
        assert first == second

    @rule(pick=picks, said_yes=st.booleans())
    def reorder(self, pick: int, said_yes: bool) -> None:
        """Draft new lenses for a frame sold before, from its stored shape; without one, nobody can make them."""
        frame = self.one(pick).frame
        asked = ReorderRequest(CUSTOMER, CUSTOMER, frame, SINGLE.code, extras=(), measurements=MEASURED)
        ran_out = self.bench.ran_out(self.desk.today)
        asked = replace(asked, accept=USUAL | TWICE | RAN_OUT if said_yes else USUAL | TWICE)
        if frame not in self.bench.traced or (ran_out and not said_yes):
            self.refused(partial(self.draft, asked))
            return
        number = self.draft(asked)
        assert number == self.bench.next("draft")
        self.bench.drafts[number] = PlainDraft(frame, self.bench.good_until, said_yes=ran_out)

    @precondition(lambda self: self.bench.drafts)
    @rule(pick=picks)
    def sell_a_draft(self, pick: int) -> None:
        """Make a draft an order, once; what ran out since it was drafted is asked about."""
        number = sorted(self.bench.drafts)[pick % len(self.bench.drafts)]
        draft = self.bench.drafts[number]
        if draft.order is not None:
            self.refused(partial(drafted_order, self.desk, number), RefusedError)
            return
        asked = drafted_order(self.desk, number)
        asked = replace(asked, accept=asked.accept | TWICE)
        if draft.good_until is not None and self.desk.today > draft.good_until and not draft.said_yes:
            self.refused(partial(record_sale, self.desk, asked, number), FindingsRefusedError)
            asked = replace(asked, accept=asked.accept | RAN_OUT)
        draft.order = self.sold(record_sale(self.desk, asked, number), [draft.frame])
        self.refused(partial(record_sale, self.desk, asked, number), RefusedError)

    @invariant()
    def each_job_stands_where_it_should(self) -> None:
        """The board lists what has not left, each at its stage; an order leaves when all of its jobs have passed."""
        if not hasattr(self, "bench"):
            return
        board = {row.job.facts.job_number: row.standing for row in open_jobs(self.desk)}
        assert {number: standing.stage.value for number, standing in board.items()} == {
            job.number: job.stage for job in self.bench.open()
        }
        for job in self.bench.open():
            whole = all(each.verdict for each in self.bench.of_order(job.order))
            assert (board[job.number].next_step == "ship the order") == whole

    def come_back(self, days: int) -> None:
        """Sit down at the desk so many days later."""
        day = self.desk.today + timedelta(days)
        self.desk = replace(self.desk, today=day, now=datetime.combine(day, time(9, 30), UTC))

    def prescribe(self, powers: tuple[str, str]) -> None:
        """Record a prescription that is good for a year."""
        until = self.desk.today + timedelta(days=365)
        kept = prescribe(self.desk, CUSTOMER, *powers, self.desk.today, until)
        assert kept.written.number == self.bench.next("prescription")
        self.bench.good_until = until

    def draft(self, asked: ReorderRequest) -> int:
        """Store a draft without drawing its record."""
        with self.desk.writing() as work:
            return draft_reorder(work, self.desk, asked)[0]

    def sold(self, account: OrderAccount, codes: list[str]) -> int:
        """Write an order on the reference model, and see that it got the numbers that come next."""
        jobs = self.bench.sell(codes)
        assert account.order.number == jobs[0].order
        assert [pair.job_number for pair in account.order.pairs] == [job.number for job in jobs]
        return jobs[0].order

    def one(self, pick: int) -> PlainJob:
        """Give one of the jobs; those that have not left more often."""
        jobs = self.in_turn()
        return jobs[pick % len(jobs)]

    def pick_of(self, job: PlainJob) -> int:
        """Give a pick that gives this job."""
        return self.in_turn().index(job)

    def in_turn(self) -> list[PlainJob]:
        """Give the jobs to pick from."""
        return [*self.bench.open(), *self.bench.open(), *self.bench.jobs.values()]

    def refused(self, deed: Callable[[], object], kind: type[ShopledgerError] = ShopledgerError) -> None:
        """Expect a refusal that leaves every row of the ledger as it was."""
        before = everything(self.desk)
        with pytest.raises(kind):
            deed()
        assert everything(self.desk) == before


@pytest.mark.parametrize("database", LONG_ON_SERVER)
def test_any_jobs_stand_where_they_should(database: str, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    """Traced, ordered, inspected, made again, shipped, reordered in any order: stage, numbers and papers are right."""
    template = request.getfixturevalue("furnished_file" if database == "sqlite" else "furnished_database")
    server = "" if database == "sqlite" else request.getfixturevalue("empty_database")
    trials: Iterator[int] = iter(range(1_000_000))
    right, left = (plain_shape(side, LARK.eye_size, 37) for side in Side)
    drawn = tmp_path / "lark.txt"
    drawn.write_text(
        write_trace_file(FrameTrace(right, left, LARK.bridge), StatedFigures()), encoding="ascii", newline=""
    )

    def opened() -> tuple[Desk, ExitStack]:
        stack = ExitStack()
        if database == "sqlite":
            path = tmp_path / f"shop-{next(trials)}.db"
            shutil.copy(template, path)
            stack.callback(path.unlink)
            address = ledger_url(str(path))
        else:
            address = stack.enter_context(copied(server, template))
        ledger = stack.enter_context(closing(open_ledger(address)))
        return Desk(ledger, "tester", datetime.combine(FIRST, time(9, 30), UTC), FIRST), stack

    machine = type("Jobs", (AnyJobs,), {"opened": staticmethod(opened), "around": tmp_path, "drawn": drawn})
    examples = 12 if database == "sqlite" else 6
    run_state_machine_as_test(machine, settings=settings(max_examples=examples, stateful_step_count=20, deadline=None))
