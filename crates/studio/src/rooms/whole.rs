//! A quilt as one file, out and in; and another begun from one there is.

use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{DefaultBodyLimit, State};
use axum::response::Response;
use axum::routing::{MethodRouter, post};
use quilt::plan::Edit;
use serde_json::json;

use super::photos::{not_taken, unpacking};
use super::{Answer, House, No};
use crate::bundle::{self, MOST_BYTES, Packed};
use crate::files;
use crate::quilts::{Quilts, Standing, Trouble};

pub(super) fn route() -> MethodRouter<House> {
    post(bring).layer(DefaultBodyLimit::max(MOST_BYTES))
}

/// Takes a quilt in that left as one file.
async fn bring(State(house): State<House>, body: Result<Bytes, BytesRejection>) -> Response {
    let body = match body {
        Ok(body) => body,
        Err(rejection) => return not_taken(rejection.status(), "file", MOST_BYTES),
    };
    unpacking(house, move |house| {
        let id = brought(house, &body)?;
        Ok(Answer::Json(json!({ "go": format!("/quilt/{id}/block") })))
    })
    .await
}

fn brought(house: &Quilts, body: &[u8]) -> Result<i64, Trouble> {
    if !bundle::is_one(body) {
        return Err(Trouble::Deed(
            "This is no quilt with its photographs (a file that ends in .zip).".into(),
        ));
    }
    let found = bundle::unpack(body).map_err(Trouble::Deed)?;
    planfile::read("plan.toml", &found.plan).map_err(|troubles| {
        Trouble::Deed(planfile::render("plan.toml", &found.plan, &troubles, false))
    })?;
    let mut photos = Vec::new();
    for packed in found.photos {
        let kept = photo::keep(&packed.bytes)
            .map_err(|fault| Trouble::Deed(format!("“{}”: {fault}.", packed.name)))?;
        let rest = Packed {
            bytes: Vec::new(),
            ..packed
        };
        photos.push((rest, kept));
    }
    Ok(house
        .store
        .begin_with("Open a quilt file", &found.plan, &photos)?)
}

/// The quilt with its photographs, to be kept elsewhere or passed on.
pub(super) fn file(house: &Quilts, now: &Standing) -> Result<Answer, No> {
    let photos = house.store.photos_to_pack(now.kept.id, &now.photos)?;
    let bytes = bundle::pack(&now.kept.plan, &photos).map_err(Trouble::Deed)?;
    let name = files::named(&now.plan, "quilt.zip");
    Ok(Answer::File("application/zip", Some(name), bytes))
}

/// Another quilt begun from one there is; its number.
pub(super) fn copy(house: &Quilts, id: i64) -> Result<i64, Trouble> {
    let now = house.open(id)?.standing(&house.store)?;
    let title: String = format!("{}, another", now.plan.title)
        .chars()
        .take(100)
        .collect();
    let plan = now
        .plan
        .with(&Edit::SetTitle(title))
        .map_err(|refusal| Trouble::Deed(refusal.to_string()))?;
    let text = planfile::write_change(&now.kept.plan, &now.plan, &plan)
        .ok()
        .filter(|text| planfile::read("the copy", text).as_ref() == Ok(&plan))
        .unwrap_or_else(|| planfile::write(&plan));
    let says = format!("Begin from {}", now.plan.title);
    Ok(house.store.copy(id, &says, &text)?)
}
