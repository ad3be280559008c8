"""The demo distillery: an invented house, its set-up and a season of entries."""
