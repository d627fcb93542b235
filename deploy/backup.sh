#!/usr/bin/env bash
# Copies a shop's folder so that the copy is known to be whole, also while the shop is open.
#
#   backup.sh DATA DEST [DAYS]
#
# DATA is the shop's folder, DEST a folder on another disk, best an encrypted one. Copies older than
# DAYS (30 if not said) are removed, but never the newest. BURRLINE_SHOP names the program if it is
# not on the PATH. Status: 0 a whole copy was made, 1 none was, 2 usage.
set -euo pipefail
umask 077

if (($# < 2 || $# > 3)) || [[ ! ${3:-30} =~ ^[0-9]+$ ]]; then
    echo "usage: backup.sh DATA DEST [DAYS]" >&2
    exit 2
fi
data=$1 dest=$2 days=${3:-30}
shop=${BURRLINE_SHOP:-burrline-shop}

if [[ ! -f $data/log/head ]]; then
    echo "backup: $data holds no log; it is no shop's folder" >&2
    exit 1
fi
mkdir -p -- "$dest"
copy=$dest/burrline-$(date -u +%Y%m%dT%H%M%SZ)
part=$copy.part
trap 'rm -rf -- "$part"' EXIT

# Photos never change, and are most of a folder: one that the newest copy has, byte for byte, is linked
# to it. What was answered for is listed in `kept`, which goes before the photos that it speaks of.
copy_photos() {
    [[ -d $data/photos ]] || return 0
    local before name
    before=$(find "$dest" -maxdepth 1 -type d -name 'burrline-*Z' | sort | tail -n 1)
    mkdir -p -- "$part/photos" || return 1
    [[ ! -e $data/photos/kept ]] || cp -p -- "$data/photos/kept" "$part/photos/" || return 1
    for name in "$data"/photos/*.jpg "$data"/photos/*.png; do
        [[ -e $name ]] || continue
        if [[ -n $before ]] && cmp -s -- "$name" "$before/photos/${name##*/}"; then
            ln -- "$before/photos/${name##*/}" "$part/photos/" || return 1
        else
            cp -p -- "$name" "$part/photos/" || return 1
        fi
    done
}

# The head file goes first: the store may be ahead of it, never behind. The keys go after the log,
# and so do the scripts: each is on disk before the record that needs it.
copy_once() {
    rm -rf -- "$part"
    mkdir -p -- "$part/log"
    # Heads that were given out go before the log that they speak of, for the same reason.
    { [[ ! -e $data/checkpoints ]] || cp -p -- "$data/checkpoints" "$part/"; } &&
        cp -p -- "$data/log/head" "$data/log/format" "$part/log/" &&
        cp -Rp -- "$data/log/store" "$part/log/" &&
        cp -Rp -- "$data/scripts" "$part/" &&
        cp -p -- "$data/keyring" "$data/shop.key" "$part/" &&
        copy_photos &&
        # Only there once a bench was copied or put back.
        { [[ ! -e $data/frozen ]] || cp -p -- "$data/frozen" "$part/"; }
}

# A copy that the shop wrote into meanwhile may be caught between two writes: check tells, and the
# next try is made at another moment.
for try in 1 2 3 4 5; do
    if copy_once && "$shop" check --data "$part" >"$part/check.txt"; then
        # A shop that is started from this copy takes nothing new before its benches were heard.
        awk '$1 == "records" { print "records", $2; exit }' "$part/check.txt" >"$part/put-back"
        # Synced before it gets its name, and the name synced too.
        find "$part" -type f -exec sync -- {} + && sync -- "$part"
        mv -T -- "$part" "$copy"
        sync -- "$dest"
        find "$dest" -maxdepth 1 -type d -name 'burrline-*Z' ! -path "$copy" \
            -mtime "+$days" -exec rm -rf -- {} +
        echo "backup: $copy ($(awk '$1 == "records" { print $2 }' "$copy/check.txt") records)"
        exit 0
    fi
    echo "backup: try $try did not give a whole copy" >&2
    sleep 2
done
echo "backup: no whole copy in five tries. Run: $shop check --data $data" >&2
exit 1
