"""The demo distillery goes into a book by the same door as any phone's entries."""

from server import derived
from server.check import check_book
from server.demo import fill
from server.store import Store


def test_the_demos_entries_are_all_taken_and_none_is_marked(tmp_path):
    with Store(tmp_path / "book.db", site="demo-1") as book:
        fill(book)
        derived.refresh(book)
        with book.read() as reader:
            assert reader.head()["seq"] > 100
            assert reader.marks() == {}
            assert derived.site_name(reader)
            assert any(name.startswith("vessel/") for name in reader.places())
    assert check_book(tmp_path / "book.db", lambda _: None) == 0
