"""Runs notebooks from top to bottom without a display and says of each whether
it held. Exit status 0 if all did (with --must-fail: if each was stopped by its
last assertion, that of the differences), 1 otherwise.

    python execute.py [--must-fail] RESULTS NOTEBOOK...

RESULTS is the folder for the notebooks with their outputs. The notebooks learn
from the environment where their data are; see `run`.
"""

import pathlib
import re
import sys

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

# Seconds for one cell, after which it is taken to hang.
LONGEST = 600

# What the last assertion of a notebook says.
BEYOND = "AssertionError: beyond the room: "


def first_failure(notebook):
    """Number and source of the failed cell, and the name and text of its error."""
    for number, cell in enumerate(notebook.cells, start=1):
        for output in cell.get("outputs", []):
            if output.output_type == "error":
                trace = re.sub(r"\x1b\[[0-9;]*m", "", "\n".join(output.traceback))
                return number, cell.source, output.ename, trace
    return None


def main(arguments):
    must_fail = arguments[:1] == ["--must-fail"]
    results, *names = arguments[must_fail:]
    results = pathlib.Path(results)
    results.mkdir(parents=True, exist_ok=True)
    wrong = 0
    for name in map(pathlib.Path, names):
        notebook = nbformat.read(name, as_version=4)
        place = {"metadata": {"path": str(results)}}
        client = NotebookClient(
            notebook,
            timeout=LONGEST,
            kernel_name="python3",
            resources=place,
            # It warns that it listens on this machine's own address, which it must.
            extra_arguments=["--log-level=ERROR"],
        )
        try:
            client.execute()
        except CellExecutionError:
            pass  # what went wrong stands in the notebook
        nbformat.write(notebook, results / name.name)
        failure = first_failure(notebook)
        if failure is None:
            print(f"{'FAILED: it found nothing wrong with' if must_fail else 'ok'} {name.name}")
            wrong += must_fail
            continue
        number, source, error, trace = failure
        if must_fail and error == "AssertionError" and BEYOND in trace:
            print(f"ok, stopped in cell {number}: {name.name}: {trace.strip().splitlines()[-1]}")
            continue
        wrong += 1
        print(f"FAILED {name.name}, cell {number}:\n\n{source}\n\n{trace}\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
