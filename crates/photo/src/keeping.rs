//! Pictures made ready to be kept and shown: read, checked, written anew.
//!
//! What comes out holds the pixels and nothing else: no notes of the camera (place, day,
//! name), no thumbnails, no profiles, nothing a stranger hid in the file. Small pictures
//! are kept to the last pixel as PNG, larger ones as JPEG.
//!
//! **Whatever the bytes say**, the size the file claims is looked at before anything is
//! made room for.

use std::fmt;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder as _, RgbImage, imageops};

use crate::reading::{self, Photo, ReadFault};

/// Longest side of a picture that is kept, pixels.
pub const LONGEST_KEPT: u32 = 12_000;

/// Most pixels of a picture that is kept.
pub const MOST_KEPT: u64 = 40_000_000;

/// Up to so many pixels a picture is kept to the last pixel.
const EXACT: u64 = 1_000_000;

/// Quality of the JPEG, of 100; the loss cannot be seen beside the cloth. Our choice.
const QUALITY: u8 = 92;

/// Longest side of the small copy, pixels.
const SMALL: u32 = 1024;

/// A picture as it is kept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Kept {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// The picture: PNG or JPEG, as its first bytes tell.
    pub bytes: Vec<u8>,
    /// The same, no side over 1,024 pixels, to be shown.
    pub small: Vec<u8>,
}

/// Why a picture is not kept. Its sentence fits after the picture's name and a colon.
#[derive(Clone, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum KeepFault {
    /// More pixels or a longer side than is kept: across, down.
    TooLarge(u32, u32),
    /// It cannot be read.
    Read(ReadFault),
    /// It could not be written anew; what the writer says.
    Write(String),
}

impl fmt::Display for KeepFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge(width, height) => {
                let million = u64::from(*width) * u64::from(*height) / 1_000_000;
                write!(
                    f,
                    "this picture is {width} × {height} pixels ({million} million); the most is \
                     {} million, and no side over {LONGEST_KEPT}: save it smaller",
                    MOST_KEPT / 1_000_000
                )
            }
            Self::Read(fault) => fault.fmt(f),
            Self::Write(why) => write!(f, "the picture could not be kept ({why})"),
        }
    }
}

impl std::error::Error for KeepFault {}

impl From<ReadFault> for KeepFault {
    fn from(fault: ReadFault) -> Self {
        match fault {
            ReadFault::TooLarge(width, height) => Self::TooLarge(width, height),
            other => Self::Read(other),
        }
    }
}

/// Reads a picture file of a stranger and makes it ready to be kept.
///
/// # Errors
///
/// A [`KeepFault`], for a file that is no whole PNG, JPEG or WebP picture within the limits.
pub fn keep(bytes: &[u8]) -> Result<Kept, KeepFault> {
    let (width, height) = reading::size(bytes)?;
    let many = u64::from(width) * u64::from(height) > MOST_KEPT;
    if many || width.max(height) > LONGEST_KEPT {
        return Err(KeepFault::TooLarge(width, height));
    }
    packed(reading::read(bytes)?)
}

/// A picture that was read or made, ready to be kept.
///
/// # Errors
///
/// [`KeepFault::Write`]; there is no case known.
pub fn packed(photo: Photo) -> Result<Kept, KeepFault> {
    let side = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
    let (width, height) = (side(photo.width), side(photo.height));
    let image = RgbImage::from_raw(width, height, photo.rgb)
        .ok_or_else(|| KeepFault::Write("its size and its pixels do not agree".into()))?;
    let bytes = written(&image)?;
    let longest = width.max(height);
    let small = if longest <= SMALL {
        bytes.clone()
    } else {
        let share = |side: u32| {
            let short = u64::from(side) * u64::from(SMALL) / u64::from(longest);
            u32::try_from(short).unwrap_or(SMALL).max(1)
        };
        written(&imageops::thumbnail(&image, share(width), share(height)))?
    };
    Ok(Kept {
        width,
        height,
        bytes,
        small,
    })
}

fn written(image: &RgbImage) -> Result<Vec<u8>, KeepFault> {
    let (width, height) = image.dimensions();
    let mut out = Vec::new();
    let kind = ExtendedColorType::Rgb8;
    let done = if u64::from(width) * u64::from(height) <= EXACT {
        PngEncoder::new_with_quality(&mut out, CompressionType::Fast, FilterType::Adaptive)
            .write_image(image.as_raw(), width, height, kind)
    } else {
        JpegEncoder::new_with_quality(&mut out, QUALITY).encode(image.as_raw(), width, height, kind)
    };
    done.map_err(|error| KeepFault::Write(error.to_string()))?;
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn speckled(width: usize, height: usize) -> Photo {
        let rgb = (0..3 * width * height)
            .map(|i| u8::try_from((i * 7919 + i / 640) % 251).unwrap())
            .collect();
        Photo {
            width,
            height,
            rgb,
            notes: Vec::new(),
        }
    }

    #[test]
    fn a_small_picture_comes_back_to_the_last_pixel() {
        let photo = speckled(320, 200);
        let kept = packed(photo.clone()).unwrap();
        assert!(kept.bytes.starts_with(b"\x89PNG"));
        assert_eq!(reading::read(&kept.bytes).unwrap(), photo);
        assert_eq!(keep(&kept.bytes).unwrap(), kept);
    }

    #[test]
    fn a_large_one_has_a_small_copy() {
        let kept = packed(speckled(2100, 700)).unwrap();
        assert_eq!((kept.width, kept.height), (2100, 700));
        assert!(kept.bytes.starts_with(&[0xff, 0xd8]));
        assert_eq!(reading::size(&kept.small).unwrap(), (1024, 341));
    }

    #[test]
    fn a_size_that_is_only_claimed_is_refused_before_it_is_read() {
        let mut kept = packed(speckled(64, 64)).unwrap().bytes;
        for (width, height) in [(12_001_u32, 10_u32), (7_000, 7_000), (60_000, 60_000)] {
            kept[16..20].copy_from_slice(&width.to_be_bytes());
            kept[20..24].copy_from_slice(&height.to_be_bytes());
            assert_eq!(keep(&kept), Err(KeepFault::TooLarge(width, height)));
        }
    }
}
