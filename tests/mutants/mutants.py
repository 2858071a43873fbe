"""Runs mutants of the last commit against the tests; see `run`."""

import argparse
import json
import os
import queue
import random
import re
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

from switches import Source

SWITCH = """
/// Whether a mutant is on.
pub fn mutant(id: u32) -> bool {
    static ON: std::sync::OnceLock<Option<u32>> = std::sync::OnceLock::new();
    let read = || std::env::var("MUTANT").ok().and_then(|id| id.parse().ok());
    *ON.get_or_init(read) == Some(id)
}
"""
# Tests that read the source or the guide see the switches.
NOT_OF_USE = ["house::"]
QUICK = ["worked::", "certified::"]
# A mutant that takes so many times as long as none does, and some seconds, will not end.
TOO_LONG = 6.0


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="tests/mutants/run")
    parser.add_argument("root", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("target", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("places", nargs="+", help="files and folders, such as src/accounts")
    parser.add_argument("--sample", type=int, help="so many of each place, drawn by chance")
    parser.add_argument("--seed", type=int, default=1, help="which sample")
    parser.add_argument("--only", nargs="+", default=[""], help="of these, those with such text in their name")
    parser.add_argument("--jobs", type=int, default=2, help="mutants at once")
    return parser.parse_args()


class Bench:
    """A copy of the last commit with switches, and what is built of it."""

    def __init__(self, root: Path, target: Path):
        self.tree = target / "tree"
        self.env = dict(os.environ, CARGO_TARGET_DIR=str(target / "build"), INSTA_UPDATE="no")
        subprocess.run(["rm", "-rf", self.tree], check=True)
        subprocess.run(["git", "clone", "-q", root, self.tree], check=True)

    def cargo(self, *words: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            ["cargo", *words], cwd=self.tree, env=self.env, capture_output=True, text=True
        )

    def listed(self, place: str) -> list[dict]:
        """Mutants of a file or folder; fields of a struct are not done here."""
        files = place if place.endswith(".rs") else f"{place}/**"
        found = json.loads(self.cargo("mutants", "--list", "--json", "--file", files).stdout)
        return [mutant for mutant in found if mutant["genre"] != "StructField"]

    def write(self, mutants: list[dict]) -> set[int]:
        """Puts the switches in; gives those for which no place was found."""
        subprocess.run(["git", "checkout", "-q", "src"], cwd=self.tree, check=True)
        unplaced = set()
        for file in sorted({mutant["file"] for mutant in mutants}):
            path = self.tree / file
            source = Source(path.read_bytes(), [m for m in mutants if m["file"] == file])
            path.write_text(source.switched())
            unplaced |= {mutant["id"] for mutant in source.unplaced}
        with open(self.tree / "src/lib.rs", "a") as lib:
            lib.write(SWITCH)
        return unplaced

    def unviable(self) -> set[int]:
        """Mutants that do not compile."""
        found, unknown = set(), []
        said = self.cargo("check", "--locked", "--lib", "--message-format=json")
        for line in said.stdout.splitlines():
            message = json.loads(line).get("message")
            if not isinstance(message, dict) or message.get("level") != "error":
                continue
            here = set()
            for span in message["spans"]:
                if not span["file_name"].startswith("src/"):
                    continue
                lines = (self.tree / span["file_name"]).read_text().split("\n")
                here |= switches(lines[span["line_start"] - 1 : span["line_end"]])
                # A wrong value of a function may be told at the function's own value.
                before = reversed(lines[max(0, span["line_start"] - 25) : span["line_start"]])
                returned = (switches([line]) for line in before if "{ return " in line)
                here |= here or next(filter(None, returned), set())
            found |= here
            unknown += [] if here else [message["rendered"]]
        if said.returncode and not found:
            sys.exit("".join(unknown) or said.stderr)
        return found

    def tests(self) -> tuple[list[str], list[str], list[str]]:
        """What runs the unit tests, the suite's and the documentation's."""
        built = self.cargo(
            "test", "--locked", "--no-run", "--lib", "--test", "suite", "--message-format=json"
        )
        if built.returncode:
            sys.exit(built.stderr)
        made = [json.loads(line) for line in built.stdout.splitlines()]
        tests = [m for m in made if m.get("executable") and m["profile"]["test"]]
        by_name = {m["target"]["name"]: m["executable"] for m in tests}
        threads = f"--test-threads={max(1, (os.cpu_count() or 2) // 2 * 2)}"
        doc = ["cargo", "test", "--locked", "--doc", "-q"]
        return [by_name["wheelworth"], threads], [by_name["suite"], threads], doc

    def outcome(self, command: list[str], mutant: int | None, limit: float) -> tuple[str, str]:
        """'passed', 'caught' with the test that failed, or 'timeout'."""
        env = self.env if mutant is None else dict(self.env, MUTANT=str(mutant))
        run = subprocess.Popen(
            command,
            cwd=self.tree,
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,
        )
        late = threading.Event()

        def stop():
            late.set()
            end(run)

        timer = threading.Timer(limit, stop)
        timer.start()
        failed = None
        for line in run.stdout:
            words = line.split()
            if line.startswith("test ") and words[-1] == "FAILED":
                failed = words[1]
                end(run)
                break
        run.wait()
        timer.cancel()
        if failed or (run.returncode and not late.is_set()):
            return "caught", failed or f"exit {run.returncode}"
        return ("timeout", "") if late.is_set() else ("passed", "")


def switches(lines: list[str]) -> set[int]:
    return {int(id) for line in lines for id in re.findall(r"crate::mutant\((\d+)\)", line)}


def end(run: subprocess.Popen):
    try:
        os.killpg(run.pid, signal.SIGKILL)
    except ProcessLookupError:
        pass


def drawn(bench: Bench, asked: argparse.Namespace) -> list[dict]:
    """The sample, each with its number, as far as it compiles, with its switches in."""
    chance, chosen = random.Random(asked.seed), []
    for place in asked.places:
        all_here = bench.listed(place)
        if asked.sample:
            chance.shuffle(all_here)
        chosen += all_here[: asked.sample]
    for number, mutant in enumerate(chosen):
        mutant["id"] = number
    chosen = [mutant for mutant in chosen if any(text in mutant["name"] for text in asked.only)]
    out = bench.write(chosen)
    while True:
        viable = [mutant for mutant in chosen if mutant["id"] not in out]
        more = bench.write(viable) | bench.unviable()
        if not more:
            print(f"{len(viable)} of {len(chosen)} mutants compile", flush=True)
            return viable
        out |= more


def main():
    asked = arguments()
    bench = Bench(asked.root, asked.target)
    mutants = drawn(bench, asked)
    unit, suite, doc = bench.tests()
    apart = [word for name in NOT_OF_USE + QUICK for word in ("--skip", name)]
    stages = [unit, [*suite, *QUICK], [*suite, *apart], doc]
    limits, began = [], time.monotonic()
    for stage in stages:
        start = time.monotonic()
        how, test = bench.outcome(stage, None, 3600.0)
        if how != "passed":
            sys.exit(f"without any mutant: {how} {test}")
        limits.append(60.0 + TOO_LONG * (time.monotonic() - start))
    print(f"the tests pass without any, in {time.monotonic() - began:.0f} s", flush=True)

    waiting, found, lock = queue.SimpleQueue(), {}, threading.Lock()
    for mutant in sorted(mutants, key=lambda mutant: mutant["id"]):
        waiting.put(mutant)

    def work():
        while True:
            try:
                mutant = waiting.get_nowait()
            except queue.Empty:
                return
            how, test = "survived", ""
            for stage, limit in zip(stages, limits):
                now, test = bench.outcome(stage, mutant["id"], limit)
                if now != "passed":
                    how = now
                    break
            with lock:
                found[mutant["name"]] = how
                print(f"{how:8}  {mutant['name']}  {test}", flush=True)

    workers = [threading.Thread(target=work) for _ in range(asked.jobs)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    for place in asked.places:
        here = [how for name, how in found.items() if name.startswith(place)]
        missed = sum(how == "survived" for how in here)
        print(f"{place}: {len(here) - missed} of {len(here)} caught")
    for name in sorted(name for name, how in found.items() if how == "survived"):
        print(f"survived  {name}")


if __name__ == "__main__":
    main()
