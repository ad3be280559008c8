"""The book: kinds, lines, the fold from entries to state, checks. It knows reckon and nothing else of ours."""
