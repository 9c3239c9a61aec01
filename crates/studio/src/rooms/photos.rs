//! Photographs: taken in, given back.
//!
//! What comes in is a stranger's file. Its kind is told by its bytes, its size by its
//! header; it is unpacked beside the answering threads, one at a time, and only what was
//! written anew from its pixels is kept.

use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{DefaultBodyLimit, Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{MethodRouter, post};
use serde_json::json;

use super::{Answer, House, No, aside, told_of, trouble};
use crate::deeds::{self, Asked};
use crate::measuring::{self, Marks};
use crate::pages;
use crate::quilts::{Quilts, Standing, Trouble};
use crate::store::{Kind, NewPhoto, PhotoLine};

/// Most bytes of a photograph.
pub(super) const MOST: usize = 20 * 1024 * 1024;

pub(super) fn route() -> MethodRouter<House> {
    post(add).layer(DefaultBodyLimit::max(MOST))
}

async fn add(
    State(house): State<House>,
    Path(id): Path<i64>,
    RawQuery(query): RawQuery,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    let body = match body {
        Ok(body) => body,
        Err(rejection) => return not_taken(rejection.status(), "picture", MOST),
    };
    unpacking(house, move |house| {
        let asked = |name: &str| asked(query.as_deref(), name);
        let kind = asked("kind").and_then(|word| Kind::named(&word));
        let kind = kind.ok_or_else(|| {
            Trouble::Deed("The page did not say what the photograph is for; load it again.".into())
        })?;
        let name = name(&asked("name").unwrap_or_default());
        house.store.turned(id)?;
        let kept =
            photo::keep(&body).map_err(|fault| Trouble::Deed(format!("“{name}”: {fault}.")))?;
        let new = NewPhoto {
            name: &name,
            kind,
            kept: &kept,
        };
        let number = house.store.add_photo(id, &new)?;
        let number = number.ok_or_else(full)?;
        house.open(id)?.tell_again();
        Ok(Answer::Json(json!({
            "number": number, "wide": kept.width, "high": kept.height,
        })))
    })
    .await
}

/// Runs `work` beside the answering threads when no other picture is being unpacked.
pub(super) async fn unpacking(
    house: House,
    work: impl FnOnce(&Quilts) -> Result<Answer, No> + Send + 'static,
) -> Response {
    let Ok(turn) = house.unpacking.clone().acquire_owned().await else {
        return trouble(StatusCode::SERVICE_UNAVAILABLE, "The studio is closing.");
    };
    aside(move || {
        let _turn = turn;
        work(&house)
    })
    .await
}

/// What the maker says about a photograph; kept at once.
pub(super) async fn mark(State(house): State<House>, Path(id): Path<i64>, body: Bytes) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let number = asked.number("photo").map_err(Trouble::Deed)?;
        house.store.turned(id)?;
        if asked.text("do") == Some("away") {
            house.store.put_photo_away(id, number, true)?;
            house.open(id)?.tell_again();
            return Ok(Answer::Json(
                json!({ "says": "Put away. Cloth that was taken from it stays." }),
            ));
        }
        let marks = Marks::of(asked.fields());
        house.store.mark_photo(id, number, &marks.written())?;
        house.open(id)?.tell_again();
        Ok(Answer::Json(json!({ "says": "Kept." })))
    })
    .await
}

/// What is read off a photograph, as a piece of a page.
pub(super) async fn measured(
    State(house): State<House>,
    Path((id, number)): Path<(i64, i64)>,
) -> Response {
    unpacking(house, move |house| {
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        let measure = now.plan.measure;
        let found = house.lately.found(&house.store, id, number, measure)?;
        let (line, bytes) = house.store.photo(id, number, false)?.ok_or(No::Nowhere)?;
        let name = PhotoLine::file_name(number, &bytes);
        Ok(Answer::Html(pages::measured(&now, &line, &name, &found)))
    })
    .await
}

/// Makes a cloth of a photograph, or shows a cloth by it: one gesture.
pub(super) async fn take(house: House, id: i64, asked: Asked) -> Response {
    unpacking(house, move |house| {
        let turned = asked.number("turned").map_err(Trouble::Deed)?;
        let number = asked.number("photo").map_err(Trouble::Deed)?;
        let open = house.open(id)?;
        let change = open.make_as(&house.store, turned, |now| {
            taken(house, id, number, now, &asked)
        })?;
        Ok(Answer::Json(told_of(&change)))
    })
    .await
}

fn taken(
    house: &Quilts,
    id: i64,
    number: i64,
    now: &Standing,
    asked: &Asked,
) -> Result<deeds::Deed, Trouble> {
    let measure = now.plan.measure;
    let found = house.lately.found(&house.store, id, number, measure)?;
    let found = found.as_ref().as_ref();
    let found = found.map_err(|words| Trouble::Deed(words.clone()))?;
    let gone = || Trouble::Deed("That photograph is not there any more.".into());
    let (line, bytes) = house.store.photo(id, number, false)?.ok_or_else(gone)?;
    // Asked first, so that nothing is kept of a gesture that is refused.
    let name = PhotoLine::file_name(number, &bytes);
    let deed = deeds::take(asked, &now.plan, found, &name).map_err(Trouble::Deed)?;
    let marks = Marks::read(&line.marks);
    let alone = measuring::alone(&bytes, &marks, measure).map_err(Trouble::Deed)?;
    let Some(alone) = alone else {
        return Ok(deed);
    };
    let new = NewPhoto {
        name: &line.name,
        kind: Kind::Cloth,
        kept: &alone,
    };
    let number = house.store.add_photo(id, &new)?.ok_or_else(full)?;
    // The picture that was tapped on stays on the table, its cut-out behind the cloth.
    house.store.put_photo_away(id, number, true)?;
    let name = PhotoLine::file_name(number, &alone.bytes);
    deeds::take(asked, &now.plan, found, &name).map_err(Trouble::Deed)
}

fn full() -> Trouble {
    Trouble::Deed("This quilt has 200 photographs, which is the most.".into())
}

/// Words for a file that did not come in whole.
pub(super) fn not_taken(status: StatusCode, what: &str, most: usize) -> Response {
    let words = if status == StatusCode::PAYLOAD_TOO_LARGE {
        format!(
            "This {what} is larger than {} MB, which is the most. Save it smaller; nothing was kept of it.",
            most / (1024 * 1024)
        )
    } else {
        format!("The {what} did not come in whole; choose it again.")
    };
    trouble(status, &words)
}

/// A photograph as it is kept, or its small copy.
pub(super) fn picture(house: &Quilts, id: i64, number: i64, small: bool) -> Result<Answer, No> {
    let found = house.store.photo(id, number, small)?;
    let (_, bytes) = found.ok_or(No::Nowhere)?;
    let kind = if bytes.starts_with(b"\x89PNG") {
        "image/png"
    } else {
        "image/jpeg"
    };
    // It never changes once it is there.
    Ok(Answer::Lasting(kind, bytes))
}

/// The photograph a cloth is shown by, if the store has it.
pub(super) fn swatch(now: &Standing, cloth: usize) -> Option<Answer> {
    let record = &now.plan.cloths.get(cloth)?.record;
    let number = PhotoLine::number_in(record.photo.as_deref()?)?;
    let there = now.photos.contains(&number);
    there.then(|| Answer::Elsewhere(format!("/quilt/{}/photo/small/{number}", now.kept.id)))
}

/// A value of the query, with what is written as %XX read.
fn asked(query: Option<&str>, name: &str) -> Option<String> {
    let pairs = query?.split('&');
    let value = pairs
        .filter_map(|pair| pair.split_once('='))
        .find_map(|(key, value)| (key == name).then_some(value))?;
    let mut bytes = Vec::with_capacity(value.len());
    let mut rest = value.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'%' => {
                let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
                let (high, low) = (digit(rest.next())?, digit(rest.next())?);
                u8::try_from(high * 16 + low).ok()?
            }
            b'+' => b' ',
            other => other,
        });
    }
    String::from_utf8(bytes).ok()
}

/// The maker's name of a picture: what stands before the ending of its file.
fn name(file: &str) -> String {
    let last = file.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = last.rsplit_once('.').map_or(last, |(stem, _)| stem);
    let plain: String = stem
        .chars()
        .filter(|c| !c.is_control())
        .map(|c| if c == '_' { ' ' } else { c })
        .take(80)
        .collect();
    let plain = plain.trim();
    if plain.is_empty() {
        "photograph".into()
    } else {
        plain.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_from_the_address() {
        let query = Some("kind=cloth&name=..%2Frust%20leaf_2.JPG");
        assert_eq!(asked(query, "kind").as_deref(), Some("cloth"));
        assert_eq!(name(&asked(query, "name").unwrap()), "rust leaf 2");
        assert_eq!(asked(Some("name=%zz"), "name"), None);
        assert_eq!(name("\u{7}.png"), "photograph");
    }
}
