//! What else is on record of a cloth: its photograph, where it is from, what was measured.
//!
//! **Units.** The sizes of a print are exact inches; colours and shares are plain numbers.

use geometry::Surd;
use quilt::plan::{Measured, Record};

use super::cloth::{DIRECTIONS, PRINTS};
use super::text_of;
use crate::desk::{Desk, Field, Limits, Section};

/// Longest note on the purchase, and longest way to a photograph, characters.
const LONGEST_SHOP: usize = 400;
const LONGEST_PHOTO: usize = 300;

/// Most cloth a photograph shows, inches.
const WIDEST: i64 = 400;

/// Most tags of a cloth.
const MOST_TAGS: usize = 40;

const MEASURED: [&str; 7] = [
    "lab",
    "spread",
    "busy",
    "scale",
    "repeat",
    "direction",
    "print",
];

/// Reads what else is on record.
pub(super) fn record(desk: &mut Desk, section: &Section) -> Option<Record> {
    let photo = desk.maybe(section, "photo", photo);
    let shows = desk.maybe(section, "shows", |d, f| {
        d.length(f, &Limits::above_nought(WIDEST))
    });
    let shop = desk.or(section, "shop", String::new(), |d, f| {
        text_of(d, f, LONGEST_SHOP, true)
    });
    let washed = desk.maybe(section, "washed", Desk::flag);
    let tags = desk.or(section, "tags", Vec::new(), tags);
    let measured = desk.maybe(section, "measured", measured);
    Some(Record {
        photo: photo?,
        shows: shows?,
        shop: shop?,
        washed: washed?,
        tags: tags?,
        measured: measured?,
    })
}

/// A file beside the plan or below it: a plan that is passed on must not reach for files
/// elsewhere on another's machine.
fn photo(desk: &mut Desk, field: &Field) -> Option<String> {
    let text = text_of(desk, field, LONGEST_PHOTO, false)?;
    let text = text.trim();
    let away = text.starts_with(['/', '\\', '~'])
        || text.contains(':')
        || text.split(['/', '\\']).any(|part| part == "..");
    if away {
        let mend =
            "Lay it beside the plan or in a folder there, and write it like photos/navy.jpg.";
        return desk.fault(field, "This photograph lies elsewhere.", mend);
    }
    Some(text.to_owned())
}

fn tags(desk: &mut Desk, field: &Field) -> Option<Vec<String>> {
    let entries = desk.list(field);
    if entries.len() > MOST_TAGS {
        let text = format!("There are more than {MOST_TAGS} tags.");
        return desk.fault(field, text, "Keep those you look for.");
    }
    let mut tags: Vec<String> = Vec::new();
    for entry in &entries {
        let tag = desk.name(entry, "A tag")?;
        if tags.contains(&tag) {
            let text = format!("The tag “{tag}” is here twice.");
            return desk.fault(entry, text, "Take one out.");
        }
        tags.push(tag);
    }
    Some(tags)
}

fn measured(desk: &mut Desk, field: &Field) -> Option<Measured> {
    let mend = "Write it like { lab = [62.1, 4, -12.3], spread = 18 }.";
    let section = desk.section(field, mend)?;
    desk.only(&section, &MEASURED);
    let lab = desk
        .need(
            &section,
            "lab",
            "Give L*, a* and b*: lab = [62.1, 4, -12.3].",
        )
        .and_then(|f| lab(desk, &f));
    let share = |desk: &mut Desk, key| desk.maybe(&section, key, |d, f| number(d, f, 0, 100));
    let spread = share(desk, "spread");
    let busy = share(desk, "busy");
    let size = Limits::above_nought(60);
    let scale = desk.maybe(&section, "scale", |d, f| d.length(f, &size));
    let repeat = desk.maybe(&section, "repeat", |d, f| d.size(f, &size));
    let direction = desk.maybe(&section, "direction", |d, f| d.choice(f, &DIRECTIONS));
    let print = desk.maybe(&section, "print", |d, f| d.choice(f, &PRINTS));
    Some(Measured {
        lab: lab?,
        spread: spread?,
        busy: busy?,
        scale: scale?,
        repeat: repeat?,
        direction: direction?,
        print: print?,
    })
}

fn lab(desk: &mut Desk, field: &Field) -> Option<[Surd; 3]> {
    let entries = desk.list(field);
    let [l, a, b] = entries.as_slice() else {
        let mend = "Write three numbers: lab = [62.1, 4, -12.3].";
        return desk.fault(field, "L*, a* and b* are wanted here.", mend);
    };
    let l = number(desk, l, 0, 100);
    let a = number(desk, a, -200, 200);
    let b = number(desk, b, -200, 200);
    Some([l?, a?, b?])
}

/// A plain number between two ends, without roots.
pub(super) fn number(desk: &mut Desk, field: &Field, least: i64, most: i64) -> Option<Surd> {
    let quantity = desk.quantity(field)?;
    let value = quantity.value;
    let fits = quantity.unit.is_none()
        && value.is_rational()
        && value >= Surd::int(least)
        && value <= Surd::int(most);
    if fits {
        return Some(value);
    }
    let text = format!("This must be a plain number from {least} to {most}.");
    desk.fault(
        field,
        text,
        format!("Write a number like {}.", (least + most) / 2 + 1),
    )
}
