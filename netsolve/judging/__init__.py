"""What a row shows to those who judge it: what `netsolve.findings` is made of."""
