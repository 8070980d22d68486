"""What the shop sells: frames, lenses, extras, accessories, the offers on them, and the tax rates."""

from __future__ import annotations

from shopledger.ledger.catalogue import Design, ExtraKind, Reimbursement, SegmentShape, TaxCategory
from shopledger.ledger.offers import LineKind, OfferKind, Sharing
from shopledger.ledger.taxes import ImposedOn
from shopledger.optics.materials import MaterialClass
from shopledger.store import columns as kept
from shopledger.store.scales import HUNDREDTHS, TEN_THOUSANDTHS
from shopledger.store.tables.base import Columns, Recorded, table
from shopledger.store.words import word


class FrameColumns(Recorded):
    """A frame model in one colour and size, or a customer's own frame."""

    code = kept.code(kept.FILLED)
    number = kept.number(unique=True)
    maker = kept.words(kept.FILLED)
    model = kept.words(kept.FILLED)
    colour = kept.words(kept.FILLED)
    eye_size = kept.exact(HUNDREDTHS, kept.between(3_000, 7_500))
    bridge = kept.exact(HUNDREDTHS, kept.between(800, 3_200))
    temple = kept.exact(HUNDREDTHS, kept.between(9_000, 17_000))
    price = kept.cents(kept.NOT_NEGATIVE)
    cost = kept.cents(kept.NOT_NEGATIVE)
    owned_by = kept.optional(kept.number(kept.to("customer.number"), index=True))


frame = table("frame", FrameColumns)


class LensColumns(Recorded):
    """A lens the shop can order."""

    code = kept.code(kept.FILLED)
    number = kept.number(unique=True)
    name = kept.words(kept.FILLED)
    design = kept.one_of(Design)
    material = kept.words()
    material_class = kept.one_of(MaterialClass)
    refractive_index = kept.exact(TEN_THOUSANDTHS, kept.between(14_000, 20_000), said="index")
    abbe = kept.exact(HUNDREDTHS, kept.between(2_000, 7_000), said="Abbe number")
    density = kept.exact(TEN_THOUSANDTHS, kept.between(9_000, 40_000))
    price = kept.cents(kept.NOT_NEGATIVE)
    cost = kept.cents(kept.NOT_NEGATIVE)
    corridor = kept.optional(kept.exact(HUNDREDTHS))
    min_fitting_height = kept.optional(kept.exact(HUNDREDTHS, said="minimum fitting height"))
    min_centre = kept.exact(HUNDREDTHS, said="smallest centre thickness")
    min_edge = kept.exact(HUNDREDTHS, said="smallest edge thickness")
    design_part = kept.cents(kept.NOT_NEGATIVE)
    material_part = kept.cents(kept.NOT_NEGATIVE)
    segment_shape = kept.optional(kept.one_of(SegmentShape))
    segment_width = kept.optional(kept.exact(HUNDREDTHS, kept.POSITIVE))
    intermediate_depth = kept.optional(kept.exact(HUNDREDTHS, kept.POSITIVE))
    fitting_in = kept.optional(kept.exact(HUNDREDTHS, said="fitting point inward"))
    fitting_up = kept.optional(kept.exact(HUNDREDTHS, said="fitting point upward"))
    distance_up = kept.optional(kept.exact(HUNDREDTHS, kept.NOT_NEGATIVE, said="distance centre above the segment"))
    max_fitting_height = kept.optional(kept.exact(HUNDREDTHS, said="maximum fitting height"))
    thinning_prism = kept.optional(kept.flag())


lens = table("lens", LensColumns, parts_within_price="design_part + material_part <= price")


class LensBlankColumns(Columns):
    """A diameter in which the maker offers a lens."""

    lens_code = kept.code(kept.to("lens.code"))
    diameter = kept.exact(
        HUNDREDTHS, kept.between(4_000, 9_000), said="blank diameter", primary_key=True, autoincrement=False
    )


lens_blank = table("lens_blank", LensBlankColumns)


class ExtraColumns(Recorded):
    """An upgrade or coating on a pair of lenses."""

    code = kept.code(kept.FILLED)
    number = kept.number(unique=True)
    name = kept.words(kept.FILLED)
    kind = kept.one_of(ExtraKind)
    price = kept.cents(kept.NOT_NEGATIVE)
    cost = kept.cents(kept.NOT_NEGATIVE)


extra = table("extra", ExtraColumns)


class AccessoryColumns(Recorded):
    """Goods beside the glasses."""

    code = kept.code(kept.FILLED)
    number = kept.number(unique=True)
    name = kept.words(kept.FILLED)
    price = kept.cents(kept.NOT_NEGATIVE)
    cost = kept.cents(kept.NOT_NEGATIVE)
    tax_category = kept.one_of(TaxCategory)
    reimbursement = kept.one_of(Reimbursement)
    claim_code = kept.words()


accessory = table("accessory", AccessoryColumns)


class OfferColumns(Recorded):
    """An offer: how it reduces, and when it runs."""

    code = kept.code(kept.FILLED)
    number = kept.number(unique=True)
    name = kept.words(kept.FILLED)
    kind = kept.one_of(OfferKind)
    percent = kept.rate(kept.between(0, 1_000_000))
    price = kept.cents(kept.NOT_NEGATIVE)
    sharing = kept.one_of(Sharing)
    automatic = kept.flag()
    from_pair = kept.number(kept.COUNTS)
    starts = kept.optional(kept.day())
    ends = kept.optional(kept.day())


offer = table("offer", OfferColumns, ends_after_start="starts <= ends")


class OfferMatchColumns(Columns):
    """Lines that an offer needs or reduces."""

    offer_code = kept.code(kept.to("offer.code"))
    role = kept.among("needs", "reduces", primary_key=True)
    position = kept.key()
    kind = kept.one_of(LineKind)
    design = kept.optional(kept.one_of(Design))
    item_code = kept.optional(kept.words())


offer_match = table("offer_match", OfferMatchColumns)


class TaxRateColumns(Recorded):
    """A sales tax rate as the owner set it; orders keep the rate they were priced with."""

    state = kept.code()
    category = kept.one_of(TaxCategory, primary_key=True)
    valid_from = kept.day(primary_key=True)
    rate = kept.rate(kept.between(0, 300_000))
    imposed_on = kept.one_of(ImposedOn)
    exempt_reason = kept.words()
    place = kept.code()
    valid_to = kept.optional(kept.day())
    zips = kept.words()
    as_goods = kept.flag()


tax_rate = table(
    "tax_rate",
    TaxRateColumns,
    exempt_at_nought="exempt_reason = '' OR rate = 0",
    ends_after_start="valid_from <= valid_to",
    shipping_as_goods=f"as_goods = 0 OR (category = {word(TaxCategory.SHIPPING)} AND rate = 0)",
)
