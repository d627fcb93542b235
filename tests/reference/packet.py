"""Has a packet of the demo's shop checked by two programs that share no code, also when it was altered.

    python packet.py PROGRAMS DEMO

PROGRAMS is the folder with `burrline` and `burrline-shop`, DEMO the folder that the demo left. The packets are
made by the program from the demo's shop; `verify_packet.py` must accept each, and so must `burrline verify`.
Then bytes are altered, some in every file and many in those that others are checked by, and both must turn
it down.
"""

import random
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from verify_packet import Wrong, heads_on, key_on, read_folder, verify

# How many bytes of a file are altered, and of one that others are checked by; and every so manieth altered
# packet is shown to the program as well, which is slower.
FEW, MANY, EVERY = 3, 60, 9
ROOTS = ("shop-key.txt", "checkpoint.txt", "manifest.txt", "leaf-hashes")


def serve(programs, data):
    """Opens the shop on a free port; the process and its address."""
    shop = subprocess.Popen(
        [programs / "burrline-shop", "serve", "--data", data, "--listen", "127.0.0.1:0", "--log", "error"],
        stdout=subprocess.PIPE,
        text=True,
    )
    for line in shop.stdout:
        found = re.search(r"open at (\S+)", line)
        if found:
            return shop, found[1]
    raise SystemExit("the shop did not open")


def burrline(programs, bench, *words):
    done = subprocess.run(
        [programs / "burrline", "--bench", bench, *words], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout + done.stderr


def packets(programs, demo, scratch):
    """Packets of two jobs, and a slip."""
    # A copy, so that what the demo left stays as it is.
    copy = scratch / "demo"
    shutil.copytree(demo, copy)
    shop, url = serve(programs, copy)
    try:
        bench = copy / "benches" / "counter"
        settings = bench / "bench.toml"
        settings.write_text(re.sub(r'^shop = ".*"$', f'shop = "{url}"', settings.read_text(), flags=re.M))
        status, floor = burrline(programs, bench, "find", "whitetail")
        tags = re.findall(r"^\s*([0-9]{3,})\b", floor, flags=re.M)[:2]
        if status or not tags:
            raise SystemExit(f"no job to lay open: {floor}")
        made = []
        for tag in tags:
            status, words = burrline(programs, bench, "packet", tag, "--out", str(scratch / tag))
            if status:
                raise SystemExit(words)
            made.append(scratch / tag)
        status, slip = burrline(programs, bench, "slip", tags[0], "--evidence")
        return made, slip
    finally:
        shop.terminate()
        shop.wait()


def altered(data, at, chance):
    return data[:at] + bytes([data[at] ^ (1 << chance.randrange(8))]) + data[at + 1 :]


def holds(files, key, heads):
    try:
        verify(files, key, heads)
    except Wrong:
        return False
    return True


def theirs_holds(programs, files, slip):
    with tempfile.TemporaryDirectory() as folder:
        for name, data in files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        status, _ = burrline(programs, Path(folder) / "none", "verify", folder, "--slip", slip)
        return status == 0


def main():
    programs, demo = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    chance = random.Random(20261127)
    scratch = Path(tempfile.mkdtemp())
    try:
        made, text = packets(programs, demo, scratch)
        key = key_on(text)
        heads = heads_on(text)
        if len(heads) != 1:
            sys.exit("the slip has no checkpoint")
        slip = scratch / "slip.txt"
        slip.write_text(text, encoding="utf-8")
        ours = theirs = 0
        for folder in made:
            files = read_folder(folder)
            print(f"{folder.name}: {verify(files, key, heads)}")
            if not theirs_holds(programs, files, slip):
                sys.exit(f"{folder.name}: the program turns its own packet down")
            for name, data in files.items():
                count = MANY if name in ROOTS else FEW
                for at in chance.sample(range(len(data)), min(count, len(data))):
                    bad = {**files, name: altered(data, at, chance)}
                    if holds(bad, key, heads):
                        sys.exit(f"{folder.name}/{name}: byte {at} was altered, and nobody noticed")
                    ours += 1
                    if ours % EVERY == 0:
                        theirs += 1
                        if theirs_holds(programs, bad, slip):
                            sys.exit(f"{folder.name}/{name}: byte {at}: the program did not notice")
            for name in files:
                if holds({n: d for n, d in files.items() if n != name}, key, heads):
                    sys.exit(f"{folder.name}: {name} was taken away, and nobody noticed")
            if holds({**files, "more.txt": b"x"}, key, heads) or holds(files, key[:-2] + "A=", heads):
                sys.exit(f"{folder.name}: a file more, or another key, and nobody noticed")
        print(f"{ours} altered packets were turned down, {theirs} of them by the program as well")
    finally:
        shutil.rmtree(scratch)


if __name__ == "__main__":
    main()
