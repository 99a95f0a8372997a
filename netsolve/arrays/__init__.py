"""Like parts side by side as columns of numbers, and the openings among them."""
