"""An order on its page, and all that is done about one: money, parcels, receipts, what is put right."""
