"""The bath: will it fit, will it get there, will it last the night."""
