"""Files in and out: trace files in the trade's standard form, and the owner's own order, catalogue and shop files."""
