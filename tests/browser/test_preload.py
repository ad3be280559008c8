"""Every module of the first page is loaded at once, not level by level."""

import preload


def test_index_html_names_every_module_that_the_first_page_needs():
    assert preload.links_now() == preload.wanted_links(), "Modules came or went: run `python tests/preload.py`."


def test_every_module_found_is_there():
    assert [address for address in preload.reached() if not (preload.STATIC / address[1:]).is_file()] == []
