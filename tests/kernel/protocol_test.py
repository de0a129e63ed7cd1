"""Runs the protocol tests of jupyter_kernel_test against the tslab kernel, and prints their outcome as JSON.

usage: protocol_test.py plain|reactive
"""

import json
import sys
import unittest

import jupyter_kernel_test as jkt

REACTIVE = sys.argv[1] == "reactive"
IMPORT = "import { show } from 'blankoff/notebook';"


class TslabTests(jkt.KernelTests):
    kernel_name = "tslab"
    language_name = "typescript"
    file_extension = ".ts"
    code_hello_world = "console.log('hello, world')"
    code_stderr = "console.error('oops')"
    completion_samples = [{"text": "consol", "matches": {"console"}}]
    complete_code_samples = ["1", "const a = 1;", "function f() {\n}\n"]
    incomplete_code_samples = ["function f() {", "const a = ["]
    code_generate_error = "throw new Error('oops')"
    code_execute_result = [{"code": "6 * 7", "result": "42", "mime": "text/plain"}]
    code_display_data = [{"code": "import * as t from 'tslab'; t.display.text('x');", "mime": "text/plain"}]
    code_inspect_sample = "console"
    code_clear_output = ""
    supported_history_operations = ()

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        if REACTIVE:
            cls.kc.execute_interactive(IMPORT, output_hook=lambda message: None, timeout=60)


class Outcome(unittest.TestResult):
    def __init__(self):
        super().__init__()
        self.passed = []

    def addSuccess(self, test):
        super().addSuccess(test)
        self.passed.append(test)


def last_line(text):
    return text.strip().splitlines()[-1]


outcome = Outcome()
unittest.defaultTestLoader.loadTestsFromTestCase(TslabTests).run(outcome)


def name(test):
    return test.id().split(".")[-1]


failed = {name(test): last_line(text) for test, text in outcome.failures + outcome.errors}
json.dump(
    {
        "passed": sorted(name(test) for test in outcome.passed),
        "failed": failed,
        "skipped": {name(test): reason for test, reason in outcome.skipped},
    },
    sys.stdout,
    indent=1,
)
