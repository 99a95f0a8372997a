"""The laws as arrays, the step and the linear systems: what `netsolve.solver` is made of."""
