"""A search through the whole book, at the server: what is found, who may ask, and the index that follows the log."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from often import often

from server import search as search_module
from server.backup import backup_book
from server.restore import restore_book
from server.search import Search
from server.store import Store

from .conftest import PHONE, SITE, Client


def find(phone, asked: str, before=None):
    query = {"q": asked, **({} if before is None else {"before": before})}
    headers = {"Authorization": f"Bearer {phone.token}"}
    return phone.client.ask("GET", "/api/search", peer=PHONE, host="still.example", headers=headers, params=query)


def found(phone, asked: str) -> list[str]:
    """The serial numbers (n) of what is found, in order."""
    answer = find(phone, asked)
    assert answer.status == 200 and answer.json["searched"] == answer.json["of"], answer.json
    return [int(one["text"].split('"n":')[1].split(",")[0]) for one in answer.json["entries"]]


SAID = [  # what each entry says, and under which words it is found
    ({"kind": "person", "said": {"name": "Zoë Brandt"}}, ["zoe", "ZOË", "brandt zo", "person"]),
    ({"kind": "vessel", "said": {"tag": "H-2", "capacity_l": {"typed": "412,50", "unit": "L"}}}, ["h-2", "412.5"]),
    ({"kind": "lot", "said": {"lot": "R-118", "supplier": "Mill, by the weir", "count": 7}}, ["r-118", "118", "weir"]),
    ({"kind": "loss", "said": {"cause": "duty_paid", "deep": [[{"x": "barrel"}]]}}, ["paid", "barrel", "loss"]),
    ({"kind": "later_kind", "said": {"name": "from another version"}}, ["another", "later"]),
    ({"kind": "strike", "said": {}, "strikes": {"id": "0192f0c1-0000-7000-8000-000000000000", "reason": "a slip"}},
     ["slip", "by:ines slip"]),
    ({"kind": "gauge", "happened": "2026-11-03T23:40:00.000Z", "said": {"name": "Night"}},
     ["2026-11-04", "--11-04", "night 2026-11"]),
]  # fmt: skip


@pytest.fixture
def told(phone):
    assert len(phone.sync(*(phone.write(**changes) for changes, _ in SAID)).json["taken"]) == len(SAID)
    return phone


def test_each_is_found_by_its_words_and_by_nothing_else(told):
    for n, (_, words) in enumerate(SAID, 1):
        for asked in words:
            assert found(told, asked) == [n], asked
    assert found(told, "by:ines") == [7, 6, 5, 4, 3, 2, 1]
    assert found(told, "zoe 118") == [] and found(told, "zoe|118") == [3, 1]
    for nothing in ("zzz", "--- ...", "0192f0c1", "typed", "unit"):  # ids and the names of fields are nobody's words
        assert found(told, nothing) == [], nothing


def test_it_says_what_was_taken_back(told):
    zoe, brandt = find(told, "zoe").json["entries"][0], find(told, "h-2").json["entries"][0]
    assert (zoe["taken_back"], brandt["taken_back"]) == (False, False)
    told.sync(told.write(kind="strike", said={}, strikes={"id": json.loads(zoe["text"])["id"], "reason": "slip"}))
    assert find(told, "zoe").json["entries"][0]["taken_back"] and not find(told, "h-2").json["entries"][0]["taken_back"]


def test_a_serial_comes_first(told):
    assert found(told, f"{told.device.split('.')[0].lower()}-3") == [3]
    told.sync(told.write(said={"name": f"{told.device.split('.')[0]}-3 again"}))
    assert found(told, f"{told.device.split('.')[0]}-3") == [3, 8]


def test_an_answer_is_bounded_and_the_next_goes_on(phone):
    for _ in range(2):
        phone.sync(*(phone.write(said={"name": "Ines"}) for _ in range(60)))
    seen, before = [], None
    for expected in (50, 50, 20):
        answer = find(phone, "ines", before).json
        assert len(answer["entries"]) == expected and answer["more"] == (len(seen) + expected < 120)
        before = answer["entries"][-1]["seq"]
        seen += [one["seq"] for one in answer["entries"]]
    assert seen == sorted(seen, reverse=True) and len(set(seen)) == 120
    phone.sync(*(phone.write(said={"name": "Long", "words": "x" * 60_000}) for _ in range(9)))
    answer = find(phone, "long").json
    assert len(answer["entries"]) == 4 and answer["more"]  # 256 KiB


def test_only_a_paired_device_may_ask_and_in_its_own_words(told):
    token, told.token = told.token, "x" * 43
    assert find(told, "zoe").status == 401
    told.token = token
    for asked, before in (("", None), ("x" * 201, None), ("\ud800", None), ("x", "one"), ("x", "-1"), ("x", "9" * 16)):
        if asked != "\ud800":
            assert find(told, asked, before).status == 400, (asked, before)
    cross = {"Authorization": f"Bearer {token}", "Sec-Fetch-Site": "cross-site"}
    assert told.client.ask("GET", "/api/search?q=zoe", peer=PHONE, host="still.example", headers=cross).status == 403


@pytest.fixture(scope="module")
def asker(tmp_path_factory):
    with Store(tmp_path_factory.mktemp("search") / "book.db", site=SITE) as book:
        phone = Client(book).pair()
        phone.sync(phone.write(said={"name": "Ida"}))
        yield phone


ODD = ['"', "*", "OR", "NEAR(", "by:", "|", "--11", "^", "known:", "'", "\x00", "(", "ß", "İ", "e\u0301"]
SIGNS = st.sampled_from(ODD)
WORDS = (st.text(max_size=30) | st.lists(SIGNS | st.text(max_size=3), max_size=9).map(" ".join)).filter(len)


@often(150)
@given(asked=WORDS)
def test_no_words_trip_the_search(asker, asked):
    answer = find(asker, asked)
    assert answer.status == 200 and set(answer.json) == {"entries", "more", "searched", "of"}, answer.json
    assert found(asker, "ida") == [1]


# The index


def test_the_index_catches_up_goes_on_and_is_begun_anew(told, monkeypatch):
    book, path = told.client.book, told.client.book.path.with_name("book.db.search")
    assert found(told, "zoe") == [1] and path.stat().st_mode & 0o077 == 0
    told.client.office.search.close()
    monkeypatch.setattr(search_module, "PORTION", 2)
    monkeypatch.setattr(search_module, "AT_ONCE_SECONDS", 0)
    told.sync(*(told.write(said={"name": "Tardy"}) for _ in range(5)))
    behind = find(told, "tardy").json
    assert (behind["of"] - behind["searched"], len(behind["entries"])) == (3, 2)  # it says that it is not through yet
    told.client.office.search.close()
    path.write_bytes(b"no database" * 100)
    assert Search(book).find("zoe")["searched"] == 2
    whole = Search(book).start()
    whole._thread.join()
    answer = whole.find("tardy")
    assert answer["searched"] == answer["of"] == 12 and len(answer["entries"]) == 5
    whole.close()


def test_a_restored_book_has_another_index(tmp_path):
    copy, place = tmp_path / "copy.db", tmp_path / "book.db"
    with Store(place, site=SITE) as book:
        phone = Client(book).pair()
        phone.sync(phone.write(said={"name": "Before"}))
        backup_book(place, copy)
        phone.sync(phone.write(said={"name": "After"}))
        assert found(phone, "after") == [2]
        phone.client.office.search.close()
    restore_book(copy, place, tmp_path / "old.db", print)
    with Store(place) as book:
        search = Search(book)
        assert not search.find("after")["entries"] and len(search.find("before")["entries"]) == 1
        search.close()
