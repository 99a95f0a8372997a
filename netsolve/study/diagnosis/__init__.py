"""Finding the fault: what was read on board, against every way in which a part may have failed."""
