"""`glovebook serve --lan` as a child, and how to ask it by plain HTTP and by HTTPS."""

import http.client
import json
import ssl
import subprocess
import sys
import time

from cryptography.hazmat.primitives.serialization import Encoding
from harness import Server, free_port

from server import certificates


class House(Server):
    """`glovebook serve --lan` as a child; asks by HTTPS with the authority that the child made."""

    def __init__(self, folder):
        super().__init__(folder)
        self.trust_port = free_port()
        self.words += ["--lan", "--name", "still.local", "--trust-port", str(self.trust_port)]

    def start(self):
        with open(self.folder / "server.log", "ab") as log:
            line = [sys.executable, "-m", "server", *self.words, "--port", str(self.port)]
            self.child = subprocess.Popen(line, cwd=self.root, stdout=log, stderr=log)
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            try:
                if self.plain("GET", "/")[0] == 200 and self.secure("GET", "/api/ready")[0] == 200:
                    return self
            except (OSError, certificates.Problem):
                time.sleep(0.05)
        raise AssertionError(self.log())

    def post(self, path, body, token=None):
        headers = {"Content-Type": "application/json"} | ({"Authorization": f"Bearer {token}"} if token else {})
        status, _, told = self.secure("POST", path, json.dumps(body), **headers)
        assert status == 200, told
        return json.loads(told)

    def plain(self, method, path, host="127.0.0.1"):
        return asked(http.client.HTTPConnection(host, self.trust_port, timeout=30), method, path)

    def secure(self, method, path, body=None, host="localhost", **headers):
        authority = certificates.kept(certificates.folder_of(self.book)).authority[1]
        context = ssl.create_default_context(cadata=authority.public_bytes(Encoding.PEM).decode())
        line = http.client.HTTPSConnection(host, self.port, timeout=30, context=context)
        return asked(line, method, path, body, headers)


def asked(line, method, path, body=None, headers=None):
    try:
        line.request(method, path, body, headers or {})
        answer = line.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read()
    finally:
        line.close()
