#!/usr/bin/env bash
# Makes what a released state leaves behind, for tests/tests/released.rs to open for ever. Run it once
# for each release, and never again for one that is there:
#
#   tests/released/make.sh NAME BURRLINE-SHOP BURRLINE
#
# Everything in it is invented, its keys are for this alone. Its schema also goes into
# client/paper/src/packet/schemas.txt, so that a packet of its form is known as one.
set -euo pipefail

to=$(realpath "$(dirname "$0")")/$1 shop=$(realpath "$2") burrline=$(realpath "$3")
[[ ! -e $to ]] || { echo "$to is there; what was released never changes" >&2; exit 1; }
work=$(mktemp -d)
trap 'kill "$serving" 2>/dev/null || true; rm -rf -- "$work"' EXIT
cd "$work"

"$shop" serve --data shop --zone America/Denver --listen 127.0.0.1:0 --log off >hello &
serving=$!
until grep -q 'is open at' hello; do :; done
url=$(sed -n 's/^The shop is open at //p' hello)
for name in office yard-1; do
    code=$("$shop" invite --data shop --role owner | head -n 1)
    "$burrline" --bench "$name" join "$url" --code "$code" --name "$name" --role owner
done
office() { "$burrline" --bench office "$@" </dev/null; }
yard() { "$burrline" --bench yard-1 "$@" </dev/null; }
office add-place pot-1 --kind pot --volume 10gal
office ticket --name "Ada Fenn" --phone 555-0142 --hand ines
office take-in 0417 whitetail 8 pt skinned --condition "nose bone chipped"
office quote 0417 || true
office fill pot-1 8 gal
yard flesh 0417 --anyway "papers follow"
yard note 0417 "a tine chipped"
python3 - <<'PNG'
import struct, zlib
def part(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
rows = b"".join(b"\0" + bytes((x * 16, y * 16, 90)[i] for x in range(16) for i in range(3)) for y in range(16))
open("photo.png", "wb").write(b"\x89PNG\r\n\x1a\n" + part(b"IHDR", struct.pack(">IIBBBBB", 16, 16, 8, 2, 0, 0, 0))
    + part(b"IDAT", zlib.compress(rows)) + part(b"IEND", b""))
PNG
office photograph 0417 photo.png --words front
office sync
yard sync
office packet 0417 --out packet
"$shop" check --data shop | awk '$1 == "digest" { print $2 }' >digest
# What a bench says while the shop is away, carried on a stick.
kill "$serving"
wait "$serving"
yard note 0417 "brass plate" || true
yard outbox export carried
"$shop" backup --data shop --to "$(mkdir copies && echo copies)" --begin
mkdir -p "$to"
rm -f shop/log/reserve shop/metrics shop/copied shop/door
cp -r shop office yard-1 packet carried digest "$to/"
mkdir "$to/copy"
cp -r copies/burrline-*/. "$to/copy/"
echo "$to"
