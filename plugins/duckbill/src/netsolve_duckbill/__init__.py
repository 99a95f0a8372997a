"""Duckbill check valves for netsolve."""
