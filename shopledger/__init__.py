"""The ledger and reimbursement paperwork of a one-person mail-order spectacle shop."""
