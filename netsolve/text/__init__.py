"""The text of a file, with the place of everything in it; CSV tables too."""
