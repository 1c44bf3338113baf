"""Ask: the question as the cook typed it, and the request it means. Both edges go through here."""
