//! From the bytes of a picture file to pixels.
//!
//! Reads PNG, JPEG and WebP. The turn the camera noted (EXIF orientation) is taken into
//! account, pixels in another colour space than sRGB are brought into it by the colour
//! profile in the file, and what is see-through lies on white.
//!
//! **Whatever the bytes say**, memory stays within about ten bytes a pixel of
//! [`MOST_PIXELS`] and three times the file; the size a file claims is looked at before
//! anything is made room for. A picture that cannot be read, or read in full, is refused
//! in a sentence that says what would help; half a picture is never measured.

mod header;
mod profile;

use std::fmt;
use std::io::Cursor;

use image::codecs::jpeg::JpegDecoder;
use image::codecs::png::PngDecoder;
use image::codecs::webp::WebPDecoder;
use image::{DynamicImage, ImageDecoder, ImageError, Limits, RgbImage};

use header::Kind;

/// Files larger than this are refused, bytes. A phone's picture of 50 megapixels takes
/// about 15 million as JPEG and 80 million as PNG.
pub const LARGEST_FILE: usize = 150_000_000;

/// Pictures of more pixels than this are refused; today's phones make up to 50 million.
pub const MOST_PIXELS: u64 = 64_000_000;

/// A side longer than this is refused, pixels.
const LONGEST_SIDE: u32 = 32_000;

/// Most bytes a picture may take while it is unpacked: eight a pixel (four parts of
/// sixteen bits) for half of [`MOST_PIXELS`], four a pixel for all of them.
const MOST_BYTES: u64 = 4 * MOST_PIXELS;

/// A picture as it is looked at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Photo {
    /// Pixels across; at least one.
    pub width: usize,
    /// Pixels down; at least one.
    pub height: usize,
    /// Red, green, blue of every pixel, row by row; sRGB (IEC 61966-2-1).
    pub rgb: Vec<u8>,
    /// What was done to the colours or left out while reading, in whole sentences.
    pub notes: Vec<&'static str>,
}

impl Photo {
    /// Red, green and blue of one pixel.
    ///
    /// # Panics
    ///
    /// If the pixel lies outside the picture.
    #[must_use]
    pub fn pixel(&self, x: usize, y: usize) -> [u8; 3] {
        assert!(x < self.width, "pixel {x} of {}", self.width);
        let at = 3 * (y * self.width + x);
        [self.rgb[at], self.rgb[at + 1], self.rgb[at + 2]]
    }
}

/// Why a picture was not read. Its sentence says what would help.
#[derive(Clone, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum ReadFault {
    /// There are no bytes.
    Empty,
    /// More bytes than [`LARGEST_FILE`].
    LargeFile,
    /// A kind of picture that is known but not read.
    OtherKind(&'static str),
    /// No picture of a known kind.
    NoPicture,
    /// More pixels than [`MOST_PIXELS`], or a side that is too long: across, down.
    TooLarge(u32, u32),
    /// Too many bytes when unpacked, because each pixel takes many: across, down.
    TooDeep(u32, u32),
    /// A picture of no pixels.
    NoPixels,
    /// More than one picture, to be shown one after the other.
    Moving,
    /// Mixed from four printing inks.
    FourInks,
    /// The file ends before the picture does.
    CutShort,
    /// Cannot be unpacked; what the reader of that kind says.
    Damaged(String),
}

impl fmt::Display for ReadFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let million = MOST_PIXELS / 1_000_000;
        match self {
            Self::Empty => f.write_str("the file is empty; copy the picture again"),
            Self::LargeFile => write!(
                f,
                "the file is larger than {} million bytes; save the picture smaller, as JPEG",
                LARGEST_FILE / 1_000_000
            ),
            Self::OtherKind(kind) => write!(
                f,
                "{kind} is not read; save the picture as JPEG, PNG or WebP"
            ),
            Self::NoPicture => {
                f.write_str("this is no picture of a kind that is read: JPEG, PNG or WebP")
            }
            Self::TooLarge(width, height) => write!(
                f,
                "the file says the picture is {width} × {height} pixels; up to {million} \
                 million are read and no side over {LONGEST_SIDE}: save it smaller"
            ),
            Self::TooDeep(width, height) => write!(
                f,
                "the picture of {width} × {height} pixels keeps 16 bits for each colour and is \
                 too large for that; save it with 8 bits, or smaller"
            ),
            Self::NoPixels => f.write_str("the picture has no pixels"),
            Self::Moving => {
                f.write_str("this is a moving picture; save one still picture of the cloth")
            }
            Self::FourInks => f.write_str(
                "the picture is mixed from four printing inks (CMYK), and its colours depend on \
                 a press; save it in RGB",
            ),
            Self::CutShort => {
                f.write_str("the file ends before the picture does; copy it again, whole")
            }
            Self::Damaged(why) => write!(f, "the picture is damaged ({why}); copy it again"),
        }
    }
}

impl std::error::Error for ReadFault {}

/// Reads a picture file.
///
/// # Errors
///
/// A [`ReadFault`] whose words fit after the file's name and a colon.
pub fn read(bytes: &[u8]) -> Result<Photo, ReadFault> {
    if bytes.len() > LARGEST_FILE {
        return Err(ReadFault::LargeFile);
    }
    match header::look(bytes)? {
        Kind::Jpeg => unpack(JpegDecoder::new(Cursor::new(bytes)).map_err(worded)?),
        Kind::Png => {
            let decoder = PngDecoder::with_limits(Cursor::new(bytes), limits()).map_err(worded)?;
            if decoder.is_apng().map_err(worded)? {
                return Err(ReadFault::Moving);
            }
            unpack(decoder)
        }
        Kind::WebP => {
            let decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(worded)?;
            if decoder.has_animation() {
                return Err(ReadFault::Moving);
            }
            unpack(decoder)
        }
    }
}

/// How many pixels a picture file says it has, across and down; nothing is unpacked.
///
/// # Errors
///
/// A [`ReadFault`], where the beginning of the file tells already that it is not read.
pub fn size(bytes: &[u8]) -> Result<(u32, u32), ReadFault> {
    if bytes.len() > LARGEST_FILE {
        return Err(ReadFault::LargeFile);
    }
    let (width, height) = match header::look(bytes)? {
        Kind::Jpeg => JpegDecoder::new(Cursor::new(bytes))
            .map_err(worded)?
            .dimensions(),
        Kind::Png => header::png_sides(bytes)?,
        Kind::WebP => WebPDecoder::new(Cursor::new(bytes))
            .map_err(worded)?
            .dimensions(),
    };
    fitting(width, height)?;
    Ok((width, height))
}

fn limits() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    limits.max_alloc = Some(MOST_BYTES);
    limits
}

/// Refuses a size before anything is made room for.
fn fitting(width: u32, height: u32) -> Result<(), ReadFault> {
    if width == 0 || height == 0 {
        return Err(ReadFault::NoPixels);
    }
    let many = u64::from(width) * u64::from(height) > MOST_PIXELS;
    if many || width.max(height) > LONGEST_SIDE {
        return Err(ReadFault::TooLarge(width, height));
    }
    Ok(())
}

fn unpack(mut decoder: impl ImageDecoder) -> Result<Photo, ReadFault> {
    let (width, height) = decoder.dimensions();
    fitting(width, height)?;
    if decoder.total_bytes() > MOST_BYTES {
        return Err(ReadFault::TooDeep(width, height));
    }
    decoder.set_limits(limits()).map_err(worded)?;
    // A note the camera made badly is no reason to refuse the picture.
    let turn = decoder.orientation().ok();
    let icc = decoder.icc_profile().ok().flatten();
    let mut image = DynamicImage::from_decoder(decoder).map_err(worded)?;
    let mut notes = Vec::new();
    if let Some(turn) = turn {
        image.apply_orientation(turn);
    }
    let mut rgb = if image.color().has_alpha() {
        notes.push("What is see-through in the picture was taken as white.");
        on_white(image)
    } else {
        image.into_rgb8()
    };
    if let Some(icc) = icc {
        notes.extend(profile::to_srgb(&mut rgb, &icc));
    }
    let (width, height) = (rgb.width() as usize, rgb.height() as usize);
    Ok(Photo {
        width,
        height,
        rgb: rgb.into_raw(),
        notes,
    })
}

fn on_white(image: DynamicImage) -> RgbImage {
    let rgba = image.into_rgba8();
    let (width, height) = rgba.dimensions();
    let mut rgb = Vec::with_capacity(rgba.as_raw().len() / 4 * 3);
    for pixel in rgba.as_raw().chunks_exact(4) {
        let alpha = u32::from(pixel[3]);
        rgb.extend(pixel[..3].iter().map(|&part| {
            let mixed = (u32::from(part) * alpha + 255 * (255 - alpha) + 127) / 255;
            u8::try_from(mixed).unwrap_or(u8::MAX)
        }));
    }
    // Three bytes were made for each pixel, so the size always fits.
    RgbImage::from_raw(width, height, rgb).unwrap_or_default()
}

/// What a reader says, in our words where the cause is plain.
fn worded(error: ImageError) -> ReadFault {
    match error {
        ImageError::IoError(_) => ReadFault::CutShort,
        ImageError::Limits(_) => {
            ReadFault::Damaged("it asks for more memory than its size needs".into())
        }
        other => {
            let text = other.to_string();
            let short = [
                "end of file",
                "unexpected end",
                "EOF",
                "exhausted",
                "too short",
                "enough data",
            ];
            if short.iter().any(|word| text.contains(word)) {
                ReadFault::CutShort
            } else {
                ReadFault::Damaged(first_line(&text))
            }
        }
    }
}

/// The first line of a message, of bearable length.
fn first_line(text: &str) -> String {
    let line = text.lines().next().unwrap_or_default();
    line.chars()
        .take(120)
        .collect::<String>()
        .trim_end_matches('.')
        .to_owned()
}
