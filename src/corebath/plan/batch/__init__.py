"""A week's portions cooked at once: bags, baths, chill, keeping and reheating, day by day."""
