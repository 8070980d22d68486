"""The shared optics: frozen values and pure functions over numbers in trade units, with a source for each rule.

Nothing here reads a file, asks the clock or knows of the shop, so that the package can be lifted out and used alone.
"""
