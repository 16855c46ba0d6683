"""Pictures that carry all a camera and a desk can put into a file, each of one colour."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator

from PIL import ExifTags, Image, ImageCms, PngImagePlugin

# So far apart that saving as JPEG cannot turn one into another.
COLOURS = {
    "wash": (200, 30, 30),
    "pull": (30, 160, 30),
    "front": (30, 30, 200),
    "a hidden step's": (250, 250, 40),
    "a hidden step's, written ./photos/": (250, 40, 250),
    "a hidden step's, written photos//": (40, 250, 250),
    "a scan kept in photos/": (250, 250, 250),
    "named private": (10, 10, 10),
    "named PRIVATE": (128, 128, 128),
    "not among the pictures listed": (250, 140, 30),
    "a slip in receipts/": (110, 20, 110),
}
MARKS = (
    "ZqCameraMaker", "ZqCameraModel", "ZqArtist", "ZqDescription", "ZqUserComment", "ZqSoftware", "ZqXmpCreator",
    "ZqIptcByline", "ZqProfile", "ZqJpegComment", "ZqPngText", "ZqPngZtxt", "ZqPngItxt", "ZqGpsArea", "2026:01:02 03:04:05",
)  # fmt: skip
XMP = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><creator>ZqXmpCreator</creator></x:xmpmeta>'


def exif(orientation: int = 1) -> Image.Exif:
    """A camera's data: who, where, when, with what, and which way up."""
    tags = Image.Exif()
    tags[ExifTags.Base.Orientation] = orientation
    tags[ExifTags.Base.Make] = "ZqCameraMaker"
    tags[ExifTags.Base.Model] = "ZqCameraModel"
    tags[ExifTags.Base.Artist] = "ZqArtist"
    tags[ExifTags.Base.ImageDescription] = "ZqDescription"
    tags[ExifTags.Base.Software] = "ZqSoftware"
    tags[ExifTags.Base.DateTime] = "2026:01:02 03:04:05"
    tags.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.UserComment] = b"ASCII\0\0\0ZqUserComment"
    place = tags.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (41.0, 24.0, 12.0)
    place[ExifTags.GPS.GPSAreaInformation] = b"ASCII\0\0\0ZqGpsArea"
    return tags


def profile() -> bytes:
    """An sRGB profile whose description is a mark."""
    made = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    old, new = "sRGB built-in".encode("utf-16-be"), "ZqProfile    ".encode("utf-16-be")
    assert old in made
    return made.replace(old, new)


def busy_jpeg(colour: tuple[int, int, int], size: tuple[int, int] = (120, 80)) -> bytes:
    """A JPEG with EXIF, GPS, XMP, IPTC, a profile and a comment."""
    stream = io.BytesIO()
    picture = Image.new("RGB", size, colour)
    picture.save(stream, "JPEG", exif=exif(), xmp=XMP, icc_profile=profile(), comment=b"ZqJpegComment")
    data = stream.getvalue()
    by_line = b"\x1c\x02\x50" + struct.pack(">H", len(b"ZqIptcByline")) + b"ZqIptcByline"
    block = b"Photoshop 3.0\0" + b"8BIM\x04\x04\0\0" + struct.pack(">I", len(by_line)) + by_line
    return data[:2] + b"\xff\xed" + struct.pack(">H", len(block) + 2) + block + data[2:]


def busy_png(colour: tuple[int, int, int], size: tuple[int, int] = (120, 80)) -> bytes:
    """A PNG with text chunks of three kinds, EXIF and a profile."""
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Author", "ZqPngText")
    texts.add_text("Comment", "ZqPngZtxt", zip=True)
    texts.add_itxt("Title", "ZqPngItxt", lang="en")
    stream = io.BytesIO()
    Image.new("RGB", size, colour).save(stream, "PNG", pnginfo=texts, exif=exif(), icc_profile=profile())
    return stream.getvalue()


_NAMES = {0xDB: "DQT", 0xC0: "SOF", 0xC1: "SOF", 0xC2: "SOF", 0xC4: "DHT", 0xDA: "SOS", 0xFE: "COM", 0xDD: "DRI"}


def segments(jpeg: bytes) -> Iterator[str]:
    """The names of a JPEG's marker segments, those between scans as well."""
    assert jpeg[:2] == b"\xff\xd8"
    at = 2
    while at < len(jpeg) - 1:
        assert jpeg[at] == 0xFF
        kind = jpeg[at + 1]
        if kind == 0xD9:
            assert at + 2 == len(jpeg), "bytes after the end of the picture"
            return
        (length,) = struct.unpack(">H", jpeg[at + 2 : at + 4])
        yield f"APP{kind - 0xE0}" if 0xE0 <= kind <= 0xEF else _NAMES.get(kind, hex(kind))
        at += 2 + length
        if kind == 0xDA:  # the scan's own bytes: on to the next marker that is no escape and no restart
            while not (jpeg[at] == 0xFF and jpeg[at + 1] != 0 and not 0xD0 <= jpeg[at + 1] <= 0xD7):
                at += 1
