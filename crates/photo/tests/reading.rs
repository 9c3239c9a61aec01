//! Picture files, good and hostile, made here byte by byte.

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::codecs::webp::WebPEncoder;
use image::{ExtendedColorType, ImageEncoder};
use moxcms::ColorProfile;
use photo::{LARGEST_FILE, MOST_PIXELS, Photo, ReadFault, read};

/// Two halves, red above blue, with a green corner pixel block: every turn looks different.
fn marked(width: usize, height: usize) -> Vec<u8> {
    let mut rgb = Vec::with_capacity(3 * width * height);
    for y in 0..height {
        for x in 0..width {
            let corner = x < width / 4 && y < height / 4;
            rgb.extend(match (corner, y < height / 2) {
                (true, _) => [0, 200, 0],
                (false, true) => [200, 0, 0],
                (false, false) => [0, 0, 200],
            });
        }
    }
    rgb
}

fn png(rgb: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut out = Vec::new();
    let kind = ExtendedColorType::Rgb8;
    PngEncoder::new(&mut out)
        .write_image(rgb, width as u32, height as u32, kind)
        .expect("a picture");
    out
}

fn jpeg(rgb: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut out = Vec::new();
    let kind = ExtendedColorType::Rgb8;
    JpegEncoder::new_with_quality(&mut out, 95)
        .write_image(rgb, width as u32, height as u32, kind)
        .expect("a picture");
    out
}

fn webp(rgb: &[u8], width: usize, height: usize) -> Vec<u8> {
    let mut out = Vec::new();
    let kind = ExtendedColorType::Rgb8;
    WebPEncoder::new_lossless(&mut out)
        .write_image(rgb, width as u32, height as u32, kind)
        .expect("a picture");
    out
}

/// An EXIF block that holds the orientation alone (Exif 2.3, tag 0x0112).
fn exif(orientation: u8) -> Vec<u8> {
    let mut block = b"MM\0*\0\0\0\x08\0\x01".to_vec();
    block.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    block.extend([0, 0, 0, 0]);
    block
}

/// A JPEG with an EXIF segment put after its start.
fn jpeg_turned(rgb: &[u8], size: (usize, usize), orientation: u8) -> Vec<u8> {
    let plain = jpeg(rgb, size.0, size.1);
    let mut body = b"Exif\0\0".to_vec();
    body.extend(exif(orientation));
    let mut out = plain[..2].to_vec();
    out.extend([0xff, 0xe1]);
    out.extend((body.len() as u16 + 2).to_be_bytes());
    out.extend(body);
    out.extend(&plain[2..]);
    out
}

fn near(photo: &Photo, x: usize, y: usize, wanted: [u8; 3]) -> bool {
    let found = photo.pixel(x, y);
    found.iter().zip(wanted).all(|(a, b)| a.abs_diff(b) < 25)
}

const GREEN: [u8; 3] = [0, 200, 0];

#[test]
fn the_three_kinds_are_read() {
    let rgb = marked(40, 24);
    for bytes in [png(&rgb, 40, 24), webp(&rgb, 40, 24)] {
        let photo = read(&bytes).expect("a good picture");
        assert_eq!((photo.width, photo.height), (40, 24));
        assert_eq!(photo.rgb, rgb);
        assert!(photo.notes.is_empty(), "{:?}", photo.notes);
    }
    let photo = read(&jpeg(&rgb, 40, 24)).expect("a good picture");
    assert!(near(&photo, 4, 2, GREEN) && near(&photo, 30, 4, [200, 0, 0]));
}

/// Where the upper left corner of the stored picture is seen, for each orientation of
/// Exif 2.3, 4.6.4 (tag 0x0112): "the 0th row … is the visual …".
#[test]
fn the_cameras_turn_is_honoured() {
    let (w, h) = (48, 32);
    let rgb = marked(w, h);
    // Orientation, size as seen, whether the corner is seen to the right, below.
    let table = [
        (1, (w, h), (false, false)),
        (2, (w, h), (true, false)),
        (3, (w, h), (true, true)),
        (4, (w, h), (false, true)),
        (5, (h, w), (false, false)),
        (6, (h, w), (true, false)),
        (7, (h, w), (true, true)),
        (8, (h, w), (false, true)),
    ];
    for (orientation, size, (right, below)) in table {
        let photo = read(&jpeg_turned(&rgb, (w, h), orientation)).expect("a good picture");
        assert_eq!(
            (photo.width, photo.height),
            size,
            "orientation {orientation}"
        );
        let x = if right { size.0 - 3 } else { 2 };
        let y = if below { size.1 - 3 } else { 2 };
        assert!(near(&photo, x, y, GREEN), "orientation {orientation}");
    }
    let mut out = Vec::new();
    let mut encoder = PngEncoder::new(&mut out);
    encoder.set_exif_metadata(exif(6)).expect("room for it");
    let kind = ExtendedColorType::Rgb8;
    encoder
        .write_image(&rgb, w as u32, h as u32, kind)
        .expect("a picture");
    let photo = read(&out).expect("a good picture");
    assert_eq!((photo.width, photo.height), (h, w));
    assert_eq!(photo.pixel(h - 2, 1), GREEN);
}

#[test]
fn a_turn_that_does_not_exist_is_no_turn() {
    for odd in [0, 9, 200] {
        let photo = read(&jpeg_turned(&marked(16, 24), (16, 24), odd)).expect("a good picture");
        assert_eq!((photo.width, photo.height), (16, 24));
    }
}

#[test]
fn sixteen_bits_greys_and_glass_are_read() {
    let deep: Vec<u8> = (0..8 * 8 * 3)
        .flat_map(|i: u16| (i * 300).to_ne_bytes())
        .collect();
    let mut out = Vec::new();
    PngEncoder::new(&mut out)
        .write_image(&deep, 8, 8, ExtendedColorType::Rgb16)
        .expect("a picture");
    let photo = read(&out).expect("a deep picture");
    assert!(photo.rgb[100].abs_diff((30_000_u32 / 257) as u8) <= 1);

    let mut out = Vec::new();
    PngEncoder::new(&mut out)
        .write_image(&[7; 16], 4, 4, ExtendedColorType::L8)
        .expect("a picture");
    assert_eq!(read(&out).expect("a grey picture").pixel(3, 3), [7; 3]);

    let mut out = Vec::new();
    PngEncoder::new(&mut out)
        .write_image(&[10, 20, 30, 0].repeat(16), 4, 4, ExtendedColorType::Rgba8)
        .expect("a picture");
    let photo = read(&out).expect("a see-through picture");
    assert_eq!(photo.pixel(0, 0), [255; 3]);
    assert_eq!(photo.notes.len(), 1);
}

/// Full red of Display P3 lies outside sRGB; greys are the same in both. The half-strong
/// green is checked against the two standards' own numbers: P3 (0.25, 0.5, 0.25) coded is
/// sRGB (-0.08, 0.508, 0.223), SMPTE RP 431-2 primaries under D65.
#[test]
fn wide_colour_is_brought_into_srgb() {
    let rgb = [[255, 0, 0], [120, 120, 120], [64, 128, 64]].concat();
    let icc = ColorProfile::new_display_p3().encode().expect("a profile");
    let mut out = Vec::new();
    let mut encoder = PngEncoder::new(&mut out);
    encoder.set_icc_profile(icc).expect("room for it");
    encoder
        .write_image(&rgb, 3, 1, ExtendedColorType::Rgb8)
        .expect("a picture");
    let photo = read(&out).expect("a good picture");
    assert_eq!(photo.notes.len(), 1, "{:?}", photo.notes);
    assert_eq!(photo.pixel(0, 0)[0], 255);
    assert!(photo.pixel(1, 0).iter().all(|p| p.abs_diff(120) <= 1));
    let green = photo.pixel(2, 0);
    assert!(green[0] < 45 && green[1].abs_diff(129) <= 2, "{green:?}");

    let icc = ColorProfile::new_srgb().encode().expect("a profile");
    let mut out = Vec::new();
    let mut encoder = PngEncoder::new(&mut out);
    encoder.set_icc_profile(icc).expect("room for it");
    encoder
        .write_image(&rgb, 3, 1, ExtendedColorType::Rgb8)
        .expect("a picture");
    let photo = read(&out).expect("a good picture");
    assert!(photo.notes.is_empty() && photo.rgb == rgb);
}

#[test]
fn a_spoilt_profile_is_told() {
    let good = ColorProfile::new_display_p3().encode().expect("a profile");
    let rgb = marked(8, 8);
    for spoil in 0..good.len() {
        let mut icc = good.clone();
        icc[spoil] ^= 0xff;
        let mut out = Vec::new();
        let mut encoder = PngEncoder::new(&mut out);
        encoder.set_icc_profile(icc).expect("room for it");
        encoder
            .write_image(&rgb, 8, 8, ExtendedColorType::Rgb8)
            .expect("a picture");
        let photo = read(&out).expect("the picture itself is good");
        assert!(photo.notes.len() <= 1);
    }
}

/// Every prefix of a file is refused in words; none is taken for a whole picture.
#[test]
fn a_file_cut_short_is_refused() {
    let rgb = marked(33, 29);
    for whole in [png(&rgb, 33, 29), jpeg(&rgb, 33, 29), webp(&rgb, 33, 29)] {
        // The last chunk of a PNG (twelve bytes) holds nothing of the picture.
        for length in 0..whole.len() - 12 {
            let fault = read(&whole[..length]).expect_err("half a picture");
            assert!(fault.to_string().len() > 10);
        }
        let half = read(&whole[..whole.len() / 2]).expect_err("half a picture");
        assert_eq!(half, ReadFault::CutShort, "{half}");
    }
}

/// One byte after the other turned over: no panic, and what is read has its whole size.
#[test]
fn a_spoilt_byte_never_panics() {
    let rgb = marked(20, 20);
    for whole in [png(&rgb, 20, 20), jpeg(&rgb, 20, 20), webp(&rgb, 20, 20)] {
        for at in 0..whole.len() {
            for change in [0xff, 0x01, 0x80] {
                let mut bytes = whole.clone();
                bytes[at] ^= change;
                if let Ok(photo) = read(&bytes) {
                    assert_eq!(photo.rgb.len(), 3 * photo.width * photo.height);
                }
            }
        }
    }
}

fn with_png_size(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = png(&marked(8, 8), 8, 8);
    bytes[16..20].copy_from_slice(&width.to_be_bytes());
    bytes[20..24].copy_from_slice(&height.to_be_bytes());
    // The checksum (PNG, 5.5) over the kind and the contents, so that only the size lies.
    let sum = checksum(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&sum.to_be_bytes());
    bytes
}

fn checksum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for &byte in bytes {
        sum ^= u32::from(byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xedb8_8320 * (sum & 1));
        }
    }
    !sum
}

fn with_jpeg_size(width: u16, height: u16) -> Vec<u8> {
    let mut bytes = jpeg(&marked(8, 8), 8, 8);
    let at = bytes
        .windows(2)
        .position(|two| two == [0xff, 0xc0])
        .expect("a frame");
    bytes[at + 5..at + 7].copy_from_slice(&height.to_be_bytes());
    bytes[at + 7..at + 9].copy_from_slice(&width.to_be_bytes());
    bytes
}

#[test]
fn a_size_that_lies_is_refused_before_room_is_made() {
    for (width, height) in [
        (60_000, 60_000),
        (u32::MAX, u32::MAX),
        (40_000, 10),
        (9_000, 9_000),
    ] {
        let fault = read(&with_png_size(width, height)).expect_err("a lie");
        assert_eq!(fault, ReadFault::TooLarge(width, height));
    }
    assert_eq!(
        read(&with_png_size(0, 5)).expect_err("a lie"),
        ReadFault::NoPixels
    );
    assert_eq!(
        read(&with_jpeg_size(65_535, 65_535)).expect_err("a lie"),
        ReadFault::TooLarge(65_535, 65_535)
    );
    assert_eq!(
        read(&with_jpeg_size(8_000, 8_000)).expect_err("a lie"),
        ReadFault::CutShort
    );
    assert_eq!(
        read(&with_png_size(7_000, 7_000)).expect_err("a lie"),
        ReadFault::CutShort
    );
    // Lossless WebP: fourteen bits each of width and height, less one, after the chunk's
    // name, its length and the signature 2f. (All ones would be read as no pixels.)
    let mut bytes = webp(&marked(8, 8), 8, 8);
    let at = bytes
        .windows(4)
        .position(|four| four == b"VP8L")
        .expect("a lossless picture");
    bytes[at + 9..at + 13].copy_from_slice(&0x0fff_bffe_u32.to_le_bytes());
    assert_eq!(
        read(&bytes).expect_err("a lie"),
        ReadFault::TooLarge(16_383, 16_383)
    );
    assert!(u64::from(9_000_u32).pow(2) > MOST_PIXELS);
}

/// A text chunk that unpacks to far more than the picture: passed over.
#[test]
fn a_packed_bomb_is_not_unpacked() {
    let plain = png(&marked(8, 8), 8, 8);
    let mut wide = Vec::new();
    PngEncoder::new(&mut wide)
        .write_image(
            &vec![0; 3 * 6_000 * 4_000],
            6_000,
            4_000,
            ExtendedColorType::Rgb8,
        )
        .expect("a picture");
    let from = wide.windows(4).position(|w| w == b"IDAT").expect("data");
    let mut body = b"iCCPa\0\0".to_vec();
    body.extend(&wide[from + 4..wide.len() - 16]);
    let mut bytes = plain[..33].to_vec();
    bytes.extend((body.len() as u32 - 4).to_be_bytes());
    bytes.extend(&body);
    bytes.extend(checksum(&body).to_be_bytes());
    bytes.extend(&plain[33..]);
    let photo = read(&bytes).expect("the picture is good");
    assert_eq!((photo.width, photo.height), (8, 8));
}

#[test]
fn four_inks_are_refused() {
    let mut bytes = jpeg(&marked(8, 8), 8, 8);
    let at = bytes
        .windows(2)
        .position(|two| two == [0xff, 0xc0])
        .expect("a frame");
    bytes[at + 9] = 4;
    assert_eq!(read(&bytes).expect_err("inks"), ReadFault::FourInks);
}

#[test]
fn moving_pictures_are_refused() {
    // An animation control chunk before the data makes a PNG move (APNG).
    let plain = png(&marked(8, 8), 8, 8);
    let mut body = b"acTL".to_vec();
    body.extend([0, 0, 0, 2, 0, 0, 0, 0]);
    let mut bytes = plain[..33].to_vec();
    bytes.extend([0, 0, 0, 8]);
    bytes.extend(&body);
    bytes.extend(checksum(&body).to_be_bytes());
    bytes.extend(&plain[33..]);
    assert_eq!(read(&bytes).expect_err("it moves"), ReadFault::Moving);

    // The second bit of an extended WebP's flags, and the loop and frame chunks it needs.
    let mut chunks = b"VP8X\x0a\0\0\0\x02\0\0\0\x07\0\0\x07\0\0".to_vec();
    chunks.extend(b"ANIM\x06\0\0\0\0\0\0\0\0\0");
    let still = webp(&marked(8, 8), 8, 8);
    let mut frame = [0; 12].to_vec();
    frame[6] = 7;
    frame[9] = 7;
    frame.extend([1, 0, 0, 0]);
    frame.extend(&still[12..]);
    chunks.extend(b"ANMF");
    chunks.extend((frame.len() as u32).to_le_bytes());
    chunks.extend(frame);
    let mut bytes = b"RIFF".to_vec();
    bytes.extend((chunks.len() as u32 + 4).to_le_bytes());
    bytes.extend(b"WEBP");
    bytes.extend(chunks);
    assert_eq!(read(&bytes).expect_err("it moves"), ReadFault::Moving);
}

#[test]
fn other_files_are_named() {
    assert_eq!(read(b""), Err(ReadFault::Empty));
    assert_eq!(read(b"title = \"A quilt\""), Err(ReadFault::NoPicture));
    assert_eq!(
        read(b"GIF89a\x01\0\x01\0"),
        Err(ReadFault::OtherKind("GIF"))
    );
    let heic = read(b"\0\0\0\x18ftypheic\0\0\0\0")
        .expect_err("not read")
        .to_string();
    assert!(heic.starts_with("HEIC") && heic.contains("JPEG"), "{heic}");
    assert_eq!(read(&[0xff, 0xd8]), Err(ReadFault::CutShort));
    assert_eq!(read(&vec![0; LARGEST_FILE + 1]), Err(ReadFault::LargeFile));
}
