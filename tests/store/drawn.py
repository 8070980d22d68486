"""What hypothesis draws for round trips through the store: any value that can be written down."""

from __future__ import annotations

from hypothesis import strategies as st

from shopledger.ledger.catalogue import Accessory, Design, Extra, ExtraKind, Frame, Lens, Reimbursement, TaxCategory
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.diagnosis import DIAGNOSES
from shopledger.ledger.identifiers import STATES
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.ledger.orders import AcceptedWarning, Charge, DemoLenses, Making, Order, OrderLine, OwnLens, Pair
from shopledger.ledger.parties import Address, Customer, Relationship, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.taxes import ImposedOn
from shopledger.ledger.traces import StatedFigures, StoredTrace, TraceOrigin
from shopledger.money.tax import TaxRounding
from shopledger.optics.materials import MaterialClass
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.prism import Base, Prism
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.shelf import CLEAR, GRADUAL, LARK, SINGLE, WREN
from tests.store.samples import ADULT, MINOR
from tests.strategies import DAYS, PRICES, RATES


def decimals(low: float, high: float, places: int = 2) -> st.SearchStrategy[float]:
    """Draw a number as it is typed, with some decimals."""
    scale = 10**places
    return st.integers(round(low * scale), round(high * scale)).map(lambda n: n / scale)


LETTERS = st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Cs", "Co", "Cn"])
TEXTS = st.text(LETTERS, min_size=1, max_size=20).filter(str.strip)
"""Words as the ledger takes them."""

CODES = st.from_regex(r"[A-Z0-9][A-Z0-9-]{0,19}", fullmatch=True)
ADDRESSES = st.builds(
    Address,
    TEXTS,
    TEXTS,
    st.sampled_from(sorted(STATES)),
    st.from_regex(r"[0-9]{5}(-[0-9]{4})?", fullmatch=True),
    st.one_of(st.just(""), TEXTS),
)
CUSTOMERS = st.builds(
    Customer,
    TEXTS,
    ADDRESSES,
    st.sampled_from(["", "555-0142"]),
    st.sampled_from(["", "a@example.com"]),
    printed_name=st.sampled_from(["", "Li Xiaolong"]),
)
WEARERS = st.builds(
    Wearer,
    TEXTS,
    st.just(1),
    st.sampled_from(Relationship),
    st.none() | DAYS,
    st.sampled_from(["", "M-77"]),
    printed_name=st.sampled_from(["", "Li Xiaolong"]),
    claim_within_days=st.none() | st.integers(1, 3650),
)


def dioptres(low: float, high: float, places: int = 2) -> st.SearchStrategy[float]:
    """Draw a power: on the grid of eighths as it is written, with more places as it is worked out."""
    if places > 2:
        return decimals(low, high, places)
    return st.integers(round(low * 8), round(high * 8)).map(lambda n: n / 8)


@st.composite
def powers(draw: st.DrawFn, places: int = 2) -> SphereCylinder:
    """Draw a power as it is written, or with that many decimals as it is worked out."""
    cylinder = draw(dioptres(-10, 10, places))
    axis = draw(st.integers(1, 180)) if cylinder else None
    return SphereCylinder(draw(dioptres(-25, 25, places)), cylinder, axis)


PRISMS = st.one_of(
    st.just(()),
    st.tuples(st.builds(Prism, decimals(0.25, 12), st.sampled_from([Base.IN, Base.OUT]))),
    st.tuples(
        st.builds(Prism, decimals(0.25, 12), st.sampled_from([Base.UP, Base.DOWN])),
        st.builds(Prism, decimals(0.25, 12), st.sampled_from([Base.IN, Base.OUT])),
    ),
)


def eyes(places: int = 2) -> st.SearchStrategy[EyePrescription]:
    """Draw what may be written for one eye."""
    return st.builds(EyePrescription, powers(places), st.none() | dioptres(0.25, 4, places), PRISMS, st.booleans())


def both(places: int = 2) -> st.SearchStrategy[Prescription]:
    """Draw what may be written for both eyes."""
    return st.builds(Prescription, eyes(places), eyes(places))


WARNINGS = st.lists(st.builds(AcceptedWarning, CODES, TEXTS), max_size=3).map(tuple)


@st.composite
def prescriptions(draw: st.DrawFn) -> WrittenPrescription:
    """Draw a prescription of the sample wearer."""
    written, later = sorted((draw(DAYS), draw(DAYS)))
    return WrittenPrescription(
        ADULT,
        1,
        draw(both()),
        written,
        draw(st.none() | st.just(later)),
        draw(st.none() | dioptres(0.25, 3)),
        draw(TEXTS),
        diagnoses=draw(st.lists(st.sampled_from(sorted(DIAGNOSES)), max_size=12, unique=True).map(tuple)),
    )


@st.composite
def measurements(draw: st.DrawFn) -> Measurements:
    """Draw a wearer's measurements."""
    heights = st.none() | decimals(8, 40)
    sides = []
    for _ in Side:
        mono = draw(decimals(22, 38))
        sides.append(EyeMeasurements(mono, draw(st.none() | decimals(18, mono)), draw(heights)))
    return Measurements(sides[0], sides[1], draw(st.sampled_from(["binocular", "monocular"])))


FRAMES = st.builds(
    Frame,
    CODES,
    TEXTS,
    TEXTS,
    TEXTS,
    decimals(30, 75),
    decimals(8, 32),
    decimals(90, 170),
    PRICES,
    PRICES,
    st.sampled_from([None, 1]),
)
LENSES = st.builds(
    Lens,
    CODES,
    TEXTS,
    st.sampled_from(Design),
    TEXTS,
    st.sampled_from(MaterialClass),
    decimals(1.4, 2, 4),
    decimals(20, 70),
    decimals(0.9, 4, 4),
    PRICES.map(lambda price: price + 500_000),
    PRICES,
    st.none() | decimals(5, 22),
    st.none() | decimals(8, 30),
    st.lists(st.integers(40, 90), max_size=4, unique=True).map(tuple),
    decimals(0.5, 6),
    decimals(0.5, 6),
    st.integers(0, 250_000),
    st.integers(0, 250_000),
)
EXTRAS = st.builds(Extra, CODES, TEXTS, st.sampled_from(ExtraKind), PRICES, PRICES)
ACCESSORIES = st.builds(
    Accessory,
    CODES,
    TEXTS,
    PRICES,
    PRICES,
    st.sampled_from([category for category in TaxCategory if category.of_goods]),
    st.sampled_from(Reimbursement),
    st.sampled_from(["", "V2799"]),
)


@st.composite
def matches(draw: st.DrawFn) -> Matches:
    """Draw what an offer may mean."""
    kind = draw(st.sampled_from(LineKind))
    design = draw(st.none() | st.sampled_from(Design)) if kind is LineKind.LENSES else None
    return Matches(kind, design, draw(st.none() | CODES))


@st.composite
def offers(draw: st.DrawFn) -> Offer:
    """Draw an offer."""
    starts, ends = sorted((draw(DAYS), draw(DAYS)))
    return Offer(
        draw(CODES),
        draw(TEXTS),
        draw(st.sampled_from(OfferKind)),
        tuple(draw(st.lists(matches(), min_size=1, max_size=3))),
        tuple(draw(st.lists(matches(), max_size=2))),
        draw(RATES.filter(bool)),
        draw(PRICES),
        draw(st.sampled_from(Sharing)),
        draw(st.booleans()),
        draw(st.integers(1, 3)),
        draw(st.sampled_from([None, starts])),
        draw(st.sampled_from([None, ends])),
    )


RADII = st.lists(st.integers(500, 6000), min_size=36, max_size=80).map(tuple)
STATED = st.tuples(st.none() | decimals(10, 90, 3), st.none() | decimals(10, 90, 3))
TRACES = st.builds(
    StoredTrace,
    st.just(WREN.code),
    st.builds(
        FrameTrace,
        RADII.map(lambda radii: Trace(Side.RIGHT, radii)),
        RADII.map(lambda radii: Trace(Side.LEFT, radii)),
        decimals(5, 40),
    ),
    st.builds(TraceOrigin, TEXTS, st.just("ab" * 32), DAYS, st.one_of(st.just(""), TEXTS)),
    st.builds(StatedFigures, STATED, STATED, st.none() | decimals(5, 40), STATED, STATED),
    st.lists(st.text(st.characters(codec="utf-8"), max_size=20), max_size=3).map(tuple),
)


@st.composite
def charges(draw: st.DrawFn, net: int) -> tuple[Charge, ...]:
    """Draw charges that come to a net amount."""
    if draw(st.booleans()):
        return ()
    first = draw(st.integers(0, net))
    words, codes = TEXTS, st.sampled_from(["", "V2100", "V2750"])
    return (
        Charge(draw(words), Side.RIGHT, draw(codes), first + 5, 5, first, 1, draw(st.sampled_from(["", "a note"]))),
        Charge(
            draw(words),
            draw(st.sampled_from([Side.LEFT, None])),
            draw(codes),
            net - first,
            0,
            net - first,
            2,
            chosen=draw(st.booleans()),
            release=draw(st.sampled_from(["", RELEASE])),
        ),
    )


@st.composite
def lines(draw: st.DrawFn, pairs: int) -> OrderLine:
    """Draw a line of an order with so many pairs."""
    reduction, net = draw(PRICES), draw(PRICES)
    return OrderLine(
        draw(st.sampled_from(LineKind)),
        draw(CODES),
        draw(TEXTS),
        net + reduction,
        reduction,
        net,
        draw(st.sampled_from(TaxCategory)),
        draw(st.sampled_from(Reimbursement)),
        draw(TEXTS),
        draw(RATES),
        draw(PRICES),
        draw(st.integers(1, 99)),
        draw(st.sampled_from([None, *range(1, pairs + 1)])),
        draw(st.sampled_from([None, ADULT, MINOR])),
        draw(st.sampled_from(["", "SV-FREE"])),
        draw(st.sampled_from(ImposedOn)),
        draw(st.one_of(st.just(""), TEXTS)),
        draw(st.sampled_from([None, *DemoLenses])),
        None,
        draw(charges(net)),
        draw(st.sampled_from(["", "43002", "Millbrae"])),
        draw(st.integers(0, net)),
    )


@st.composite
def pairs(draw: st.DrawFn, position: int) -> Pair:
    """Draw a pair of the sample wearers in a sample frame; the power made may have been worked out."""
    return Pair(
        position,
        draw(st.sampled_from([ADULT, MINOR])),
        draw(st.sampled_from([WREN.code, LARK.code])),
        draw(st.sampled_from([SINGLE.code, GRADUAL.code])),
        draw(st.sampled_from(LensUse)),
        draw(st.sampled_from([(), (CLEAR.code,), (CLEAR.code, CLEAR.code)])),
        draw(st.sampled_from([None, 1])),
        draw(st.none() | both(3)),
        draw(st.none() | measurements()),
        draw(st.one_of(st.just(""), TEXTS)),
        right=draw(own_lenses()),
        left=draw(own_lenses()),
    )


@st.composite
def own_lenses(draw: st.DrawFn) -> OwnLens:
    """Draw what one eye has of its own; most have nothing."""
    lens, extras = st.sampled_from(["", SINGLE.code, GRADUAL.code]), st.sampled_from([(), (CLEAR.code,)])
    return draw(st.just(OwnLens()) | st.builds(OwnLens, st.sampled_from(Making), lens, extras))


@st.composite
def orders(draw: st.DrawFn) -> Order:
    """Draw an order of the sample customer."""
    count = draw(st.integers(0, 3))
    return Order(
        1,
        draw(DAYS),
        draw(ADDRESSES),
        tuple(draw(pairs(place)) for place in range(1, count + 1)),
        tuple(draw(st.lists(lines(count), min_size=1, max_size=4))),
        draw(st.sampled_from(TaxRounding)),
        draw(WARNINGS),
        draw(st.one_of(st.just(""), TEXTS)),
        draw(st.one_of(st.just(""), TEXTS)),
    )
