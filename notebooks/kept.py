"""The outputs that a notebook keeps, so that it can be read with its pictures
without being run: written into it, or held against what was just made.

    python kept.py hold|write NOTEBOOK MADE

NOTEBOOK is the one of this folder, MADE the same after a run. `hold` exits with 1
where the two differ.

>>> differ("low: 142.35, high\\n 218.13", "low:  142.35000001, high 218.13")
>>> differ("largest difference 1.1e-14 (room 1e-10)", "largest difference 0.0e+00 (room 1e-10)")
>>> differ("low: 142.35", "low: 142.36")
'142.35 is kept, 142.36 was made'
>>> differ("45 numbers agree", "45 numbers disagree")
"'numbers agree' is kept, 'numbers disagree' was made"
>>> differ("1 2", "1 2 3") is None
False
"""

import base64
import io
import math
import re
import sys

import matplotlib.image
import nbformat
import numpy

# Numbers: the models are fitted by several libraries whose last digits move from
# machine to machine. What is smaller than ABSOLUTE here is such noise itself (the
# largest differences between two libraries); the notebooks hold it to bounds of
# their own.
RELATIVE = 1e-6
ABSOLUTE = 1e-4

# Pictures: the mean difference of a point, of 1 from black to white. Two runs draw the
# same points; a point of a curve that moves by its own width is some 0.0001. Between
# builds of the drawing library the edges of letters and lines move by less than a point.
PICTURE = 0.002

NUMBER = re.compile(r"(?<![\w.])([-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)")


def differ(kept, made):
    """What is different between two texts, or None."""
    kept, made = (NUMBER.split(text) for text in (kept, made))
    for at, (one, other) in enumerate(zip(kept, made)):
        if at % 2:
            near = math.isclose(float(one), float(other), rel_tol=RELATIVE, abs_tol=ABSOLUTE)
            if not near:
                return f"{one} is kept, {other} was made"
            continue
        one, other = (" ".join(text.split()) for text in (one, other))
        if one != other:
            return f"{one[:60]!r} is kept, {other[:60]!r} was made"
    if len(kept) != len(made):
        return f"{len(kept) // 2} numbers are kept, {len(made) // 2} were made"
    return None


def pictures_differ(kept, made):
    """The same of two pictures (PNG in base 64)."""
    one, other = (matplotlib.image.imread(io.BytesIO(base64.b64decode(p))) for p in (kept, made))
    if one.shape != other.shape:
        return f"a picture of {one.shape[:2]} points is kept, {other.shape[:2]} was made"
    mean = float(numpy.abs(one - other).mean())
    return None if mean <= PICTURE else f"the pictures differ by {mean:.3f} a point"


def joined(outputs):
    """The outputs of one cell, with what was printed in one piece: how it is cut
    depends on the moment."""
    found = []
    for output in outputs:
        if output.output_type == "stream" and found and found[-1].get("name") == output.name:
            found[-1] = nbformat.from_dict({**found[-1], "text": found[-1].text + output.text})
        else:
            found.append(output)
    return found


def outputs_differ(kept, made):
    """The same of the outputs of one cell."""
    kept, made = joined(kept), joined(made)
    if [o.output_type for o in kept] != [o.output_type for o in made]:
        return f"{len(kept)} outputs are kept, {len(made)} were made, or of other kinds"
    for one, other in zip(kept, made):
        if one.output_type == "stream":
            found = differ(one.text, other.text)
        else:
            found = None if set(one.data) == set(other.data) else "kinds of data differ"
            for kind in () if found else one.data:
                compare = pictures_differ if kind == "image/png" else differ
                found = found or compare(one.data[kind], other.data[kind])
        if found:
            return found
    return None


def hold(notebook, made):
    """Differences between what a notebook keeps and what was made, cell by cell."""
    found = []
    for number, (one, other) in enumerate(zip(notebook.cells, made.cells), start=1):
        if one.source != other.source or one.cell_type != other.cell_type:
            found.append(f"cell {number}: not the same cell")
        elif one.cell_type == "code":
            what = outputs_differ(one.outputs, other.outputs)
            found += [f"cell {number}: {what}"] if what else []
    return found


def write(notebook, made):
    """Puts the outputs into the notebook, without the times at which they were made."""
    for one, other in zip(notebook.cells, made.cells):
        if one.cell_type == "code":
            one.outputs = joined(other.outputs)
            one.execution_count = other.execution_count


def main(what, name, made_name):
    notebook, made = (nbformat.read(n, as_version=4) for n in (name, made_name))
    if what == "write":
        write(notebook, made)
        nbformat.write(notebook, name)
        print(f"{name}: outputs written")
        return 0
    found = hold(notebook, made)
    for line in found:
        print(f"FAILED: {name}, {line}")
    if found:
        print("WHEELWORTH_WRITE_NOTEBOOKS=1 notebooks/run keeps what is made now")
    else:
        print(f"ok, the outputs that {name} keeps are those that are made")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
