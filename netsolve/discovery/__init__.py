"""Where components and rules come from, ours or another's, and whether they keep what they promise."""
