"""New lenses for a frame that a wearer has: who, which pair, what is not as before, then a draft or an order."""
