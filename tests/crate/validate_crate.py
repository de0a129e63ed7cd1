"""Runs roc-validator on an unpacked crate without network: the JSON-LD context that it would fetch comes from a file.

usage: validate_crate.py FOLDER CONTEXT.json
Prints {"passed": ..., "issues": [...]} as JSON.
"""
import json
import sys

import requests
import requests_cache
from rocrate_validator import models, services

folder, context_path = sys.argv[1:3]
with open(context_path, encoding="utf-8") as file:
    CONTEXT = file.read()


class Context:
    """The answer that the address of the context would give."""

    status_code = 200
    ok = True
    from_cache = False
    encoding = "utf-8"
    headers = {"Content-Type": "application/ld+json"}
    text = CONTEXT
    content = CONTEXT.encode()
    reason = "OK"
    url = "https://w3id.org/ro/crate/1.2/context"

    def json(self):
        return json.loads(CONTEXT)

    def raise_for_status(self):
        pass

    def iter_content(self, *_):
        yield self.content


def answer(self, method, url, *_, **__):
    if url.startswith("https://w3id.org/ro/crate/1.2"):
        return Context()
    raise requests.exceptions.ConnectionError(f"no network in this test: {url}")


requests.Session.request = answer
requests_cache.CachedSession.request = answer

settings = services.ValidationSettings(
    rocrate_uri=folder,
    profile_identifier="ro-crate-1.2",
    requirement_severity=models.Severity.REQUIRED,
)
result = services.validate(settings)
issues = [f"{issue.check.identifier}: {issue.message}" for issue in result.get_issues()]
print(json.dumps({"passed": result.passed(), "issues": issues}))
