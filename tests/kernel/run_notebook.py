"""Runs a notebook through nbclient on the tslab kernel and prints its cells with their outputs as JSON.

usage: run_notebook.py NOTEBOOK
"""

import json
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

path = Path(sys.argv[1])
notebook = nbformat.read(path, as_version=4)
# Without allow_errors the client stops at the first error; a reply that is neither ok nor error is caught below.
replies = []
client = NotebookClient(
    notebook,
    kernel_name="tslab",
    timeout=300,
    resources={"metadata": {"path": str(path.parent)}},
    on_cell_executed=lambda cell, cell_index, execute_reply: replies.append(execute_reply["content"]["status"]),
)
failure = None
try:
    client.execute()
except Exception as error:
    failure = f"{type(error).__name__}: {error}"
cells = [{"source": c.source, "outputs": c.outputs} for c in notebook.cells if c.cell_type == "code"]
json.dump({"replies": replies, "failure": failure, "cells": cells}, sys.stdout)
