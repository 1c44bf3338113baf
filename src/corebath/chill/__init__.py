"""Chill, keep and reheat: everything between the bath and a later plate."""
