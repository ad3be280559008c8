"""A new version of the app: fetched beside the old one, held to its hashes, used only when the person says so."""

import hashlib

import pytest
from asking import evaluate, wait_until
from floor import run, write
from harness import Server, copy_of_tree

VERSION = "((await (await fetch('/app.js')).text()).split('// version ')[1] ?? 'first')"
BAR = "A new version is here"


@pytest.fixture
def house(tmp_path, request):
    """A server over a copy of the tree: {server, root}."""
    root = copy_of_tree(tmp_path / "tree")
    server = Server(tmp_path / "server", root=root).start()
    yield server
    server.stop()


def release(server, words: str) -> None:
    with open(server.root / "static" / "app.js", "a") as file:
        file.write(f"// version {words}")


def look_for_update(page) -> str:
    """Ask for a new version; how its worker ended up: installed (it waits) or redundant (it was thrown away)."""
    return evaluate(
        page,
        """async () => {
      const registration = await navigator.serviceWorker.getRegistration();
      await registration.update().catch(() => {});
      const worker = registration.installing ?? registration.waiting;
      if (!worker) return 'none';
      while (worker.state === 'installing') await new Promise((done) => setTimeout(done, 20));
      return worker.state;
    }""",
    )


def version(page) -> str:
    return run(page, f"return {VERSION}")


TYPED = """
  const { useDraft } = await import('/data/drafts.js');
  const { html, render } = await import('/parts/html.js');
  const Form = () => {
    const [value, set, clear] = useDraft('reading R-1', '');
    window.type = set; window.drop = clear;
    return html`<output>${value}</output>`;
  };
  render(html`<${Form} />`, document.body.appendChild(document.createElement('div')));
"""


def test_a_new_version_waits_while_something_is_typed_and_then_for_consent(phone, house):
    ines = phone(url=house.url, fresh=True)
    page = ines.open()
    ines.ready()
    run(page, TYPED)
    page.evaluate("() => window.type('62')")
    release(house, "second")
    assert look_for_update(page) == "installed"
    run(page, "await sync.syncNow(); await sync.syncNow()")
    assert page.get_by_text(BAR).count() == 0
    page.evaluate("() => window.drop()")
    run(page, "await sync.syncNow()")
    page.get_by_text(BAR).wait_for()
    assert version(page) == "first"
    page = ines.open()  # a reload alone changes nothing
    assert version(page) == "first"
    page.get_by_text(BAR).wait_for()
    write(page, "Ines")
    page.get_by_role("button", name="Use it now").click()
    wait_until(page, "async () => !(await navigator.serviceWorker.getRegistration()).waiting")
    wait_until(page, "() => document.documentElement.dataset.book")
    assert version(page) == "second"
    assert page.get_by_text(BAR).count() == 0
    wait_until(page, "async () => (await caches.keys()).length === 1")  # the old version's files go


def test_a_wrong_body_leaves_the_old_version_at_work(phone, house):
    ines = phone(url=house.url, fresh=True)
    page = ines.open()
    ines.ready()
    release(house, "second")
    true = hashlib.sha256((house.root / "static" / "app.js").read_bytes()).hexdigest()
    with open(house.root / "server" / "assets.py", "a") as file:  # as a captive portal: 200, but another body
        file.write(f"\n_told = worker_text\n\ndef worker_text():\n    return _told().replace('{true}', '{'0' * 64}')\n")
    house.stop()
    house.start()
    assert look_for_update(page) == "redundant"
    house.kill()
    ines.close()
    ines.offline()
    page = ines.open()
    assert version(page) == "first"
    assert write(page, "Ines")["n"] == 1
    assert len(evaluate(page, "() => caches.keys()")) == 1


def test_the_worker_answers_for_listed_files_only(phone, server):
    ines = phone()
    page = ines.open()
    ines.ready()
    server.kill()
    answers = evaluate(
        page,
        """() => Promise.all(['/app.js', '/', '/api/ready', '/vendor/idb/LICENSE', '/sw.js'].map(
      (path) => fetch(path).then((answer) => answer.status, () => 'no answer')))""",
    )
    assert answers == [200, 200, "no answer", "no answer", "no answer"]
