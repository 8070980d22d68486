"""The invented shop that many tests use: its profile, and a small catalogue."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from shopledger.ledger.catalogue import (
    Accessory,
    Design,
    Extra,
    ExtraKind,
    Frame,
    Lens,
    Reimbursement,
    SegmentShape,
    TaxCategory,
)
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind
from shopledger.ledger.parties import Address, Shop
from shopledger.ledger.taxes import TaxRate
from shopledger.optics.materials import MaterialClass

SHOP = Shop("Pebble Optics", Address("2 Mill Row", "Fennick", "OH", "43001"), "555-0100", "12-3456789")
CUSTOMER = "Odalys Fernhollow"
CHILD = "Wren Fernhollow"
HOME = Address("18 Tansy Lane", "Millbrae", "OH", "43002")

WREN = Frame("WREN-52", "Harrow Row", "Wren", "moss", 52, 18, 140, price=18000, cost=6200)
LARK = Frame("LARK-48", "Harrow Row", "Lark", "brick", 48, 17, 130, price=12000, cost=4100)
SINGLE = Lens(
    "SV-150", "Clear single vision", Design.SINGLE_VISION, "hard resin", MaterialClass.PLASTIC, 1.498, 58, 1.32,
    price=8000, cost=1800, blank_diameters=(65, 70, 75),
)  # fmt: skip
THIN = Lens(
    "SV-167", "Thin single vision", Design.SINGLE_VISION, "high index 1.67", MaterialClass.PLASTIC, 1.66, 32, 1.35,
    price=18000, cost=6000, blank_diameters=(65, 70, 75), min_centre=1.5, material_part=10000,
)  # fmt: skip
GRADUAL = Lens(
    "PROG-14", "Even progressive", Design.PROGRESSIVE, "hard resin", MaterialClass.PLASTIC, 1.498, 58, 1.32,
    price=26000, cost=9000, corridor=11, min_fitting_height=17, blank_diameters=(70, 75, 80), design_part=14000,
)  # fmt: skip
MARKED = replace(GRADUAL, fitting_in=0, fitting_up=4)
"""The progressive where the maker says where its cross stands on the blank."""
LINED = Lens(
    "BIF-28", "Straight-top bifocal", Design.BIFOCAL, "hard resin", MaterialClass.PLASTIC, 1.498, 58, 1.32,
    price=13500, cost=3680, min_fitting_height=13, blank_diameters=(70, 75), segment_shape=SegmentShape.FLAT_TOP,
    segment_width=28, fitting_in=2, fitting_up=-4, distance_up=4, max_fitting_height=26,
)  # fmt: skip
"""A bifocal of which the maker says everything."""
CLEAR = Extra("CLEAR", "Anti-reflective coating", ExtraKind.ANTI_REFLECTIVE, price=12995, cost=3000)
CASE = Accessory("CASE", "Hard case", price=1200, cost=400)
SHADES = Accessory(
    "SHADES", "Plano sunglasses", price=4500, cost=1500, tax_category=TaxCategory.NON_PRESCRIPTION,
    reimbursement=Reimbursement.NOT_ELIGIBLE,
)  # fmt: skip
INCLUDED = Offer(
    "SV-FREE", "Single vision lenses included", OfferKind.INCLUDED,
    (Matches(LineKind.LENSES, Design.SINGLE_VISION, "SV-150"),), (Matches(LineKind.FRAME),),
)  # fmt: skip
OHIO = (
    TaxRate("OH", TaxCategory.PRESCRIPTION_EYEWEAR, 0, date(2020, 1, 1)),
    TaxRate("OH", TaxCategory.NON_PRESCRIPTION, 72_500, date(2020, 1, 1)),
)
