"""Photographs as they arrive: what is taken, what is refused and in which words, what is stripped."""

import datetime as dt
import io
from zoneinfo import ZoneInfo

import pillow_heif
import pytest
from PIL import Image, ImageCms

from jobs.pictures import LONGEST_SIDE, THUMBNAIL_SIDE, NotAPhoto, know_heic, read_picture
from tests.jobs.photo_files import CORNER, GROUND, exif, picture, png_header_of, saved, upload

DUBLIN = ZoneInfo("Europe/Dublin")


def read(data: bytes, name="IMG_0001.jpg"):
    return read_picture(upload(data, name), DUBLIN)


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def near(colour, wanted, off=14) -> bool:
    return all(abs(a - b) <= off for a, b in zip(colour, wanted, strict=True))


def heic(image: Image.Image, **options) -> bytes:
    file = io.BytesIO()
    pillow_heif.from_pillow(image).save(file, quality=90, **options)
    return file.getvalue()


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP"])
def test_common_formats_become_jpeg(file_format):
    kept = opened(read(saved(picture(), file_format)).image)
    assert (kept.format, kept.mode, kept.size) == ("JPEG", "RGB", (120, 80))
    assert near(kept.getpixel((10, 10)), CORNER)
    assert near(kept.getpixel((110, 70)), GROUND)


def test_a_phones_heic_becomes_jpeg():
    kept = opened(read(heic(picture((128, 96))), "IMG_0001.HEIC").image)
    assert (kept.format, kept.size) == ("JPEG", (128, 96))
    assert near(kept.getpixel((10, 10)), CORNER)


def test_the_kind_is_told_by_the_content_and_not_by_the_name():
    assert opened(read(saved(picture(), "PNG"), "notes.txt").image).format == "JPEG"
    with pytest.raises(NotAPhoto, match="not a photo the book can read"):
        read(b"%PDF-1.7 not a photo at all", "photo.jpg")


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_is_turned_upright(orientation):
    undo = {
        1: None, 2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE, 8: Image.Transpose.ROTATE_270,
    }[orientation]  # fmt: skip
    as_the_sensor_saw_it = picture() if undo is None else picture().transpose(undo)
    kept = opened(read(saved(as_the_sensor_saw_it, exif=exif(orientation), quality=95)).image)
    assert kept.size == (120, 80)
    assert near(kept.getpixel((10, 10)), CORNER)
    for point in [(110, 10), (10, 70), (110, 70)]:
        assert near(kept.getpixel(point), GROUND)


def test_a_turned_heic_is_turned_once():
    know_heic()
    file = io.BytesIO()
    picture((128, 96)).transpose(Image.Transpose.ROTATE_90).save(
        file, "HEIF", exif=exif(6).tobytes(), quality=90
    )
    kept = opened(read(file.getvalue()).image)
    assert kept.size == (128, 96)
    assert near(kept.getpixel((10, 10)), CORNER)


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_where_a_photo_was_taken_is_gone(file_format):
    know_heic()
    sent = saved(picture((128, 96)), file_format, exif=exif(taken="2026:05:12 16:40:00", place=True))
    assert opened(sent).getexif().get_ifd(0x8825), "the file sent does hold a place"
    result = read(sent)
    for kept in (opened(result.image), opened(result.thumbnail)):
        assert dict(kept.getexif()) == {}
        assert not kept.info.keys() & {"exif", "xmp", "comment", "icc_profile"}
    assert b"Invented Camera" not in result.image + result.thumbnail


def test_comments_and_scripts_in_the_file_are_gone():
    sent = saved(picture(), comment=b"<script>alert(1)</script>") + b"<script>alert(2)</script>"
    result = read(sent)
    assert b"script" in sent
    assert b"script" not in result.image + result.thumbnail


def test_the_cameras_time_is_the_shops_time():
    result = read(saved(picture(), exif=exif(taken="2026:05:12 16:40:05")))
    assert result.taken_at == dt.datetime(2026, 5, 12, 15, 40, 5, tzinfo=dt.UTC)


def test_a_time_with_its_own_zone_keeps_it():
    result = read(saved(picture(), exif=exif(taken="2026:05:12 16:40:05", offset="+09:00")))
    assert result.taken_at == dt.datetime(2026, 5, 12, 7, 40, 5, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    "nonsense", ["", "0000:00:00 00:00:00", "1970:01:01 00:00:00", "2999:01:01 00:00:00", "soon"]
)
def test_a_time_that_cannot_be_true_is_left_out(nonsense):
    assert read(saved(picture(), exif=exif(taken=nonsense))).taken_at is None


@pytest.mark.filterwarnings("ignore:Corrupt EXIF")
def test_broken_camera_notes_do_not_spoil_the_photo():
    kept = opened(read(saved(picture(), exif=b"Exif\0\0MM\0*\xff\xff\xff\xffbroken")).image)
    assert kept.size == (120, 80)


def test_large_photos_are_kept_smaller_and_a_thumbnail_is_made():
    result = read(saved(picture((4000, 3000)), quality=60))
    assert opened(result.image).size == (LONGEST_SIDE, 2400)
    assert opened(result.thumbnail).size == (THUMBNAIL_SIDE, 480)


def test_small_photos_are_not_blown_up():
    result = read(saved(picture((50, 40))))
    assert opened(result.image).size == opened(result.thumbnail).size == (50, 40)


def test_cmyk_from_a_scanner_becomes_rgb():
    kept = opened(read(saved(picture(mode="CMYK"))).image)
    assert kept.mode == "RGB"
    assert near(kept.getpixel((10, 10)), CORNER, off=25)


def test_sixteen_bits_are_scaled_and_not_cut_off():
    kept = opened(read(saved(Image.new("I;16", (20, 20), 32768), "PNG")).image)
    assert near(kept.getpixel((5, 5)), (128, 128, 128), off=3)


def test_see_through_parts_become_white():
    clear = picture(mode="RGBA")
    clear.paste((0, 0, 0, 0), (0, 0, 60, 40))
    palette = picture().quantize(4)
    palette.info["transparency"] = palette.getpixel((5, 5))
    for sent in (clear, palette):
        kept = opened(read(saved(sent, "PNG")).image)
        assert near(kept.getpixel((10, 10)), (255, 255, 255))
        assert near(kept.getpixel((110, 70)), GROUND)


def test_colours_are_taken_out_of_their_profile():
    lab = ImageCms.createProfile("LAB")
    srgb = ImageCms.createProfile("sRGB")
    swapped = Image.new("RGB", (20, 20), (90, 160, 40))
    same = saved(swapped, icc_profile=ImageCms.ImageCmsProfile(srgb).tobytes(), quality=95)
    assert near(opened(read(same).image).getpixel((5, 5)), (90, 160, 40), off=6)
    wrong_kind = saved(swapped, icc_profile=ImageCms.ImageCmsProfile(lab).tobytes(), quality=95)
    assert near(opened(read(wrong_kind).image).getpixel((5, 5)), (90, 160, 40), off=6)
    broken = saved(swapped, icc_profile=b"no profile at all", quality=95)
    assert near(opened(read(broken).image).getpixel((5, 5)), (90, 160, 40), off=6)


def test_a_huge_picture_is_refused_from_its_header():
    """Nothing is unpacked: the file claims 50 000 × 50 000 and holds a hundred bytes of pixels."""
    with pytest.raises(NotAPhoto, match="million pixels"):
        read(png_header_of(50_000, 50_000))


def test_the_pixel_limit_is_the_shops_setting(settings):
    settings.PHOTO_MAX_PIXELS = 120 * 80
    read(saved(picture((120, 80))))
    with pytest.raises(NotAPhoto, match="million pixels"):
        read(saved(picture((121, 80))))


def test_a_heavy_file_is_refused_with_its_limit(settings):
    settings.PHOTO_MAX_BYTES = 3 * 2**20
    with pytest.raises(NotAPhoto, match="over 3 MB"):
        read(saved(picture()) + b"\0" * (3 * 2**20))


@pytest.mark.parametrize("file_format", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_photo_that_is_cut_off_is_refused(file_format):
    know_heic()
    noise = Image.effect_noise((256, 256), 90).convert("RGB")
    whole = saved(noise, file_format)
    with pytest.raises(NotAPhoto, match=r"cut off or damaged|not a photo"):
        read(whole[: len(whole) * 2 // 3])


@pytest.mark.parametrize("file_format", ["PNG", "WEBP"])
def test_a_moving_picture_is_refused(file_format):
    sent = saved(picture(), file_format, save_all=True, append_images=[picture(ground=(9, 9, 9))])
    with pytest.raises(NotAPhoto, match="moving picture"):
        read(sent)


NO_PHOTOS = [
    b"",
    b"GIF89a",
    b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    b"\xff\xd8\xff\xe0",
    b"RIFF\0\0\0\0WEBP",
]


@pytest.mark.parametrize("data", NO_PHOTOS)
def test_what_is_no_photo_is_refused(data):
    with pytest.raises(NotAPhoto, match="not a photo the book can read"):
        read(data)


def test_a_gif_is_refused():
    with pytest.raises(NotAPhoto, match="JPEG, PNG, HEIC or WebP"):
        read(saved(picture().quantize(8), "GIF"))
