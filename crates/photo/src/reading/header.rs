//! What a file says of itself, looked at before a reader is let near it.
//!
//! The readers forgive much: one of them fills the missing half of a picture with grey.
//! A measurement must not, so the walk here finds what they let pass: a JPEG whose end
//! is missing, one of four inks, and sizes too large to make room for.

use super::{ReadFault, fitting};

/// The kinds that are read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Jpeg,
    Png,
    WebP,
}

/// No JPEG packs more pixels than this into a byte: each square of 8 × 8 takes at least
/// one bit in some scan. A file that claims more says nothing true about its size.
const MOST_PIXELS_A_BYTE: u64 = 512;

/// The kind of a file by its first bytes, with its size and completeness looked at.
pub(super) fn look(bytes: &[u8]) -> Result<Kind, ReadFault> {
    if bytes.is_empty() {
        return Err(ReadFault::Empty);
    }
    if bytes.starts_with(&[0xff, 0xd8]) {
        return jpeg(bytes).map(|()| Kind::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        let (width, height) = png_sides(bytes)?;
        return fitting(width, height).map(|()| Kind::Png);
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        // The length in the head is that of everything after it.
        let length = bytes
            .get(4..8)
            .map(|l| u32::from_le_bytes([l[0], l[1], l[2], l[3]]));
        let whole = length.is_some_and(|length| bytes.len() as u64 >= u64::from(length) + 8);
        return whole.then_some(Kind::WebP).ok_or(ReadFault::CutShort);
    }
    Err(other_kind(bytes).map_or(ReadFault::NoPicture, ReadFault::OtherKind))
}

/// Width and height as the first part of a PNG has them (ISO/IEC 15948, 11.2.2).
pub(super) fn png_sides(bytes: &[u8]) -> Result<(u32, u32), ReadFault> {
    let side = |at: usize| big(bytes, at, 4).ok_or(ReadFault::CutShort);
    Ok((side(16)?, side(20)?))
}

/// Kinds a maker may well have, by their first bytes.
fn other_kind(bytes: &[u8]) -> Option<&'static str> {
    let heic: [&[u8]; 5] = [b"heic", b"heix", b"hevc", b"mif1", b"msf1"];
    let brand = bytes.get(8..12).unwrap_or_default();
    let iso = bytes.get(4..8) == Some(b"ftyp");
    if iso && heic.contains(&brand) {
        return Some("HEIC, the kind some phones use,");
    }
    if iso && (brand == b"avif" || brand == b"avis") {
        return Some("AVIF");
    }
    let starts: [(&[u8], &str); 6] = [
        (b"GIF8", "GIF"),
        (b"BM", "BMP"),
        (b"II*\0", "TIFF"),
        (b"MM\0*", "TIFF"),
        (b"%PDF", "PDF"),
        (b"8BPS", "this painting program's own kind"),
    ];
    starts
        .iter()
        .find(|(start, _)| bytes.starts_with(start))
        .map(|(_, name)| *name)
}

fn big(bytes: &[u8], at: usize, many: usize) -> Option<u32> {
    let part = bytes.get(at..at.checked_add(many)?)?;
    Some(
        part.iter()
            .fold(0, |sum, &byte| (sum << 8) | u32::from(byte)),
    )
}

/// Walks the segments of a JPEG (ITU-T T.81, annex B) to its first scan, then looks for
/// the end-of-image marker after it.
fn jpeg(bytes: &[u8]) -> Result<(), ReadFault> {
    let mut at = 2;
    let mut sized = false;
    loop {
        // A marker is FF and a byte that is neither 00 nor FF; FFs before it are padding.
        while bytes.get(at) == Some(&0xff) && bytes.get(at + 1) == Some(&0xff) {
            at += 1;
        }
        let (Some(&lead), Some(&marker)) = (bytes.get(at), bytes.get(at + 1)) else {
            return Err(ReadFault::CutShort);
        };
        if lead != 0xff {
            return Err(ReadFault::Damaged(
                "its parts do not follow each other".into(),
            ));
        }
        at += 2;
        match marker {
            0x01 | 0xd0..=0xd7 => continue,
            0xd9 => return Err(ReadFault::Damaged("it ends before any picture".into())),
            _ => {}
        }
        let length = big(bytes, at, 2).ok_or(ReadFault::CutShort)? as usize;
        if length < 2 {
            return Err(ReadFault::Damaged("a part of it has no length".into()));
        }
        // Start-of-frame markers but for the tables that share their row.
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            frame(bytes, at, marker)?;
            sized = true;
        }
        at += length;
        if marker == 0xda {
            break;
        }
    }
    if !sized {
        return Err(ReadFault::Damaged("it does not say its size".into()));
    }
    // Inside a scan FF is followed by 00 or a restart mark, so this is the end itself.
    let scan = bytes.get(at..).ok_or(ReadFault::CutShort)?;
    let ended = scan.windows(2).rev().any(|two| two == [0xff, 0xd9]);
    ended.then_some(()).ok_or(ReadFault::CutShort)
}

/// The frame header: bits, lines, pixels a line, components.
fn frame(bytes: &[u8], at: usize, marker: u8) -> Result<(), ReadFault> {
    let number = |from: usize, many: usize| big(bytes, at + from, many).ok_or(ReadFault::CutShort);
    let (bits, height, width, parts) = (number(2, 1)?, number(3, 2)?, number(5, 2)?, number(7, 1)?);
    fitting(width, height)?;
    if parts == 4 {
        return Err(ReadFault::FourInks);
    }
    if bits != 8 || !matches!(marker, 0xc0..=0xc2) {
        return Err(ReadFault::OtherKind("This rare kind of JPEG"));
    }
    let pixels = u64::from(width) * u64::from(height);
    if pixels / MOST_PIXELS_A_BYTE > bytes.len() as u64 {
        return Err(ReadFault::CutShort);
    }
    Ok(())
}
