"""The app without a network: it starts, takes entries, keeps them through the death of the browser, sends them once."""

from asking import at_rest
from floor import names, on_server, run, saved, sync_now, until, write


def test_cold_start_without_network_shows_the_page_and_what_was_written(phone, server):
    ines = phone(fresh=True)
    page = ines.open()
    ines.ready()
    write(page, "Ines")
    server.kill()
    ines.close()
    ines.offline()
    page = ines.open()
    assert names(page) == ["Ines"]
    assert page.locator("#app > .shell").count() == 1
    assert (
        run(page, "return (await (await import('/data/ready.js')).readyWithoutNetwork()).say")
        == "Ready without network"
    )
    assert ines.errors == []


def test_an_entry_written_offline_outlives_kill_9_and_is_sent_once(phone, server):
    ines = phone(lasting=True)
    page = ines.open()
    ines.ready()
    ines.offline()
    written = write(page, "Ines")
    assert ines.kill() > 0
    page = ines.open()
    assert names(page) == ["Ines"]
    assert saved(page)["waiting"] == 1
    ines.offline(False)
    state = sync_now(page)
    assert (state["state"], state["waiting"], state["sent"]) == ("idle", 0, 1)
    assert [entry["id"] for entry in server.entries()] == [written["id"]]


def test_a_half_typed_form_is_there_after_kill_9(phone):
    ines = phone(lasting=True)
    page = ines.open()
    type_in_form = """
      const { useDraft } = await import('/data/drafts.js');
      const { html, render } = await import('/parts/html.js');
      const Form = () => {
        const [value, set, clear] = useDraft('reading R-1', { typed: '' });
        window.type = set; window.drop = clear;
        return html`<output id="typed">${value.typed}</output>`;
      };
      const root = document.createElement('div');
      document.body.append(root);
      render(html`<${Form} />`, root);
    """
    run(page, type_in_form)
    for typed in ("6", "62", "62,", "62,4"):
        page.evaluate("typed => window.type({ typed })", typed)
    at_rest(page)
    ines.kill()
    page = ines.open()
    run(page, type_in_form)
    assert page.locator("#typed").text_content() == "62,4"
    run(page, "await book.write('person', { name: 'Ines' }, { by: 'Ines', draft: 'reading R-1' })")
    assert page.locator("#typed").text_content() == ""
    page = ines.restart()
    run(page, type_in_form)
    assert page.locator("#typed").text_content() == ""


def test_a_dead_server_stops_sending_and_nothing_else(phone, server):
    ines = phone()
    page = ines.open()
    until(page, "book.saved.last_sync")
    server.kill()
    write(page, "Ines")
    state = sync_now(page)
    assert (state["state"], state["waiting"]) == ("offline", 1)
    assert "kept on this device" in state["say"]
    server.start()
    assert sync_now(page)["waiting"] == 0
    assert on_server(server) == ["Ines"]


def test_two_phones_converge(phone, server):
    ines, jan = phone("ines"), phone("jan")
    pages = {"Ines": ines.open(), "Jan": jan.open()}
    for one in (ines, jan):
        one.ready()
        one.offline()
    for turn in range(3):
        for name, page in pages.items():
            write(page, f"{name} {turn}")
    for one in (ines, jan):
        one.offline(False)
    for _ in range(2):
        for page in pages.values():
            sync_now(page)
    wanted = sorted(f"{name} {turn}" for name in pages for turn in range(3))
    assert names(pages["Ines"]) == names(pages["Jan"]) == on_server(server) == wanted
    order = "return book.state.order"
    assert run(pages["Ines"], order) == run(pages["Jan"], order)


def test_in_a_browser_tab_on_ios_entry_is_off_and_says_why(phone):
    ines = phone()
    page = ines.open()
    page.evaluate("Object.defineProperty(Navigator.prototype, 'standalone', { value: false, configurable: true })")
    refused = run(page, "return book.write('person', { name: 'Ines' }).catch((e) => [e.name, e.say])")
    assert refused[0] == "NotSaved" and "Add to Home Screen" in refused[1]
    assert names(page) == []
