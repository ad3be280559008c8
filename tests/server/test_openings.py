"""A large book is gone on from its openings: the same sums and findings as of the whole log, whatever comes late."""

import json
from types import SimpleNamespace

import pytest
from book.test_opening import check_same
from book.test_same_book import random_book
from large import SITE, arrivals, given_part, slower, take

from server import derived, openings, past, store
from server.book.fold import fold
from server.book.order import at_of
from server.check import mend_beside, rebuild_faults
from server.derived import places_of
from server.store import Store

from .conftest import Client


@pytest.fixture
def book(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        book.write(store.set_fact, "openings_from", "40").result()
        yield book


def whole(book: Store) -> dict:
    with book.read() as reader:
        return fold([json.loads(text) for text in reader.texts()], reader.marks())


def newest_cut(book: Store) -> int | None:
    with book.read() as reader:
        opening = past.newest_opening(reader)
    return opening and opening["cut"]


def check_given(book: Store, state: dict, cut: int) -> None:
    """What a device gets: the opening with the entries that it names, and all that came after."""
    part = given_part(book)
    check_same(fold(part["later"], opening=part["opening"]), state, cut)


@pytest.mark.parametrize("seed", range(8))
def test_a_book_that_grows_by_and_by(book, seed):
    made = 0
    for batch in arrivals(seed):
        take(book, batch)
        now = max(at_of(one) for one in batch)
        state = openings.bring_up(book, now).state
        cut, all_of_it = newest_cut(book), whole(book)
        if cut is None:
            assert state == all_of_it
            continue
        made += 1
        check_same(state, all_of_it, cut)
        assert places_of(state) == places_of(all_of_it)
        check_given(book, all_of_it, cut)
    assert made


def test_a_small_book_has_no_openings_and_says_nothing_of_them(tmp_path):
    with Store(tmp_path / "book.db", site=SITE) as book:
        take(book, [slower(one) for one in random_book(3)])
        state = openings.bring_up(book).state
        assert state == whole(book) and newest_cut(book) is None
        phone = Client(book).pair()
        assert "opening" not in synced(phone, opening=None) and synced(phone, opening=None)["entries"]


def synced(phone, **more) -> dict:
    asked = {"v": 1, "site": phone.site, "device": phone.device, "epoch": phone.epoch, "since": 0, "entries": []}
    headers = {"Authorization": f"Bearer {phone.token}"}
    answer = phone.client.ask("POST", "/api/sync", json={**asked, **more}, headers=headers)
    assert answer.status == 200, answer.json
    return answer.json


def given_to(phone) -> dict:
    answer = phone.client.ask("GET", "/api/opening", headers={"Authorization": f"Bearer {phone.token}"})
    assert answer.status == 200, answer.json
    return answer.json


def test_a_new_device_is_given_an_opening_and_keeps_it_while_it_is_right(book):
    entries = sorted((slower(one) for one in random_book(5)), key=at_of)
    take(book, entries)
    phone = Client(book).pair()
    waits = synced(phone, opening=None)
    told = {"id": None, "whole": False, "again": False, "made": 0}  # none is made yet
    assert waits["opening"] == told and not waits["entries"]
    openings.bring_up(book, at_of(entries[-1]))
    told = synced(phone, opening=None)
    given = given_to(phone)
    assert told["opening"]["id"] == given["id"] and told["since"] == 0 and given["upto"] == told["head"]["seq"]
    assert synced(phone)["entries"], "an older app is given the whole book"
    plain = {**entries[-1], "kind": "person", "lines": [], "strikes": None, "uses": [], "group": None}
    take(book, [{**plain, "id": f"p-{n}", "n": 900 + n, "said": {"name": f"Person {n}"}} for n in range(10)])
    openings.bring_up(book, at_of(entries[-1]))
    after = synced(phone, opening=given["id"], since=given["upto"])
    assert "opening" not in after and len(after["entries"]) == 10
    struck = next(one for one in entries if at_of(one) < given["cut"] and one["lines"])
    strike = {**plain, "id": "late-strike", "n": 999, "kind": "strike", "said": {}}
    take(book, [{**strike, "strikes": {"id": struck["id"], "reason": "slip"}}])
    openings.bring_up(book, at_of(entries[-1]))
    after = synced(phone, opening=given["id"], since=given["upto"])
    assert after["opening"]["id"] == given_to(phone)["id"] != given["id"] and len(after["entries"]) == 11


def test_after_an_update_devices_hear_how_far_the_server_is(book, monkeypatch):
    """Other rules drop all openings. A new device waits; one that has an opening goes on, and gets what is new only."""
    entries = sorted((slower(one) for one in random_book(5)), key=at_of)
    take(book, entries)
    known = openings.bring_up(book, at_of(entries[-1]))
    phone = Client(book).pair()
    given = given_to(phone)
    monkeypatch.setattr(openings, "made_by", lambda: "other rules")
    openings.forget_other_rules(book)
    has = {"opening": given["id"], "since": given["upto"]}
    monkeypatch.setattr(openings, "time", SimpleNamespace(time=lambda: at_of(entries[-1]) / 1000))
    seen, made = [], ""
    while made is not None:
        new, old = synced(phone, opening=None), synced(phone, **has)
        assert not new["entries"] and not old["entries"] and new["since"] == 0 and old["since"] == given["upto"]
        assert new["opening"] == old["opening"] and new["opening"]["id"] is None
        seen.append(new["opening"]["made"])
        made = openings.make_next(book, known.upto, at_of(entries[-1]), made == "wrong")
    assert seen[0] == 0 and len(set(seen)) > 2 and seen[-1] == 99, seen
    openings.bring_up(book, at_of(entries[-1]))
    for asked in ({"opening": None}, has):
        assert synced(phone, **asked)["opening"]["id"] == given_to(phone)["id"]


def test_after_a_restore_a_device_with_a_part_shows_all_it_holds_and_takes_another_opening(book):
    entries = sorted((slower(one) for one in random_book(6)), key=at_of)
    take(book, entries)
    openings.bring_up(book, at_of(entries[-1]))
    phone = Client(book).pair()
    held = given_to(phone)["id"]
    told = synced(phone, opening=held, since=50, epoch="another")
    assert told["opening"] == {"id": held, "whole": False, "again": True}
    assert not told["entries"] and told["since"] == 0 and "have" not in told
    goes_on = synced(phone, opening=held, since=0)  # it holds what the opening covers: none of that comes again
    assert not goes_on["entries"] and "opening" not in goes_on
    book.write(store.set_fact, "openings_from", "1000000").result()
    book.write(past.forget, -1).result()
    assert synced(phone, opening=held, since=50)["opening"] == {"id": None, "whole": True, "again": False}


def test_only_a_paired_device_is_given_an_opening(book):
    answer = Client(book).ask("GET", "/api/opening", peer=("192.168.7.20", 50000), host="still.example")
    assert answer.status == 401
    assert Client(book).ask("GET", "/api/opening").status == 404


def faults(book: Store) -> str:
    with book.read() as reader:
        return "\n".join(rebuild_faults(reader))


def spoil(book: Store, table: str, key: str, change) -> None:
    """Change the newest body of a table, as JSON, behind the server's back."""

    def work(conn):
        at, body = conn.execute(f"SELECT {key}, body FROM {table} ORDER BY {key} DESC LIMIT 1").fetchone()
        body = json.loads(body)
        change(body)
        conn.execute(f"UPDATE {table} SET body = ? WHERE {key} = ?", (json.dumps(body), at))

    book.write(work).result()


def one_mg_more(body: dict) -> None:
    place = next(iter(body["walk"]["kept"]["places"].values()))
    place["ethanol_mg"] += 1


@pytest.mark.parametrize("seed", range(8))
def test_check_takes_openings_that_are_right(book, seed):
    for batch in arrivals(seed):
        take(book, batch)
        openings.bring_up(book, max(at_of(one) for one in batch))
    derived.rebuild_marks(book)
    derived.refresh(book)
    assert newest_cut(book) is not None and not faults(book)


def test_check_holds_kept_openings_against_the_log(book):
    for batch in arrivals(2):
        take(book, batch)
        openings.bring_up(book, max(at_of(one) for one in batch))
    derived.rebuild_marks(book)
    derived.refresh(book)
    assert newest_cut(book) is not None and not faults(book)
    for harm, told in (
        (lambda: spoil(book, "openings", "cut", one_mg_more), "holds ("),
        (lambda: spoil(book, "openings", "cut", no_vessels), "the server, gone on from its opening of 20"),
        (lambda: spoil(book, "given", "number", one_mg_more), "a new device, gone on from its opening of 20"),
        (lambda: book.write(other_moment).result(), "record 7 is filed at"),
        (lambda: book.write(other_move).result(), "from move 5 on"),
        (lambda: book.write(one_move_less).result(), "from move 3 on"),
        (lambda: book.write(half_a_body).result(), "cannot be worked out (JSONDecodeError"),
    ):
        harm()
        assert told in faults(book), told
        mend_beside(book)
        assert not faults(book)
        openings.bring_up(book, max(at_of(one) for one in batch))
        assert not faults(book)


def no_vessels(body: dict) -> None:
    body["walk"]["kept"]["vessels"].clear()


def other_moment(conn) -> None:
    conn.execute("UPDATE moments SET at = at + 1 WHERE seq = 7")


def other_move(conn) -> None:
    conn.execute("UPDATE moves SET ethanol_mg = ethanol_mg + 1 WHERE number = (SELECT min(number) + 4 FROM moves)")


def one_move_less(conn) -> None:
    conn.execute("DELETE FROM moves WHERE number = (SELECT min(number) + 2 FROM moves)")


def half_a_body(conn) -> None:
    conn.execute("UPDATE openings SET body = '{'")


ODD_RANGES = [{"device": [], "from": 1, "to": 2}, {"device": "A.00000001", "from": "x", "to": 2}]
ODD_RANGES += [{"device": "A.00000001", "from": 1, "to": None}, {"device": "A.00000001", "from": {}, "to": 2}, 5]


def test_a_closing_that_cannot_be_read_stops_nothing(book):
    entries = [one for batch in arrivals(1) for one in batch]
    now = max(map(at_of, entries))
    take(book, entries)
    openings.bring_up(book, now)
    cut = newest_cut(book)
    assert cut is not None
    plain = {**entries[-1], "kind": "close", "lines": [], "strikes": None, "uses": [], "group": None}
    said = [{"month": "2026-10", "known": [odd, odd], "closing": []} for odd in ODD_RANGES]
    take(book, [{**plain, "id": f"c-{n}", "n": 900 + n, "said": one} for n, one in enumerate(said)])
    assert openings.bring_up(book, now).state["closes"].keys() <= whole(book)["closes"].keys()
    assert newest_cut(book) == cut  # and it costs no opening
