"""Every module that has pages, in one list: a page exists once its module is named here."""

from __future__ import annotations

from types import ModuleType
from typing import Final

from flask import Blueprint

from shopledger.counter.pages import (
    door,
    finding,
    helping,
    keeping,
    papers,
    people,
    personal_data,
    prescribing,
    prescription,
    setting_up,
    today,
    traces,
)
from shopledger.counter.pages.bench import again as bench_again
from shopledger.counter.pages.bench import board as bench_board
from shopledger.counter.pages.bench import changing as bench_changing
from shopledger.counter.pages.bench import figures as bench_figures
from shopledger.counter.pages.bench import inspecting as bench_inspecting
from shopledger.counter.pages.bench import job as bench_job
from shopledger.counter.pages.bench import job_papers as bench_job_papers
from shopledger.counter.pages.bench import lenses as bench_lenses
from shopledger.counter.pages.bench import parcels as bench_parcels
from shopledger.counter.pages.bench import room as bench_room
from shopledger.counter.pages.bills import card as bills_card
from shopledger.counter.pages.bills import listing as bills_listing
from shopledger.counter.pages.bills import part as bills_part
from shopledger.counter.pages.bills import recording as bills_recording
from shopledger.counter.pages.bills import suppliers as bills_suppliers
from shopledger.counter.pages.goods import accessories as goods_accessories
from shopledger.counter.pages.goods import extras as goods_extras
from shopledger.counter.pages.goods import frames as goods_frames
from shopledger.counter.pages.goods import lenses as goods_lenses
from shopledger.counter.pages.goods import moving as goods_moving
from shopledger.counter.pages.goods import part as goods_part
from shopledger.counter.pages.goods import shelf as goods_shelf
from shopledger.counter.pages.goods import standing as goods_standing
from shopledger.counter.pages.money import adjustments as money_adjustments
from shopledger.counter.pages.money import bank as money_bank
from shopledger.counter.pages.money import deposits as money_deposits
from shopledger.counter.pages.money import equipment as money_equipment
from shopledger.counter.pages.money import expenses as money_expenses
from shopledger.counter.pages.money import moves as money_moves
from shopledger.counter.pages.money import overview as money_overview
from shopledger.counter.pages.money import part as money_part
from shopledger.counter.pages.money import payees as money_payees
from shopledger.counter.pages.money import processor as money_processor
from shopledger.counter.pages.money import sales_tax as money_sales_tax
from shopledger.counter.pages.money import statements as money_statements
from shopledger.counter.pages.money import voiding as money_voiding
from shopledger.counter.pages.months import closing as months_closing
from shopledger.counter.pages.months import listing as months_listing
from shopledger.counter.pages.months import part as months_part
from shopledger.counter.pages.months import years as months_years
from shopledger.counter.pages.orders import card as orders_card
from shopledger.counter.pages.orders import jobs as orders_jobs
from shopledger.counter.pages.orders import money as orders_money
from shopledger.counter.pages.orders import receipts as orders_receipts
from shopledger.counter.pages.orders import remedies as orders_remedies
from shopledger.counter.pages.orders import righting as orders_righting
from shopledger.counter.pages.orders import sending as orders_sending
from shopledger.counter.pages.reorder import choosing as reorder_choosing
from shopledger.counter.pages.reorder import pair as reorder_pair
from shopledger.counter.pages.reorder import room as reorder_room
from shopledger.counter.pages.selling import review as selling_review
from shopledger.counter.pages.selling import routes as selling_routes
from shopledger.counter.pages.shop import backup_keys as shop_backup_keys
from shopledger.counter.pages.shop import backups as shop_backups
from shopledger.counter.pages.shop import catalogue as shop_catalogue
from shopledger.counter.pages.shop import offers as shop_offers
from shopledger.counter.pages.shop import operators as shop_operators
from shopledger.counter.pages.shop import overview as shop_overview
from shopledger.counter.pages.shop import part as shop_part
from shopledger.counter.pages.shop import profile as shop_profile
from shopledger.counter.pages.shop import rates as shop_rates
from shopledger.counter.pages.shop import records as shop_records
from shopledger.counter.pages.shop import wording as shop_wording

MODULES: Final[tuple[ModuleType, ...]] = (
    door,
    setting_up,
    today,
    finding,
    keeping,
    helping,
    people,
    personal_data,
    papers,
    prescribing,
    prescription,
    traces,
    bench_again,
    bench_board,
    bench_changing,
    bench_figures,
    bench_inspecting,
    bench_job,
    bench_job_papers,
    bench_lenses,
    bench_parcels,
    bench_room,
    bills_card,
    bills_listing,
    bills_part,
    bills_recording,
    bills_suppliers,
    goods_accessories,
    goods_extras,
    goods_frames,
    goods_lenses,
    goods_moving,
    goods_part,
    goods_shelf,
    goods_standing,
    money_adjustments,
    money_bank,
    money_deposits,
    money_equipment,
    money_expenses,
    money_moves,
    money_overview,
    money_part,
    money_payees,
    money_processor,
    money_sales_tax,
    money_statements,
    money_voiding,
    months_closing,
    months_listing,
    months_part,
    months_years,
    orders_card,
    orders_jobs,
    orders_money,
    orders_receipts,
    orders_remedies,
    orders_righting,
    orders_sending,
    reorder_choosing,
    reorder_pair,
    reorder_room,
    selling_review,
    selling_routes,
    shop_backup_keys,
    shop_backups,
    shop_catalogue,
    shop_offers,
    shop_operators,
    shop_overview,
    shop_part,
    shop_profile,
    shop_rates,
    shop_records,
    shop_wording,
)
"""Each with its part of the counter as `pages`; those of one part share one."""

PAGES: Final[tuple[Blueprint, ...]] = tuple(dict.fromkeys(vars(each)["pages"] for each in MODULES))
"""Every part of the counter."""
