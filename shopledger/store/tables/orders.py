"""Orders with their pairs, lines, charges and warnings."""

from __future__ import annotations

from sqlalchemy import ForeignKeyConstraint, Index, UniqueConstraint

from shopledger.ledger.again import RemakeCause
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import DemoLenses, Making
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.tax import TaxRounding
from shopledger.optics.prescription import LensUse
from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.store import columns as kept
from shopledger.store.scales import MILLIONTHS, THOUSANDTHS
from shopledger.store.tables.base import Columns, Recorded, table


class OrderColumns(Recorded):
    """A posted order; what it came to is the sum of its lines."""

    number = kept.key()
    customer_number = kept.number(kept.to("customer.number"), index=True)
    day = kept.day(index=True)
    street = kept.personal(kept.words(), kept.Blank.MARK)
    second_line = kept.personal(kept.words())
    city = kept.personal(kept.words(), kept.Blank.MARK)
    state = kept.words()
    postcode = kept.personal(kept.words(), kept.Blank.AREA)
    tax_rounding = kept.one_of(TaxRounding)
    note = kept.personal(kept.words())
    tax_exempt = kept.words()


shop_order = table("shop_order", OrderColumns)


class PairColumns(Columns):
    """A job at the bench."""

    job_number = kept.key()
    order_number = kept.number(kept.to("shop_order.number"))
    position = kept.number(kept.COUNTS)
    wearer_number = kept.number(kept.to("wearer.number"))
    frame_code = kept.words(kept.to("frame.code"), index=True)
    lens_code = kept.words(kept.to("lens.code"), index=True)
    lens_use = kept.one_of(LensUse)
    prescription_number = kept.optional(kept.number(kept.to("prescription.number"), index=True))
    pd_given = kept.personal(kept.optional(kept.among("binocular", "monocular")))
    note = kept.personal(kept.words())


order_pair = table(
    "order_pair", PairColumns, UniqueConstraint("order_number", "position"), Index(None, "wearer_number", "frame_code")
)


class JobAgainColumns(Recorded):
    """That a job is made in the place of another; one job at most takes the place of each."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    in_place_of = kept.number(kept.to("order_pair.job_number"), unique=True)
    place = kept.number(kept.COUNTS)
    cause = kept.one_of(RemakeCause)
    day = kept.day()
    reason = kept.personal(kept.words())
    new_frame = kept.flag()
    correction_number = kept.optional(kept.number(kept.to("correction.number"), index=True))


job_again = table("job_again", JobAgainColumns, later_job="job_number > in_place_of")


class JobTakenOutColumns(Columns):
    """That a job was taken out of its order, by which correction; one that stands is in no row."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    correction_number = kept.number(kept.to("correction.number"), index=True)


job_taken_out = table("job_taken_out", JobTakenOutColumns)


class PairExtraColumns(Columns):
    """An extra on a pair, in the order asked for."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    position = kept.key()
    extra_code = kept.words(kept.to("extra.code"), index=True)


order_pair_extra = table("order_pair_extra", PairExtraColumns)


class OwnLensColumns(Columns):
    """What one eye of a pair has of its own; an eye that has what the pair has stands in no row."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    side = kept.one_of(Side, primary_key=True)
    making = kept.one_of(Making)
    lens_code = kept.optional(kept.words(kept.to("lens.code"), index=True))


order_own_lens = table("order_own_lens", OwnLensColumns)


class OwnExtraColumns(Columns):
    """An extra on one lens of a pair, in the order asked for."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    side = kept.one_of(Side, primary_key=True)
    position = kept.key()
    extra_code = kept.words(kept.to("extra.code"), index=True)


order_own_extra = table("order_own_extra", OwnExtraColumns)


class PairEyeColumns(Columns):
    """One eye of a pair: the power to make in millionths, and the wearer's measurements in thousandths of a mm."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    side = kept.one_of(Side, primary_key=True)
    sphere = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    cylinder = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    axis = kept.personal(kept.optional(kept.rounded(MILLIONTHS, kept.above(0, 180_000_000))))
    add_power = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    balance = kept.personal(kept.optional(kept.flag()))
    prism_1 = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    base_1 = kept.personal(kept.optional(kept.one_of(PrismBase)))
    prism_2 = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    base_2 = kept.personal(kept.optional(kept.one_of(PrismBase)))
    mono_pd = kept.personal(kept.optional(kept.exact(THOUSANDTHS, kept.between(20_000, 40_000))))
    near_pd = kept.personal(kept.optional(kept.exact(THOUSANDTHS, kept.between(15_000, 40_000))))
    fitting_height = kept.personal(kept.optional(kept.exact(THOUSANDTHS, kept.between(5_000, 50_000))))


order_pair_eye = table(
    "order_pair_eye",
    PairEyeColumns,
    whose=("side",),
    power_whole="(sphere IS NULL) = (cylinder IS NULL)",
    prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
    prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
)


class LineColumns(Columns):
    """One line of an order, prices and tax frozen."""

    order_number = kept.key(kept.to("shop_order.number"))
    position = kept.key()
    kind = kept.one_of(LineKind)
    item_code = kept.words()
    description = kept.words()
    list_price = kept.cents(kept.NOT_NEGATIVE)
    reduction = kept.cents(kept.NOT_NEGATIVE)
    net = kept.cents(kept.NOT_NEGATIVE)
    tax_category = kept.one_of(TaxCategory)
    reimbursement = kept.one_of(Reimbursement)
    reimbursement_reason = kept.words()
    tax_rate = kept.rate(kept.NOT_NEGATIVE)
    tax = kept.cents(kept.NOT_NEGATIVE)
    quantity = kept.number(kept.COUNTS)
    pair = kept.optional(kept.number())
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))
    offer_code = kept.words()
    tax_imposed_on = kept.one_of(ImposedOn)
    tax_reason = kept.words()
    demo_lenses = kept.optional(kept.one_of(DemoLenses))
    tax_place = kept.words()
    tax_free = kept.cents(kept.NOT_NEGATIVE)


order_line = table(
    "order_line",
    LineColumns,
    ForeignKeyConstraint(
        ["order_number", "pair"], ["order_pair.order_number", "order_pair.position"], ondelete="RESTRICT"
    ),
    Index(None, "order_number", "pair"),
    net_is_list_less_reduction="net = list_price - reduction",
    untaxed_part_of_net="tax_free <= net",
)


class ChargeColumns(Columns):
    """The part of a line that a claim form counts by itself."""

    order_number = kept.key()
    line = kept.key()
    position = kept.key()
    description = kept.words()
    side = kept.optional(kept.one_of(Side))
    code = kept.words()
    list_price = kept.cents(kept.NOT_NEGATIVE)
    reduction = kept.cents()
    net = kept.cents(kept.NOT_NEGATIVE)
    units = kept.number()
    note = kept.personal(kept.words())
    chosen = kept.flag()
    release = kept.words()


order_charge = table(
    "order_charge",
    ChargeColumns,
    ForeignKeyConstraint(
        ["order_number", "line"], ["order_line.order_number", "order_line.position"], ondelete="RESTRICT"
    ),
    units_count="units >= 1",
)


class OrderWarningColumns(Columns):
    """A warning on an order that the owner said yes to."""

    order_number = kept.key(kept.to("shop_order.number"))
    position = kept.key()
    code = kept.words(kept.FILLED)
    sentence = kept.personal(kept.words())


order_warning = table("order_warning", OrderWarningColumns)
