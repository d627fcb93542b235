"""Checks a packet with none of Burrline's code: from its README and the published forms alone.

    python verify_packet.py FOLDER [--key KEY] [--slip FILE]...

Forms: C2SP signed-note, tlog-checkpoint and tlog-proof; the Merkle tree of RFC 6962, with inclusion
checked as in RFC 9162, section 2.1.3.2; Ed25519 of RFC 8032 (library `cryptography`); protobuf's wire
format, read by hand. Status: 0 it holds, 1 it does not, 2 usage.

What it cannot do is make the page again from the records: that the page is the one that the bench signed for
is all that it says of it.
"""

import argparse
import base64
import hashlib
import re
import sys
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

ED25519 = b"\x01"
ENTRY_FRAME = b"burrline.v1 entry\n"
ENROL_BENCH, QUOTE, TAKE_IN = 61, 5, 2
CORRECTIONS = (58, 59, 60)


class Wrong(Exception):
    """Something does not hold; the words say what."""


def demand(holds, words):
    if not holds:
        raise Wrong(words)


def decode64(text, what):
    """Base64 in its one canonical writing: another writing of the same bytes is a change too."""
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError as error:
        raise Wrong(f"{what}: {error}") from error
    demand(base64.b64encode(data).decode() == text, f"{what}: base64 that is not canonical")
    return data


def decimal(text, what):
    demand(re.fullmatch(r"0|[1-9][0-9]*", text), f"{what}: no number")
    return int(text)


# ---- C2SP signed-note


def key_id(name, public):
    return hashlib.sha256(name.encode() + b"\n" + ED25519 + public).digest()[:4]


def read_key(word):
    """A verifier key `NAME+ID+KEY`: its name and its 32 bytes."""
    parts = word.split("+", 2)
    demand(len(parts) == 3, "a key reads NAME+ID+KEY")
    name, identity, key = parts
    key = decode64(key, "key")
    demand(key[:1] == ED25519 and len(key) == 33, "the key is no Ed25519 key")
    demand(identity == key_id(name, key[1:]).hex(), "the key's id is not that of its name and bytes")
    return name, key[1:]


def ed25519(public, message, signature, what):
    demand(len(signature) == 64, f"{what}: the signature has not 64 bytes")
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError) as error:
        raise Wrong(f"{what}: the signature is not by that key") from error


def open_note(note, name, public, what):
    """The text of a note, once the signature by this key under it has been checked."""
    demand("\n\n" in note and note.endswith("\n"), f"{what}: no signed note")
    demand(all(c == "\n" or c >= " " for c in note), f"{what}: control characters")
    above, below = note.rsplit("\n\n", 1)
    text = above + "\n"
    signed = False
    for line in below[:-1].split("\n"):
        parts = line.split(" ")
        demand(len(parts) == 3 and parts[0] == "\u2014", f"{what}: no line of a signature")
        signature = decode64(parts[2], what)
        demand(parts[1] and "+" not in parts[1] and len(signature) > 4, f"{what}: no signature")
        if parts[1] == name and signature[:4] == key_id(name, public):
            ed25519(public, text.encode(), signature[4:], what)
            signed = True
    demand(signed, f"{what}: not signed by {name}")
    return text


# ---- C2SP tlog-checkpoint and tlog-proof, RFC 6962


def read_checkpoint(note, name, public):
    lines = open_note(note, name, public, "checkpoint.txt").split("\n")
    demand(len(lines) >= 4 and lines[-1] == "" and all(lines[:-1]), "no checkpoint")
    demand(lines[0] == name, "the checkpoint is another log's")
    root = decode64(lines[2], "root")
    demand(len(root) == 32, "the root has not 32 bytes")
    return decimal(lines[1], "size"), root


def read_proof(text, what):
    """The index and the hashes of a proof file, and the checkpoint that it leads to."""
    demand("\n\n" in text, f"{what}: no proof")
    proof, checkpoint = text.split("\n\n", 1)
    first, *lines = proof.split("\n")
    demand(first == "c2sp.org/tlog-proof@v1", f"{what}: its first line is another form's")
    if lines and lines[0].startswith("extra "):
        decode64(lines.pop(0)[6:], what)
    demand(lines and lines[0].startswith("index "), f"{what}: no index")
    path = [decode64(line, what) for line in lines[1:]]
    demand(all(len(node) == 32 for node in path), f"{what}: a hash has not 32 bytes")
    return decimal(lines[0][6:], what), path, checkpoint


def node(left, right):
    return hashlib.sha256(b"\x01" + left + right).digest()


def included(record, index, size, path, root):
    """RFC 9162, section 2.1.3.2, step by step."""
    if index >= size:
        return False
    fn, sn = index, size - 1
    r = hashlib.sha256(b"\x00" + record).digest()
    for p in path:
        if sn == 0:
            return False
        if fn & 1 or fn == sn:
            r = node(p, r)
            while not fn & 1 and fn != 0:
                fn, sn = fn >> 1, sn >> 1
        else:
            r = node(r, p)
        fn, sn = fn >> 1, sn >> 1
    return sn == 0 and r == root


def root_of(leaves):
    """RFC 6962, section 2.1: the root over leaf hashes, split at the largest power of two below."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return leaves[0]
    middle = 1 << (len(leaves) - 1).bit_length() - 1
    return node(root_of(leaves[:middle]), root_of(leaves[middle:]))


# ---- protobuf, by hand


def varint(data, at):
    value = shift = 0
    while True:
        demand(at < len(data) and shift < 64, "a message ends in the middle")
        byte = data[at]
        at += 1
        value |= (byte & 0x7F) << shift
        if byte < 0x80:
            return value, at
        shift += 7


def fields(data):
    """Every field of a message by its number: the last value of each, as numbers or bytes."""
    found, at = {}, 0
    while at < len(data):
        tag, at = varint(data, at)
        kind = tag & 7
        if kind == 0:
            value, at = varint(data, at)
        else:
            length, at = varint(data, at) if kind == 2 else ({1: 8, 5: 4}.get(kind, -1), at)
            demand(0 <= length <= len(data) - at, "a message ends in the middle")
            value, at = data[at : at + length], at + length
        found[tag >> 3] = value
    return found


def every(data, number):
    """Every value of a field that may be there more than once, each of them a message."""
    found, at = [], 0
    while at < len(data):
        tag, at = varint(data, at)
        if tag & 7 == 0:
            _, at = varint(data, at)
            continue
        length, at = varint(data, at) if tag & 7 == 2 else ({1: 8, 5: 4}.get(tag & 7, -1), at)
        demand(0 <= length <= len(data) - at, "a message ends in the middle")
        if tag >> 3 == number:
            found.append(data[at : at + length])
        at += length
    return found


def read_name(data):
    """The name of an entry: the bench's life and its number."""
    name = fields(data)
    return name.get(1, 0), name.get(2, 0)


def read_record(data):
    """What of a record is needed here; the README of a packet lists these fields."""
    record = fields(data)
    entry = record.get(5, b"")
    said = fields(entry)
    name = fields(said.get(1, b""))
    return {
        "position": record.get(1, 0),
        "refused": 2 in fields(record.get(4, b"")),
        "on_jobs": [(read_name(fields(on).get(1, b"")), fields(on).get(2, 0)) for on in every(data, 9)],
        "entry": entry,
        "signature": record.get(6, b""),
        "life": name.get(1, 0),
        "name": (name.get(1, 0), name.get(2, 0)),
        "verb": fields(said.get(10, b"")),
    }


# ---- the packet


def left_by_a_computer(name):
    """Whether a computer leaves such a file in a folder that it shows."""
    return name.startswith(".") or name.lower() in ("thumbs.db", "ehthumbs.db", "desktop.ini")


def read_folder(folder):
    files = {}
    for path in sorted(folder.rglob("*")):
        demand(path.is_dir() or (path.is_file() and not path.is_symlink()), f"{path}: no plain file")
        if path.is_file() and not left_by_a_computer(path.name):
            files[path.relative_to(folder).as_posix()] = path.read_bytes()
    return files


def text(files, name):
    demand(name in files, f"{name} is missing")
    try:
        return files[name].decode()
    except UnicodeDecodeError as error:
        raise Wrong(f"{name}: no UTF-8") from error


def check_records(files, checkpoint, shop, size, root):
    """Every record is on the log, in its place; gives them in order."""
    records = []
    for name in sorted(name for name in files if name.startswith("records/")):
        stem = re.fullmatch(r"records/([0-9]{8,})\.record", name)
        demand(stem, f"{name}: no place on the log")
        proof = f"proofs/{stem[1]}.tlog-proof"
        index, path, leads_to = read_proof(text(files, proof), proof)
        demand(leads_to == checkpoint, f"{proof}: it leads to another head")
        demand(f"{index:08}" == stem[1], f"{proof}: the proof of another place")
        demand(included(files[name], index, size, path, root), f"{name} is not on the log")
        record = read_record(files[name])
        demand(record["position"] == index, f"{name} says that it is {record['position']}")
        records.append((name, record))
    demand(records, "there are no records")
    proofs = sum(name.startswith("proofs/") for name in files)
    demand(proofs == len(records), "there are proofs of no record")
    return records


def check_leaves(files, records, size, root):
    """The hashes of the whole log lead to its head, and those of our records are among them."""
    demand("leaf-hashes" in files, "leaf-hashes is missing")
    data = files["leaf-hashes"]
    demand(len(data) == 32 * size, "leaf-hashes: not one hash for each record")
    leaves = [data[at : at + 32] for at in range(0, len(data), 32)]
    demand(root_of(leaves) == root, "leaf-hashes: they lead to another head")
    for name, record in records:
        leaf = hashlib.sha256(b"\x00" + files[name]).digest()
        demand(leaves[record["position"]] == leaf, f"{name}: another hash in leaf-hashes")
    return leaves


def check_slip(head, name, shop, leaves, records):
    """The log goes on from the head on a slip; gives how many of the folder's records it pins."""
    size, root = read_checkpoint(head, name, shop)
    demand(size <= len(leaves), "the slip is newer than this folder: ask for one made since")
    demand(root_of(leaves[:size]) == root, f"the first {size} records are not those of the slip")
    return sum(record["position"] < size for _, record in records)


def check_signatures(records, shop):
    """Every entry is signed by its bench; gives the benches' keys by life."""
    keys = {0: shop}
    for name, record in records:
        demand(record["life"] in keys, f"{name}: the enrolment of bench {record['life']} is missing")
        key = keys[record["life"]]
        ed25519(key, ENTRY_FRAME + record["entry"], record["signature"], name)
        enrols = record["verb"].get(ENROL_BENCH)
        if enrols is not None and not record["refused"]:
            keys[len(keys)] = fields(enrols).get(1, b"")
    return keys


def check_manifest(files, keys):
    note = text(files, "manifest.txt")
    claimed = re.match(r"burrline\.v1/packet\njob ([^\n]+)\nbench ([1-9][0-9]*)\n", note)
    demand(claimed, "manifest.txt: no list of files")
    life = int(claimed[2])
    demand(life in keys, f"manifest.txt: the enrollment of bench {life} is missing")
    signed = open_note(note, f"burrline.v1/bench/{life}", keys[life], "manifest.txt")
    listed = {}
    for line in signed[:-1].split("\n")[3:]:
        parts = re.fullmatch(r"sha256 ([0-9a-f]{64}) (.+)", line)
        demand(parts, "manifest.txt: a line that is no file's")
        listed[parts[2]] = parts[1]
    for name, digest in listed.items():
        demand(name in files, f"{name} is missing")
        demand(hashlib.sha256(files[name]).hexdigest() == digest, f"{name} was changed")
    more = set(files) - set(listed) - {"manifest.txt"}
    demand(not more, f"put in later: {sorted(more)}")
    return life


def skull_fields(files):
    """Which field of each verb is its skull, by the number of the verb: as the schema in the folder says."""
    schema = "\n".join(text(files, name) for name in files if name.startswith("schema/"))
    at = {}
    for message in re.finditer(r"^message (\w+) \{\n(.*?)^\}", schema, re.MULTILINE | re.DOTALL):
        skull = re.search(r"^ *Skull skull = (\d+);", message[2], re.MULTILINE)
        if skull:
            at[message[1]] = int(skull[1])
    kinds = re.search(r"oneof kind \{(.*?)\n  \}", schema, re.DOTALL)
    demand(kinds, "schema/: no list of verbs")
    verbs = re.findall(r"^ *(\w+) \w+ = (\d+);", kinds[1], re.MULTILINE)
    return {int(number): at[message] for message, number in verbs if message in at}


def lines_of(files, records, job, size):
    """How many lines of a job are among the first records of the log, counted as the papers count them."""
    skulls, counted = skull_fields(files), set()
    for _, record in records:
        if record["refused"] or record["position"] >= size:
            continue
        for number, said in record["verb"].items():
            if number in skulls and skulls[number] in fields(said):
                meant = fields(fields(said)[skulls[number]]).get(2)
                if meant is not None and read_name(meant) == job:
                    counted.add(record["name"])
            if number in CORRECTIONS and any(read_name(one) in counted for one in every(said, 1)):
                counted.add(record["name"])
            if number == TAKE_IN and record["name"] == job:
                counted.add(record["name"])
    return len(counted)


def check_numbers(files, records):
    """No record of the job is missing between the first and the last that are here."""
    number = re.search(r"^job ([0-9]+)-([0-9]+)-[0-9]$", text(files, "manifest.txt"), re.MULTILINE)
    demand(number, "manifest.txt: no job")
    job = (int(number[1]), int(number[2]))
    numbers = [nth for _, record in records for of, nth in record["on_jobs"] if of == job]
    demand(numbers == list(range(1, len(numbers) + 1)), f"records of the job are missing: {numbers} are here")
    return len(numbers)


def check_counts(files, records, slip, heads, name, shop):
    """The lines of the job that a paper counts are in the folder."""
    number = re.search(r"^job ([0-9]+)-([0-9]+)-[0-9]$", text(files, "manifest.txt"), re.MULTILINE)
    demand(number, "manifest.txt: no job")
    said = re.search(rf"job {number[0][4:]}\b(?:(?!\bjob ).)*?lines on record: ([0-9]+)", slip, re.DOTALL)
    if not said or not heads:
        return
    size = max(read_checkpoint(head, name, shop)[0] for head in heads)
    here = lines_of(files, records, (int(number[1]), int(number[2])), size)
    demand(here >= int(said[1]), f"the paper counts {said[1]} lines of the job, and {here} are here")


PLACES = re.compile(
    r"(index\.html|README\.txt|checkpoint\.txt|shop-key\.txt|leaf-hashes|manifest\.txt"
    r"|records/[0-9]{8,}\.record|proofs/[0-9]{8,}\.tlog-proof|scripts/[0-9a-f]{64}\.rhai"
    r"|photos/[0-9a-f]{64}\.(jpg|png)|schema/burrline/v1/[a-z]+\.proto)"
)


def check_names(files):
    for name in files:
        demand(PLACES.fullmatch(name), f"{name} has no place in such a folder")


def check_scripts(files, records):
    for name in files:
        if name.startswith("scripts/"):
            digest = hashlib.sha256(files[name]).hexdigest()
            demand(name == f"scripts/{digest}.rhai", f"{name} was changed")
    for name, record in records:
        quote = record["verb"].get(QUOTE)
        script = fields(quote).get(4) if quote is not None else None
        demand(
            script is None or f"scripts/{script.hex()}.rhai" in files,
            f"{name}: the script that priced it is missing",
        )


def check_photos(files, records):
    """Every photo is the very file that a signed line names by its digest."""
    for name in files:
        if name.startswith("photos/"):
            digest = hashlib.sha256(files[name]).digest()
            demand(Path(name).stem == digest.hex(), f"{name} was changed")
            demand(any(digest in record["entry"] for _, record in records), f"{name}: no line names it")


def verify(files, outside=None, heads=(), papers=()):
    """Checks it all, against a key and the heads of slips from outside; what it found, in words.

    Raises Wrong if something does not hold.
    """
    word = text(files, "shop-key.txt")
    demand(word.endswith("\n"), "shop-key.txt: no line")
    name, shop = read_key(word[:-1])
    demand(name == f"burrline.v1/shop/{shop.hex()[:16]}", "the log's name is not made from its key")
    demand(outside is None or outside == word[:-1], "this is the log of another shop")
    checkpoint = text(files, "checkpoint.txt")
    size, root = read_checkpoint(checkpoint, name, shop)
    records = check_records(files, checkpoint, shop, size, root)
    leaves = check_leaves(files, records, size, root)
    pinned = [check_slip(head, name, shop, leaves, records) for head in heads]
    keys = check_signatures(records, shop)
    check_names(files)
    life = check_manifest(files, keys)
    check_scripts(files, records)
    check_photos(files, records)
    numbered = check_numbers(files, records)
    for paper in papers:
        check_counts(files, records, paper, heads_on(paper), name, shop)
    # A head that was kept outside shows the key that signed it.
    whose = "the shop whose key was given" if outside or heads else "a shop whose key was not shown"
    return (
        f"{len(records)} records of a log of {size}, by {len(keys) - 1} benches, "
        f"{len(files)} files as bench {life} left them: it holds, for {whose}; "
        f"{numbered} numbered records of the job, none missing between them"
        + "".join(f"; a checkpoint pins {count} of {len(records)}" for count in pinned)
    )


def key_on(slip):
    for word in slip.split():
        try:
            read_key(word)
        except Wrong:
            continue
        return word
    return None


def heads_on(slip):
    """The signed heads on a slip: each from the line with the log's name to that of the signature.

    One that is cut off is said to be, and never passed over.
    """
    heads, text, signed = [], [], []
    lines = [line.strip() for line in slip.splitlines() if line.strip()]
    for line in [*lines, ""]:
        if signed and not line.startswith("\u2014 "):
            demand(text, "a checkpoint on the slip is cut off")
            heads.append("\n".join(text) + "\n\n" + "\n".join(signed) + "\n")
            text, signed = [], []
        if re.fullmatch(r"burrline\.v1/(?!bench/)[^ +]*", line):
            demand(not text, "a checkpoint on the slip is cut off")
            text = [line]
        elif line.startswith("\u2014 ") and (text or "burrline.v1/shop/" in line):
            signed.append(line)
        elif text and line:
            text.append(line)
    demand(not text, "a checkpoint on the slip is cut off")
    return heads


def main():
    parser = argparse.ArgumentParser(description="Check a packet, with none of Burrline's code")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--key", help="the shop's key, as it is on a slip")
    parser.add_argument("--slip", action="append", default=[], help="the text of a slip or a checkpoint")
    asked = parser.parse_args()
    try:
        keys, heads, papers = [asked.key] if asked.key else [], [], []
        for name in asked.slip:
            slip = Path(name).read_text(encoding="utf-8")
            keys.extend(key for key in [key_on(slip)] if key)
            heads.extend(heads_on(slip))
            papers.append(slip)
            demand(key_on(slip) or heads_on(slip), f"{name}: neither key nor checkpoint")
        demand(len(set(keys)) < 2, "the slips are of two shops")
        print(verify(read_folder(asked.folder), *keys[:1] or [None], heads, papers))
    except Wrong as wrong:
        sys.exit(f"it does NOT hold: {wrong}")


if __name__ == "__main__":
    main()
