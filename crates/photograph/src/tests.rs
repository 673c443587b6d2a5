//! Pictures as phones send them, and as attackers would.

use std::io::Cursor;

use exif::{Field, In, Rational, Reader, Tag, Value, experimental::Writer};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageFormat, Rgb, RgbImage};

use crate::{FILE_BYTES_MAX, Location, PhotographError, keep};

/// A picture with a red left half, held upside down, taken at 52° N, by a named camera.
fn from_a_phone() -> Vec<u8> {
    let picture = RgbImage::from_fn(64, 32, |x, _| match x < 32 {
        true => Rgb([250, 10, 10]),
        false => Rgb([10, 10, 250]),
    });
    let degrees = [52, 6, 0].map(|num| Rational { num, denom: 1 }).to_vec();
    let field = |tag, value| Field {
        tag,
        ifd_num: In::PRIMARY,
        value,
    };
    let fields = [
        field(Tag::Orientation, Value::Short(vec![3])),
        field(Tag::Model, Value::Ascii(vec![b"Camera C1".to_vec()])),
        field(Tag::GPSLatitudeRef, Value::Ascii(vec![b"N".to_vec()])),
        field(Tag::GPSLatitude, Value::Rational(degrees)),
    ];
    let mut writer = Writer::new();
    fields.iter().for_each(|field| writer.push_field(field));
    let mut exif = Cursor::new(Vec::new());
    writer.write(&mut exif, false).unwrap();
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut out, 95);
    encoder.set_exif_metadata(exif.into_inner()).unwrap();
    encoder
        .write_image(&picture, 64, 32, ExtendedColorType::Rgb8)
        .unwrap();
    out
}

fn tags(jpeg: &[u8]) -> Vec<Tag> {
    let exif = Reader::new().read_from_container(&mut Cursor::new(jpeg));
    exif.map_or_else(
        |_| Vec::new(),
        |exif| exif.fields().map(|field| field.tag).collect(),
    )
}

#[test]
fn location_and_camera_are_left_out() {
    assert!(tags(&from_a_phone()).contains(&Tag::GPSLatitude));
    let kept = keep(&from_a_phone(), Location::Strip).unwrap();
    assert_eq!(tags(&kept.jpeg), []);
    assert!(!kept.has_location);
    let holds = |needle: &[u8]| kept.jpeg.windows(needle.len()).any(|bytes| bytes == needle);
    assert!(!holds(b"Camera C1") && !holds(b"Exif"));
}

#[test]
fn location_is_kept_on_purpose_and_nothing_else() {
    let kept = keep(&from_a_phone(), Location::Keep).unwrap();
    assert!(kept.has_location);
    assert_eq!(tags(&kept.jpeg), [Tag::GPSLatitudeRef, Tag::GPSLatitude]);
}

#[test]
fn a_picture_is_turned_upright() {
    let kept = keep(&from_a_phone(), Location::Strip).unwrap();
    let picture = image::load_from_memory(&kept.jpeg).unwrap().into_rgb8();
    let [red, _, blue] = picture.get_pixel(4, 16).0;
    assert!(blue > red, "the red half is on the right");
}

#[test]
fn a_large_picture_is_made_small() {
    let mut png = Cursor::new(Vec::new());
    RgbImage::new(5000, 100)
        .write_to(&mut png, ImageFormat::Png)
        .unwrap();
    let kept = keep(&png.into_inner(), Location::Strip).unwrap();
    assert_eq!((kept.width, kept.height), (2400, 48));
}

/// A PNG of a few bytes that claims a picture of that size.
fn png_claiming(width: u32, height: u32) -> Vec<u8> {
    let mut png = Cursor::new(Vec::new());
    RgbImage::new(1, 1)
        .write_to(&mut png, ImageFormat::Png)
        .unwrap();
    let mut png = png.into_inner();
    // Signature 8, length 4, "IHDR" 4, then width and height; the check sum follows the header.
    png[16..20].copy_from_slice(&width.to_be_bytes());
    png[20..24].copy_from_slice(&height.to_be_bytes());
    let sum = check_sum(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    png
}

/// CRC-32 of ISO 3309, as the PNG specification's annex computes it.
fn check_sum(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| match sum & 1 {
            1 => 0xedb8_8320 ^ (sum >> 1),
            _ => sum >> 1,
        })
    })
}

#[test]
fn a_small_file_that_claims_a_huge_picture_is_refused_unopened() {
    for (width, height) in [(60_000, 60_000), (19_000, 19_000), (4_000_000_000, 1)] {
        let error = keep(&png_claiming(width, height), Location::Strip).unwrap_err();
        assert!(
            matches!(error, PhotographError::TooManyPixels),
            "{width} × {height}: {error}"
        );
    }
}

#[test]
fn what_is_no_picture_is_refused() {
    let script = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>";
    for bytes in [&b""[..], b"GIF89a", script, b"%PDF-1.7", &[0; 100]] {
        let error = keep(bytes, Location::Strip).unwrap_err();
        assert!(matches!(error, PhotographError::Unknown), "{error}");
    }
    let too_long = vec![0; FILE_BYTES_MAX + 1];
    let error = keep(&too_long, Location::Strip).unwrap_err();
    assert!(matches!(error, PhotographError::TooLarge { found_mb: 31 }));
    let cut = &from_a_phone()[..300];
    assert!(keep(cut, Location::Strip).is_err());
}

#[test]
fn no_cut_or_flipped_byte_panics() {
    let whole = from_a_phone();
    for end in (0..whole.len()).step_by(7) {
        let _ = keep(&whole[..end], Location::Keep);
    }
    for at in (0..whole.len()).step_by(5) {
        let mut bent = whole.clone();
        bent[at] ^= 0x5a;
        let _ = keep(&bent, Location::Keep);
    }
}
