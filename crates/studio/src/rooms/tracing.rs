//! A photograph beneath a block while it is traced: laid, squared, taken away.
//!
//! It is kept with the quilt, but is no part of its plan: the history does not know of it,
//! and nothing that is printed shows it.

use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::response::Response;
use serde_json::json;

use super::{Answer, House, No, aside};
use crate::deeds::Asked;
use crate::quilts::{Quilts, Trouble};
use crate::store::{Kind, Tracing};

/// How strongly a photograph shows at first, of a hundred.
const STRENGTH: u32 = 60;
/// Pixels of the longer side of a squared photograph.
const SQUARED: f64 = 900.0;

/// Changes what lies beneath a block.
pub(super) async fn change(
    State(house): State<House>,
    Path(id): Path<i64>,
    body: Bytes,
) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        let block: usize = asked.number("block").map_err(Trouble::Deed)?;
        if block >= now.plan.blocks.len() {
            return Err(Trouble::Deed("There is no such block in the plan.".into()).into());
        }
        let lies = || {
            let tracing = house.store.tracing(id, block)?;
            let nothing = || Trouble::Deed("No photograph lies beneath this block.".into());
            tracing.ok_or_else(nothing)
        };
        let says = match asked.word("do").map_err(Trouble::Deed)? {
            "lay" => {
                let photo = asked.number("photo").map_err(Trouble::Deed)?;
                let at_hand = house.store.photos(id, Kind::Tracing)?;
                if !at_hand.iter().any(|line| line.number == photo) {
                    return Err(
                        Trouble::Deed("There is no such photograph to trace.".into()).into(),
                    );
                }
                let tracing = Tracing {
                    photo,
                    corners: None,
                    strength: STRENGTH,
                };
                house.store.trace(id, block, &tracing)?;
                "The photograph is here. Say where the four corners of the block are in it."
            }
            "corners" => {
                let corners = asked.word("corners").map_err(Trouble::Deed)?;
                let corners = Tracing::corners_in(corners).ok_or_else(|| {
                    Trouble::Deed("The corners could not be read; set them again.".into())
                })?;
                let tracing = Tracing {
                    corners: Some(corners),
                    ..lies()?
                };
                // Only corners that can be squared are kept.
                squared(&house, id, &tracing, [2, 2])?;
                house.store.trace(id, block, &tracing)?;
                "The photograph lies square beneath the block."
            }
            "strength" => {
                let strength: u32 = asked.number("strength").map_err(Trouble::Deed)?;
                let tracing = Tracing {
                    strength: strength.min(100),
                    ..lies()?
                };
                house.store.trace(id, block, &tracing)?;
                "Kept."
            }
            "away" => {
                house.store.untrace(id, block)?;
                "The photograph is taken away; it is kept, and can be laid again."
            }
            _ => return Err(No::Nowhere),
        };
        open.tell_again();
        Ok(Answer::Json(json!({ "says": says })))
    })
    .await
}

/// The photograph beneath a block, squared to it.
pub(super) fn picture(
    house: &Quilts,
    id: i64,
    plan: &quilt::plan::Plan,
    block: usize,
) -> Result<Answer, No> {
    let of = plan.blocks.get(block).ok_or(No::Nowhere)?;
    let tracing = house.store.tracing(id, block)?.ok_or(No::Nowhere)?;
    let (width, height) = (of.width.to_f64(), of.height.to_f64());
    let pixels = |side: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between one and nine hundred"
        )]
        let pixels = (SQUARED * side / width.max(height))
            .round()
            .clamp(1.0, SQUARED) as usize;
        pixels
    };
    let bytes = squared(house, id, &tracing, [pixels(width), pixels(height)])?;
    let kind = if bytes.starts_with(b"\x89PNG") {
        "image/png"
    } else {
        "image/jpeg"
    };
    Ok(Answer::File(kind, None, bytes))
}

fn squared(house: &Quilts, id: i64, tracing: &Tracing, size: [usize; 2]) -> Result<Vec<u8>, No> {
    let corners = tracing.corners.ok_or(No::Nowhere)?;
    let (_, bytes) = house
        .store
        .photo(id, tracing.photo, true)?
        .ok_or(No::Nowhere)?;
    let trouble = |words: String| No::from(Trouble::Deed(words));
    let read = photo::read(&bytes).map_err(|fault| trouble(format!("The photograph: {fault}.")))?;
    #[expect(clippy::cast_precision_loss, reason = "a thousand pixels")]
    let sides = [read.width as f64, read.height as f64];
    let corners =
        corners.map(|corner| [0, 1].map(|axis| f64::from(corner[axis]) / 10_000.0 * sides[axis]));
    let made = photo::squared(&read, &corners, size).ok_or_else(|| {
        trouble(
            "These corners do not go round: upper left, upper right, lower right, lower left. Set them again.".into(),
        )
    })?;
    let kept = photo::packed(made).map_err(|fault| trouble(format!("The photograph: {fault}.")))?;
    Ok(kept.bytes)
}
