"""Runs a notebook through nbclient, strictly: prints the executed notebook; exit code 1 where a cell failed.

nbclient does not take stock tslab's ways of failing for failures: an error is text on stderr with a reply of status
`error`, and what comes right after one is answered with `abort`. Both stop this script, as does an `idle` that is missing
(nbclient then times out).
"""

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

path = Path(sys.argv[1])
notebook = nbformat.read(path, as_version=4)


def on_cell_executed(cell, cell_index, execute_reply):
    status = execute_reply["content"]["status"]
    failed = status != "ok" or any(output["output_type"] == "error" for output in cell.get("outputs", []))
    if failed:
        print(f"cell {cell_index}: {status}\n{cell.get('outputs')}", file=sys.stderr)
        sys.exit(1)


client = NotebookClient(
    notebook,
    timeout=120,
    kernel_name="tslab",
    resources={"metadata": {"path": str(path.parent)}},
    on_cell_executed=on_cell_executed,
)
client.execute()
nbformat.validate(notebook)
print(nbformat.writes(notebook))
