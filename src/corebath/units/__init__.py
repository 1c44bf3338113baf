"""Quantities at the edges: parse what a cook typed, print what a cook reads."""
