//! Bringing a picture into sRGB by the colour profile it carries (ICC.1).
//!
//! Many phones write wider colour than sRGB; taken as sRGB, their reds would come out
//! dull. A profile that cannot be used is said to be so, and the colours are taken as
//! they stand.

use image::RgbImage;
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

/// Profiles larger than this are not used, bytes; those of cameras take some thousands.
const LARGEST: usize = 4_000_000;

/// Pixels worked on at once.
const CHUNK: usize = 3 * 65_536;

const UNUSABLE: &str =
    "The picture's colour profile could not be used; its colours were taken as sRGB.";

const APPLIED: &str = "The picture's colours were brought into sRGB by its colour profile.";

/// Changes the pixels; what is to be said about it.
pub(super) fn to_srgb(rgb: &mut RgbImage, icc: &[u8]) -> Option<&'static str> {
    if icc.len() > LARGEST {
        return Some(UNUSABLE);
    }
    let Ok(profile) = ColorProfile::new_from_slice(icc) else {
        return Some(UNUSABLE);
    };
    if profile.color_space != DataColorSpace::Rgb {
        // A profile of greys bends the scale of greys a little at most.
        return (profile.color_space != DataColorSpace::Gray).then_some(UNUSABLE);
    }
    let options = TransformOptions::default();
    let srgb = ColorProfile::new_srgb();
    let Ok(transform) = profile.create_transform_8bit(Layout::Rgb, &srgb, Layout::Rgb, options)
    else {
        return Some(UNUSABLE);
    };
    if changes_nothing(|from, to| transform.transform(from, to).is_ok()) {
        return None;
    }
    let mut changed = vec![0; CHUNK.min(rgb.as_raw().len())];
    for chunk in rgb.chunks_mut(CHUNK) {
        let room = &mut changed[..chunk.len()];
        if transform.transform(chunk, room).is_err() {
            return Some(UNUSABLE);
        }
        chunk.copy_from_slice(room);
    }
    Some(APPLIED)
}

/// Whether some colours from all over come back as they went in.
fn changes_nothing(transform: impl Fn(&[u8], &mut [u8]) -> bool) -> bool {
    let parts = [0, 51, 128, 204, 255];
    let from: Vec<u8> = parts
        .iter()
        .flat_map(|&r| parts.map(|g| parts.map(|b| [r, g, b])))
        .flatten()
        .flatten()
        .collect();
    let mut to = vec![0; from.len()];
    transform(&from, &mut to) && from.iter().zip(&to).all(|(a, b)| a.abs_diff(*b) <= 1)
}
