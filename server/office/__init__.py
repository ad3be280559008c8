"""The office's side of the server: the book as tables, for other programs, and tables into the book."""
