"""`python -m netsolve`."""

from netsolve.cli import main

main()
