"""Goods: what lies on the shelf, what can be ordered, and what comes and goes without a sale."""
