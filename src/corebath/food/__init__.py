"""Food: the catalogue, and properties from composition."""
