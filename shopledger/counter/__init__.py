"""The counter: pages in the browser over the same deeds as the commands, for who knows spectacles and no commands."""
