"""Has another decoder look at the copies that the program makes of photos.

    python photos.py PROGRAMS DEMO

PROGRAMS is the folder with `burrline` and `burrline-shop`, DEMO the folder that the demo left. Photos are made
here with all that cameras and telephones note: place, device, a small picture, XMP, IPTC, comments, a second
picture behind the first (CIPA DC-007), notes in PNG chunks; in each of the eight orientations of Exif (CIPA
DC-008, tag 274). They are taken by the program and fetched back from the shop. Decoded by Pillow, which shares
no code with ours, every copy must show the same pixels the same way up, and no byte of the notes may be left.
"""

import io
import re
import shutil
import struct
import sys
import tempfile
from pathlib import Path

from packet import burrline, serve
from PIL import Image, ImageChops, ImageDraw, ImageOps, ImageStat
from PIL.PngImagePlugin import PngInfo

# Words that stand for a place or a device; none may be left anywhere, in any writing.
SECRETS = ["Alder Ridge", "Lantern Cam", "SN-4711-XYZ"]
GPS, MAKE, MODEL, SOFTWARE, ORIENTATION = 0x8825, 271, 272, 305, 274


def picture():
    """No two of its eight orientations look alike."""
    image = Image.new("RGB", (320, 200), (70, 90, 60))
    draw = ImageDraw.Draw(image)
    draw.rectangle((10, 10, 120, 60), fill=(220, 200, 160))
    draw.ellipse((200, 90, 300, 190), fill=(180, 60, 40))
    draw.line((0, 199, 319, 0), fill=(240, 240, 240), width=5)
    return image


def notes(orientation):
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[MAKE], exif[MODEL], exif[SOFTWARE] = SECRETS[1], SECRETS[2], SECRETS[1]
    exif[GPS] = {1: "N", 2: (38.0, 53.0, 23.0), 3: "W", 4: (105.0, 10.0, 7.5), 27: SECRETS[0].encode()}
    return exif


def segment(marker, data):
    return bytes([0xFF, marker]) + struct.pack(">H", len(data) + 2) + data


def jpeg(orientation, **how):
    made = io.BytesIO()
    picture().save(made, "JPEG", quality=90, exif=notes(orientation), **how)
    plain = made.getvalue()
    xmp = f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><a p="{SECRETS[0]}" m="{SECRETS[2]}"/></x:xmpmeta>'
    more = [
        segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp.encode()),
        segment(0xED, b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\x10\x1c\x02\x5a\0\x0b" + SECRETS[0].encode()),
        segment(0xE2, b"MPF\0MM\0*\0\0\0\x08\0\0" + SECRETS[1].encode()),
        segment(0xEC, b"Ducky" + SECRETS[2].encode()),
        segment(0xFE, "taken at ".encode() + SECRETS[0].encode()),
    ]
    # Behind the end lie a second picture with notes of its own, and words in two writings.
    behind = plain + SECRETS[0].encode() + SECRETS[0].encode("utf-16-le")
    return plain[:2] + b"".join(more) + plain[2:] + behind


def png(mode, **how):
    info = PngInfo()
    info.add_text("Location", SECRETS[0])
    info.add_text("Device", SECRETS[2], zip=True)
    info.add_itxt("Software", SECRETS[1], "en", SECRETS[1])
    made = io.BytesIO()
    picture().convert(mode).save(made, "PNG", pnginfo=info, exif=notes(6), **how)
    return made.getvalue() + SECRETS[0].encode()


def samples():
    for orientation in range(1, 9):
        yield f"jpeg, orientation {orientation}", "jpg", jpeg(orientation)
    yield "jpeg, progressive", "jpg", jpeg(8, progressive=True)
    yield "jpeg, whole colour", "jpg", jpeg(3, subsampling=0)
    for mode in ("RGB", "RGBA", "L", "P", "1"):
        yield f"png, {mode}", "png", png(mode)


def upright(data):
    image = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    image.load()
    return image


def demand(holds, words):
    if not holds:
        sys.exit(words)


def left(data):
    """Which of the words are left, in one byte a letter or two, or within a compressed chunk."""
    texts = [data, *(bytes(str(v), "utf-8", "replace") for v in Image.open(io.BytesIO(data)).info.values())]
    return [
        word
        for word in SECRETS
        for text in texts
        if word.encode() in text or word.encode("utf-16-le") in text or word.encode("utf-16-be") in text
    ]


def compare(what, taken, copy, small):
    before, after = upright(taken), upright(copy)
    demand(before.size == after.size and before.mode == after.mode, f"{what}: another size or kind")
    # Alpha as well: every band, bit for bit.
    demand(before.tobytes() == after.tobytes(), f"{what}: other pixels")
    demand(not left(copy), f"{what}: {left(copy)} is left")
    exif = Image.open(io.BytesIO(copy)).getexif()
    demand(set(exif) <= {ORIENTATION}, f"{what}: notes are left: {dict(exif)}")
    demand(not left(small) and not Image.open(io.BytesIO(small)).getexif(), f"{what}: the small picture tells")
    shown = Image.open(io.BytesIO(small)).convert("RGB")
    demand(max(shown.size) <= 320, f"{what}: the small picture is {shown.size}")
    # Of all ways up that have its size, the right one must be by far the nearest.
    wanted = before.convert("RGB").resize(shown.size)
    off = difference(wanted, shown)
    turned = [wanted.transpose(way) for way in Image.Transpose]
    nearest = min(difference(one, shown) for one in turned if one.size == shown.size)
    demand(2 * off < nearest, f"{what}: the small picture is off by {off:.1f}, turned by {nearest:.1f}")


def difference(one, other):
    return max(ImageStat.Stat(ImageChops.difference(one, other)).mean)


def main():
    programs, demo = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    scratch = Path(tempfile.mkdtemp())
    try:
        copy = scratch / "demo"
        shutil.copytree(demo, copy)
        shop, url = serve(programs, copy)
        try:
            bench = copy / "benches" / "counter"
            settings = bench / "bench.toml"
            settings.write_text(re.sub(r'^shop = ".*"$', f'shop = "{url}"', settings.read_text(), flags=re.M))
            tag = "88880417"
            status, words = burrline(programs, bench, "take-in", tag, "whitetail", "--hand", "ines")
            demand(status == 0, words)
            made = list(samples())
            for number, (_, ending, data) in enumerate(made):
                file = scratch / f"{number:02}.{ending}"
                file.write_bytes(data)
                status, words = burrline(programs, bench, "photograph", tag, str(file), "--words", file.stem)
                demand(status == 0, words)
            out = scratch / "out"
            status, words = burrline(programs, bench, "photos", tag, "--out", str(out))
            demand(status == 0, words)
            for number, (what, ending, data) in enumerate(made, start=1):
                small = (out / f"{number:02}-small.jpg").read_bytes()
                compare(what, data, (out / f"{number:02}.{ending}").read_bytes(), small)
            print(f"{len(made)} photos: the same pixels the same way up, and nothing left of place or device")
        finally:
            shop.terminate()
            shop.wait()
    finally:
        shutil.rmtree(scratch)


if __name__ == "__main__":
    main()
