"""A document to a circuit, step by step: what `netsolve.read` is made of."""
