"""What a part, a water, a cooler or an oil declares, and what a rule sees of a solved row."""
