"""The shop's papers as PDFs: content first, then placed blocks, then ink; words and looks come from templates."""
