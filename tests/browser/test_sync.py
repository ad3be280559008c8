"""Sending and fetching when things go wrong: each entry reaches the server exactly once, and none is lost."""

import itertools
import shutil
import time
from functools import partial

import pytest
from floor import names, on_server, run, saved, sync_now, until, write
from harness import Server
from playwright.sync_api import Route


def test_lost_answers_send_each_entry_exactly_once(phone, server):
    ines = phone()
    page = ines.open()
    until(page, "book.saved.last_sync")

    def lose_answer(route):
        route.fetch()
        route.abort()

    ines.context.route("**/api/sync", lose_answer)
    for name in ("Ines", "Jan"):
        write(page, name)
        assert sync_now(page)["state"] == "offline"
    assert saved(page)["waiting"] == 2
    assert on_server(server) == ["Ines", "Jan"]  # they arrived; only this phone does not know it
    ines.context.unroute("**/api/sync")
    assert sync_now(page)["waiting"] == 0
    assert on_server(server) == ["Ines", "Jan"]
    assert names(page) == ["Ines", "Jan"]


def test_two_tabs_sync_one_at_a_time(phone, server):
    ines = phone()
    tabs = [ines.open(), ines.tab()]
    ines.ready()
    for tab in tabs:
        run(
            tab,
            """
            window.spans = [];
            const real = window.fetch;
            window.fetch = async (...words) => {
              if (words[0] !== '/api/sync') return real(...words); // a page that loads in the quiet reads its data
              const from = Date.now();
              await new Promise((done) => setTimeout(done, 150));
              const answer = await real(...words);
              window.spans.push([from, Date.now()]);
              return answer;
            };
            for (let i = 0; i < 3; i += 1) { book.write('person', { name: `P${i}` }, { by: 'P' }); sync.syncNow(); }
            """,
        )
    for tab in tabs:
        until(tab, "book.saved.waiting === 0 && book.entries.length === 6 && sync.status.state === 'idle'")
    spans = sorted(span for tab in tabs for span in tab.evaluate("window.spans"))
    assert len(spans) >= 2
    assert all(before[1] <= after[0] for before, after in itertools.pairwise(spans)), spans
    assert len(server.entries()) == 6


@pytest.mark.parametrize("way", ["by hand", "glovebook restore"])
def test_after_a_restore_phones_send_again_what_the_server_lacks(phone, server, tmp_path, way):
    ines, jan = phone("ines"), phone("jan")
    first, second = ines.open(), jan.open()
    for page in (first, second):
        until(page, "book.saved.last_sync")
    backup = tmp_path / "backup.db"
    server.command("backup", str(backup))
    write(first, "Ines")
    write(second, "Jan")
    sync_now(second)
    sync_now(first)
    assert names(first) == ["Ines", "Jan"]
    jan.close()  # Jan's phone is in the pocket at home: only Ines's holds what the server lost
    server.stop()
    if way == "by hand":
        for left in server.folder.glob("book.db-*"):
            left.unlink()
        shutil.copy(backup, server.book)
    else:
        told = server.command("restore", str(backup), "--old-to", str(tmp_path / "old.db"))
        assert "brings by itself" in told
    server.start()
    assert on_server(server) == []
    state = sync_now(first)
    assert (state["state"], state["waiting"], state["sent"]) == ("idle", 0, 2)
    assert on_server(server) == ["Ines", "Jan"]


def test_a_revoked_phone_keeps_everything_and_goes_on_after_pairing_again(phone, server):
    page = phone().open()
    until(page, "book.saved.last_sync")
    server.post("/api/revoke", {"device": run(page, "return device.id")})
    write(page, "Ines")
    state = sync_now(page)
    assert (state["state"], state["waiting"]) == ("refused", 1)
    assert "Everything is kept here" in state["say"]
    assert names(page) == ["Ines"]
    run(page, "await device.pair()")
    until(page, "book.saved.waiting === 0")
    assert on_server(server) == ["Ines"]


def test_a_refused_entry_stays_in_sight_and_holds_up_no_other(phone, server):
    ines = phone(lasting=True)
    page = ines.open()
    ines.ready()
    ines.offline()
    run(
        page,
        """
        const { STORES, addEntry } = await import('/data/outbox.js');
        const id = '01930000-0000-7000-8000-000000000000';
        const text = JSON.stringify({ id, device: device.id, n: 99, note: 'from a version with a fault' });
        const row = { id, text, seq: null, marks: [], device: device.id, n: 99 };
        await device.db.write(STORES, (tx) => addEntry(tx, row));
        """,
    )
    write(page, "Ines")
    ines.offline(False)
    state = sync_now(page)
    assert (state["state"], state["waiting"], state["refused"]) == ("idle", 0, 1)
    told = run(page, "return book.records.get('01930000-0000-7000-8000-000000000000').refused")
    assert told["why"] == "unreadable" and told["say"]
    assert on_server(server) == ["Ines"]
    assert saved(ines.restart())["refused"] == 1


def test_one_entry_that_spoils_the_whole_request_is_found_and_set_aside(phone, server):
    ines = phone()
    page = ines.open()
    ines.ready()

    def spoil(route):
        if "Poison" in (route.request.post_data or ""):
            route.fulfill(
                status=413, json={"error": {"field": None, "given": None, "expected": "less", "say": "Too much."}}
            )
        else:
            route.continue_()

    ines.offline()
    for name in ("Ines", "Jan", "Poison", "Lena", "Ola"):
        write(page, name)
    ines.context.route("**/api/sync", spoil)  # before the network is back: the app sends at once
    ines.offline(False)
    state = sync_now(page)
    assert (state["state"], state["waiting"], state["refused"]) == ("idle", 0, 1)
    assert on_server(server) == ["Ines", "Jan", "Lena", "Ola"]
    assert "Poison" in names(page)
    # It was a proxy, and that is gone: tried again by itself, ten minutes later and not before.
    ines.context.unroute("**/api/sync")
    assert sync_now(page)["refused"] == 1
    run(
        page,
        """
        await device.db.write(['refused'], async (tx) => {
          const [verdict] = await tx.store.getAll();
          await tx.store.put({ ...verdict, tried_at: verdict.tried_at - 600_000 });
        });
        """,
    )
    state = sync_now(page)
    assert (state["state"], state["waiting"], state["refused"]) == ("idle", 0, 0)
    assert on_server(server) == ["Ines", "Jan", "Lena", "Ola", "Poison"]


def test_a_server_that_refuses_everything_costs_no_entry(phone, server):
    ines = phone()
    page = ines.open()
    ines.ready()
    error = {"field": None, "given": None, "expected": None, "say": "No."}
    ines.context.route("**/api/sync", lambda route: route.fulfill(status=400, json={"error": error}))
    write(page, "Ines")
    state = sync_now(page)
    assert (state["state"], state["waiting"], state["refused"]) == ("offline", 1, 0)


def test_an_answer_of_something_else_settles_nothing(phone, server):
    ines = phone()
    page = ines.open()
    until(page, "book.saved.last_sync")
    told = []
    for body in ("<html>Log in to the hotel's network</html>", "{}", "[]", '{"taken": 7}', ""):
        answer = partial(Route.fulfill, status=200, body=body, content_type="text/html")
        ines.context.route("**/api/sync", lambda route, _, answer=answer: answer(route))
        told.append(f"Ines {len(told)}")
        write(page, told[-1])
        state = sync_now(page)
        assert (state["state"], state["waiting"]) == ("offline", 1), body
        ines.context.unroute("**/api/sync")
        assert sync_now(page)["waiting"] == 0, body
        assert on_server(server) == told, body


def test_another_house_on_the_same_address_gets_nothing_of_this_one(phone, server, tmp_path):
    page = phone().open()
    until(page, "book.saved.last_sync")
    write(page, "Ines")
    until(page, "book.saved.waiting === 0")
    site = run(page, "return device.site")
    server.stop()
    other = Server(tmp_path / "other", port=server.port).start()
    try:
        write(page, "Jan")
        state = sync_now(page)
        assert (state["state"], state["waiting"]) == ("other_book", 1)
        assert on_server(other) == []
        page.get_by_role("button", name="Open that book").click()
        until(page, "device.site !== given && sync.status.state === 'idle'", site)
        assert names(page) == []
        write(page, "Olga")
        sync_now(page)
        assert on_server(other) == ["Olga"]
        run(page, "await device.openSite(given)", site)
        assert names(page) == ["Ines", "Jan"]
    finally:
        other.stop()
    server.start()
    until(page, "sync.syncNow().then(() => book.saved.waiting === 0)")
    assert on_server(server) == ["Ines", "Jan"]


def test_two_phones_with_one_identity_are_parted(phone, server, tmp_path):
    ines = phone("ines", lasting=True)
    page = ines.open()
    ines.ready()
    until(page, "book.saved.last_sync")
    ines.close()
    shutil.copytree(tmp_path / "ines", tmp_path / "copy", ignore=shutil.ignore_patterns("Singleton*"))
    page, copied = ines.open(), phone("copy", lasting=True).open()
    assert run(page, "return device.id") == run(copied, "return device.id")
    write(page, "Ines")
    sync_now(page)
    write(copied, "Jan")
    sync_now(copied)
    assert run(page, "return device.id") != run(copied, "return device.id")
    assert write(copied, "Jan again")["device"] == run(copied, "return device.id")
    sync_now(copied)
    assert on_server(server) == ["Ines", "Jan", "Jan again"]


def test_the_clock_is_measured_and_stands_in_the_entry(phone):
    ines = phone()
    page = ines.open()
    run(page, "const real = Date.now; Date.now = () => real() - 90_000")  # this phone is a minute and a half behind
    sync_now(page)
    assert abs(write(page, "Ines")["clock"] - 90_000) < 2_000


def test_a_slow_answer_does_not_turn_the_order_of_what_was_written_in_one_second(phone):
    """An answer is uncertain by half of its way (Cristian, Distributed Computing 3, 1989, from memory)."""
    ines = phone()
    page = ines.open()
    sync_now(page)
    first = write(page, "Ines")
    page.route("**/api/sync", lambda route: (time.sleep(1), route.continue_()))  # slow on the way there alone
    sync_now(page)
    assert saved(page)["waiting"] == 0
    second = write(page, "Oskar")
    assert first["clock"] == second["clock"] == 0
