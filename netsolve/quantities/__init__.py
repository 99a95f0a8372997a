"""How numbers, units and sizes are spelt and read: what `netsolve.units` is made of."""
