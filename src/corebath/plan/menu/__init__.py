"""A whole dinner: several foods, one or several table times, the baths, pans and hands there are."""
