"""Sear: pan, torch and grill after the bath, with the crust and the grey band they make."""
