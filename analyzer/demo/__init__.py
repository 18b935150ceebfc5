"""The demo: an invented boatyard and ropewalk by a tidal quay, its catalogue and its save."""
