"""The pages, one module for each part of the shop; each asks the desk and shows what it says."""
