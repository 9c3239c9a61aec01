//! One file that holds a quilt whole: its plan and its photographs.
//!
//! ```text
//!   plan.toml         the plan file, as any Piecewright opens it
//!   photos/1.jpg      the photographs, by their numbers; the plan names them so
//!   photos.json       what they are called, what they are for, what was marked in them
//! ```
//!
//! It is a ZIP archive (ISO/IEC 21320-1): unpacked, the plan and the folder beside it are
//! what the other commands read.
//!
//! **Whatever the bytes say**: names in the archive are compared with those above and never
//! used as paths; what comes out of an entry, and of all together, is capped while it is
//! unpacked, so that a small file cannot become a large one.

use std::io::{Read as _, Write as _};

use flate2::read::DeflateDecoder;
use rawzip::{CompressionMethod, ZipArchive, ZipArchiveWriter};
use serde_json::{Value, json};

use crate::measuring::Marks;
use crate::store::{Kind, PhotoLine};

/// Most bytes of a file that is brought.
pub(crate) const MOST_BYTES: usize = 100 * 1024 * 1024;
/// Most bytes of everything in it, unpacked.
const MOST_UNPACKED: u64 = 200 * 1024 * 1024;
/// Most entries.
const MOST_ENTRIES: usize = 300;
/// Most bytes of the plan, of the list of photographs, of a photograph.
const MOST_PLAN: u64 = 1024 * 1024;
const MOST_LIST: u64 = 256 * 1024;
const MOST_PHOTO: u64 = 20 * 1024 * 1024;

/// A photograph in such a file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Packed {
    pub(crate) number: i64,
    pub(crate) name: String,
    pub(crate) kind: Kind,
    pub(crate) marks: String,
    pub(crate) away: bool,
    pub(crate) bytes: Vec<u8>,
}

/// What was found in one.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Unpacked {
    pub(crate) plan: String,
    pub(crate) photos: Vec<Packed>,
}

/// Whether a file begins as an archive does.
pub(crate) fn is_one(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// Puts a quilt in one file.
pub(crate) fn pack(plan: &str, photos: &[Packed]) -> Result<Vec<u8>, String> {
    let trouble = |why: rawzip::Error| format!("The file could not be made: {why}.");
    let list: Vec<Value> = photos
        .iter()
        .map(|photo| {
            json!({
                "number": photo.number, "name": photo.name, "for": photo.kind.word(),
                "marks": photo.marks, "away": photo.away,
            })
        })
        .collect();
    let list = json!({ "photos": list }).to_string();
    let mut out = ZipArchiveWriter::new(Vec::new());
    let mut put = |name: &str, bytes: &[u8]| -> Result<(), rawzip::Error> {
        let file = out
            .new_file(name)
            .compression_method(CompressionMethod::STORE);
        let (mut entry, config) = file.start()?;
        let mut writer = config.wrap(&mut entry);
        writer.write_all(bytes)?;
        let (_, descriptor) = writer.finish()?;
        entry.finish(descriptor)?;
        Ok(())
    };
    put("plan.toml", plan.as_bytes()).map_err(trouble)?;
    if !photos.is_empty() {
        put("photos.json", list.as_bytes()).map_err(trouble)?;
    }
    for photo in photos {
        let name = PhotoLine::file_name(photo.number, &photo.bytes);
        put(&name, &photo.bytes).map_err(trouble)?;
    }
    out.finish().map_err(trouble)
}

/// Takes such a file apart.
pub(crate) fn unpack(bytes: &[u8]) -> Result<Unpacked, String> {
    let broken = |_| "The file is damaged or not whole; copy it again.".to_owned();
    let archive = ZipArchive::from_slice(bytes).map_err(broken)?;
    let mut entries = archive.entries();
    let (mut plan, mut list) = (None, None);
    let mut photos: Vec<(i64, Vec<u8>)> = Vec::new();
    let mut left = MOST_UNPACKED;
    let mut count = 0;
    while let Some(entry) = entries.next_entry().map_err(broken)? {
        count += 1;
        if count > MOST_ENTRIES {
            return Err(format!(
                "There are more than {MOST_ENTRIES} files in it; a quilt has not so many."
            ));
        }
        // Only names we make ourselves; whatever else lies in it stays there.
        let path = entry.file_path();
        let Ok(name) = std::str::from_utf8(path.as_bytes()) else {
            continue;
        };
        let number = PhotoLine::number_in(name);
        let most = match (name, number) {
            ("plan.toml", _) => MOST_PLAN,
            ("photos.json", _) => MOST_LIST,
            (_, Some(_)) => MOST_PHOTO,
            _ => continue,
        };
        let most = most.min(left);
        let local = archive.get_entry(entry.wayfinder()).map_err(broken)?;
        let mut found = Vec::new();
        let read = match entry.compression_method() {
            CompressionMethod::STORE => local
                .verifying_reader(local.data())
                .take(most + 1)
                .read_to_end(&mut found),
            CompressionMethod::DEFLATE => local
                .verifying_reader(DeflateDecoder::new(local.data()))
                .take(most + 1)
                .read_to_end(&mut found),
            _ => {
                return Err(format!(
                    "“{name}” is packed in a way that is not read here; pack the file again the usual way."
                ));
            }
        };
        let size = read.map_err(|_| "The file is damaged; copy it again.".to_owned())?;
        let size = u64::try_from(size).unwrap_or(u64::MAX);
        if size > most {
            return Err(format!(
                "“{name}” would unpack to more than it may; nothing was kept of the file."
            ));
        }
        left -= size;
        let twice = match (name, number) {
            ("plan.toml", _) => plan.replace(found).is_some(),
            ("photos.json", _) => list.replace(found).is_some(),
            (_, Some(number)) => {
                let known = photos.iter().any(|(other, _)| *other == number);
                photos.push((number, found));
                known
            }
            _ => false,
        };
        if twice {
            return Err(format!("“{name}” lies in the file twice."));
        }
    }
    let plan = plan.ok_or("There is no plan.toml in it, so it holds no quilt.")?;
    let plan = String::from_utf8(plan).map_err(|_| "Its plan.toml is no text.".to_owned())?;
    photos.sort_unstable_by_key(|(number, _)| *number);
    Ok(Unpacked {
        plan,
        photos: named(photos, list.as_deref()),
    })
}

/// The photographs with what the list says of them; what it does not say is left at the
/// usual.
fn named(photos: Vec<(i64, Vec<u8>)>, list: Option<&[u8]>) -> Vec<Packed> {
    let list: Value = list
        .and_then(|list| serde_json::from_slice(list).ok())
        .unwrap_or_default();
    let of = |number: i64| {
        let mut all = list["photos"].as_array().into_iter().flatten();
        all.find(|one| one["number"] == number)
    };
    photos
        .into_iter()
        .map(|(number, bytes)| {
            let one = of(number);
            let word = |key: &str| one.and_then(|one| one[key].as_str()).unwrap_or_default();
            let name: String = word("name")
                .chars()
                .filter(|c| !c.is_control())
                .take(80)
                .collect();
            Packed {
                number,
                name: if name.trim().is_empty() {
                    format!("photograph {number}")
                } else {
                    name
                },
                kind: Kind::named(word("for")).unwrap_or(Kind::Cloth),
                marks: Marks::read(word("marks")).written(),
                away: one.is_some_and(|one| one["away"] == true),
                bytes,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use flate2::Compression;
    use flate2::write::DeflateEncoder;

    use super::*;

    fn photo(number: i64) -> Packed {
        Packed {
            number,
            name: "rust leaf".into(),
            kind: Kind::Cloth,
            marks: Marks::default().written(),
            away: false,
            bytes: b"\x89PNG and so on".to_vec(),
        }
    }

    /// An archive of deflated entries, as other programs write them.
    fn deflated(entries: &[(&str, &[u8])]) -> Vec<u8> {
        let mut out = ZipArchiveWriter::new(Vec::new());
        for (name, bytes) in entries {
            let file = out.new_file(*name);
            let (mut entry, config) = file
                .compression_method(CompressionMethod::DEFLATE)
                .start()
                .unwrap();
            let encoder = DeflateEncoder::new(&mut entry, Compression::default());
            let mut writer = config.wrap(encoder);
            writer.write_all(bytes).unwrap();
            let (encoder, descriptor) = writer.finish().unwrap();
            encoder.finish().unwrap();
            entry.finish(descriptor).unwrap();
        }
        out.finish().unwrap()
    }

    #[test]
    fn a_quilt_comes_out_as_it_went_in() {
        let photos = [photo(1), photo(7)];
        let bytes = pack("title = \"x\"", &photos).unwrap();
        assert!(is_one(&bytes));
        let found = unpack(&bytes).unwrap();
        assert_eq!(
            (found.plan.as_str(), found.photos),
            ("title = \"x\"", photos.to_vec())
        );
        assert!(unpack(&bytes[..bytes.len() / 2]).is_err());
    }

    #[test]
    fn names_are_never_paths() {
        let bytes = deflated(&[
            ("../plan.toml", b"outside"),
            ("/photos/1.png", b"outside"),
            ("photos/../photos/2.png", b"outside"),
            ("plan.toml", b"inside"),
            ("photos/3.png", b"inside"),
        ]);
        let found = unpack(&bytes).unwrap();
        assert_eq!(found.plan, "inside");
        let numbers: Vec<i64> = found.photos.iter().map(|photo| photo.number).collect();
        assert_eq!(numbers, [3]);
    }

    #[test]
    fn a_bomb_is_refused() {
        let bomb = vec![0; 30 * 1024 * 1024];
        let bytes = deflated(&[("plan.toml", b"x"), ("photos/1.png", &bomb)]);
        assert!(bytes.len() < 100_000, "{}", bytes.len());
        let words = unpack(&bytes).unwrap_err();
        assert!(
            words.contains("“photos/1.png” would unpack to more"),
            "{words}"
        );
        let many: Vec<String> = (1..=301).map(|n| format!("photos/{n}.png")).collect();
        let many: Vec<(&str, &[u8])> = many.iter().map(|n| (n.as_str(), &b"x"[..])).collect();
        assert!(unpack(&deflated(&many)).unwrap_err().contains("300"));
    }

    #[test]
    fn what_holds_no_quilt_is_told() {
        let no_plan = unpack(&deflated(&[("readme.txt", b"x")])).unwrap_err();
        assert!(no_plan.contains("no plan.toml"), "{no_plan}");
        let twice = deflated(&[("plan.toml", b"x"), ("plan.toml", b"y")]);
        assert!(unpack(&twice).unwrap_err().contains("twice"));
        assert!(unpack(b"PK\x03\x04 and nothing else").is_err());
    }
}
