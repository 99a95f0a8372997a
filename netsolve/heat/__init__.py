"""Temperatures along the water and of each oil, from the flows of a row."""
