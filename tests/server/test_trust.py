"""The plain page that leads through trusting the authority, and `serve --lan` as a whole, over real sockets."""

import base64
import hashlib
import http.client
import json
import re
import ssl
import urllib.request
from html.parser import HTMLParser

import pytest
from cryptography import x509
from house import House, asked

from server import certificates
from server.__main__ import main


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    running = House(tmp_path_factory.mktemp("house")).start()
    yield running
    running.stop()


class Page(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.tags, self.links = [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))


def test_the_page_leads_and_holds_no_script(house):
    status, headers, body = house.plain("GET", "/")
    page, text = Page(body.decode()), body.decode()
    assert status == 200 and headers["content-type"] == "text/html; charset=utf-8"
    assert "script" not in [tag for tag, _ in page.tags]
    assert not [name for _, attributes in page.tags for name in attributes if name.startswith("on")]
    links = [attributes["href"] for tag, attributes in page.tags if tag == "a"]
    assert links[:3] == ["/glovebook.crt", "#means", f"https://still.local:{house.port}/"]
    for system in ("Android", "iPhone, iPad", "Windows", "macOS", "Linux"):
        assert f"<summary>{system}</summary>" in text
    assert text.count("To take it away:") == 5 and "$" not in text.replace("$HOME", "")


def test_its_fingerprints_are_those_of_the_file_and_of_the_servers_own_screen(house):
    status, headers, der = house.plain("GET", "/glovebook.crt")
    assert status == 200 and headers["content-type"] == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(der) == certificates.kept(certificates.folder_of(house.book)).authority[1]
    for kind in (hashlib.sha256, hashlib.sha1):
        figures = kind(der).hexdigest().upper()
        pairs = ":".join(figures[at : at + 2] for at in range(0, len(figures), 2))
        shown = house.plain("GET", "/")[2].decode().replace("<wbr>", "")
        assert pairs in shown and pairs in house.log()


def test_its_style_is_the_only_one_that_its_policy_takes(house):
    _, headers, body = house.plain("GET", "/")
    (style,) = re.findall(r"<style>(.*?)</style>", body.decode(), re.DOTALL)
    shown = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src 'sha256-{shown}'" in headers["content-security-policy"]
    assert headers["content-security-policy"].startswith("default-src 'none'") and "script" not in str(headers)
    assert "strict-transport-security" not in headers and headers["cache-control"] == "no-store"
    assert style.count("data:font/woff2") == 2 and "url(.." not in style


@pytest.mark.parametrize(
    "path", ["/api/ready", "/api/sync", "/app.js", "/../book.db", "/%2e%2e/book.db", "/x", "//evil.example"]
)
def test_everything_else_leads_to_the_page(house, path):
    status, headers, body = house.plain("GET", path)
    assert (status, headers["location"], body) == (303, "/", b"")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
def test_nothing_can_be_sent_to_it(house, method):
    status, headers, body = house.plain(method, "/api/sync")
    assert status == 405 and headers["allow"] == "GET, HEAD" and json.loads(body)["error"]["say"]
    assert house.plain("HEAD", "/")[2] == b""


def test_the_book_is_served_by_https_alone(house):
    status, headers, body = house.secure("GET", "/api/ready")
    assert status == 200 and json.loads(body)["ok"]
    assert "strict-transport-security" not in headers  # for localhost, which other programs share
    _, headers, _ = house.secure("GET", "/api/ready", Host=f"still.local:{house.port}")
    assert headers["strict-transport-security"] == "max-age=31536000"
    old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
    with pytest.warns(DeprecationWarning):
        old.maximum_version = ssl.TLSVersion.TLSv1_1
    with pytest.raises(OSError):
        asked(http.client.HTTPSConnection("127.0.0.1", house.port, timeout=5, context=old), "GET", "/")


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_who_types_http_is_led_to_the_plain_page(house, method):
    line = http.client.HTTPConnection("127.0.0.1", house.port, timeout=30)
    status, headers, body = asked(line, method, "/api/ready", b"{}" if method == "POST" else None)
    assert (status, headers["Location"], body) == (303, f"http://127.0.0.1:{house.trust_port}", b"")
    assert urllib.request.urlopen(headers["Location"], timeout=30).read() == house.plain("GET", "/")[2]
    assert house.secure("GET", "/api/ready")[0] == 200


def test_the_desks_commands_reach_it(house, capsys):
    assert main(["pair", "--book", str(house.book)]) == 0
    code = re.search(r"^(\d{3} \d{3})$", capsys.readouterr().out, re.MULTILINE)[1]
    body = json.dumps({"code": code})
    told = house.secure("POST", "/api/pair", body, **{"Content-Type": "application/json"})
    assert told[0] == 200 and code.replace(" ", "") not in house.log()
    assert main(["certificate", "show", "--book", str(house.book)]) == 0
    assert f"https://still.local:{house.port}" in capsys.readouterr().out


def test_what_it_prints(house):
    log = house.log()
    assert f"Glovebook is at https://still.local:{house.port}\n" in log
    assert re.search(rf"opens http://[\d.\[\]:a-f]+:{house.trust_port} first", log)
    assert "glovebook pair" in log and "PRIVATE" not in log


def test_the_port_stays_and_own_certificates_are_another_way(house, tmp_path, capsys):
    book = ["--book", str(tmp_path / "b.db")]
    assert main(["serve", "--lan", "--port", "0", *book]) == 1
    assert main(["serve", "--lan", "--certfile", "a", "--keyfile", "b", *book]) == 1
    told = capsys.readouterr().err
    assert "must stay" in told and "of its own" in told
