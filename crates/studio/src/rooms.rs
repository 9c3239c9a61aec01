//! Which address leads where.
//!
//! ```text
//!   GET  /                              the shelf
//!   GET  /quilt/{id}/{screen}           a screen; ?part=1: only what changes, as JSON
//!   GET  /quilt/{id}/geometry           the picture's patches
//!   GET  /quilt/{id}/told               a line whenever the quilt has changed
//!   GET  /errand/{name}                 how far something waited for is; POST …/stop
//!   POST /quilt/{id}/do · go · tick     a gesture; a step of the history; a tick
//!   POST /quilt/{id}/moment             gives the moment a name
//!   POST /quilt/{id}/photo?kind=&name=  a photograph, as its bytes
//!   POST /quilt/{id}/marks              what the maker says about a photograph
//!   GET  /quilt/{id}/measured/{number}  what is read off it
//!   GET  /quilt/{id}/photo/{number}     the same as it is kept; photo/small/{number} to show
//!   POST /quilt/{id}/tracing            what lies beneath a block while it is traced
//!   GET  /quilt/{id}/ends/{block}-{n}-{dot}  true points a seam from that dot may end at
//!   GET  /quilt/{id}/step · back · where/{list}/{n}   a step's drawings and places
//!   GET  /quilt/{id}/….svg .pdf .dxf …  files
//!   POST /shelf                         begin, open, put away
//!   POST /shelf/file                    a quilt with its photographs, as its bytes
//! ```
//!
//! Whatever works anything out runs beside the threads that answer, so that a slow sum in
//! one window does not hold up another; if it fails, its request alone fails.

use std::convert::Infallible;
use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, RawQuery, State};
use axum::http::{StatusCode, header};
use axum::middleware;
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Router, body::Body};
use booklet::Booklet;
use futures_util::stream;
use quilt::results::Results;
use serde_json::{Value, json};

use crate::deeds::{Asked, fresh_block};
use crate::files;
use crate::gate::{Gate, guard};
use crate::look::Look;
use crate::marks::{self, Marks};
use crate::pages::{self, Asking, Beneath, Screen, View};
use crate::quilts::{Change, Open, Quilts, Standing, Trouble};
use crate::steps::{self, List};
use crate::store::{Fault, Kind};
use crate::waits::{self, Hung, Wall};

mod photos;
mod tracing;
mod whole;

/// Most bytes of a gesture; a plan file may be larger.
const GESTURE: usize = 256 * 1024;
/// Most bytes of a plan file with what JSON adds to it.
const PLAN: usize = 2 * 1024 * 1024;
/// Lines of the history a page shows.
const PAST: u32 = 200;

type House = Arc<Quilts>;

/// All rooms, behind the gate.
pub(crate) fn rooms(quilts: Quilts, gate: Gate) -> Router {
    let shelf = post(on_shelf).layer(DefaultBodyLimit::max(PLAN));
    Router::new()
        .route("/", get(shelf_page))
        .route("/shelf", shelf)
        .route("/shelf/file", whole::route())
        .route("/assets/{name}", get(asset))
        .route("/quilt/{id}/do", post(make))
        .route("/quilt/{id}/go", post(go))
        .route("/quilt/{id}/tick", post(tick))
        .route("/quilt/{id}/moment", post(name_moment))
        .route("/quilt/{id}/told", get(told))
        .route("/quilt/{id}/photo", photos::route())
        .route("/quilt/{id}/marks", post(photos::mark))
        .route("/quilt/{id}/measured/{number}", get(photos::measured))
        .route("/errand/{name}", get(errand))
        .route("/errand/{name}/stop", post(stop))
        .route("/quilt/{id}/tracing", post(tracing::change))
        .route("/quilt/{id}/{what}", get(room))
        .route("/quilt/{id}/{what}/{which}", get(inner_room))
        .route("/quilt/{id}/{what}/{which}/{number}", get(innermost_room))
        .fallback(nowhere)
        .layer(DefaultBodyLimit::max(GESTURE))
        .with_state(Arc::new(quilts))
        .layer(middleware::from_fn_with_state(gate, guard))
}

/// What a room hands back.
enum Answer {
    Html(String),
    Json(Value),
    /// A file to look at or to keep: its kind, the name it is kept under, its bytes.
    File(&'static str, Option<String>, Vec<u8>),
    /// A picture that stays what it is: its kind, its bytes.
    Lasting(&'static str, Vec<u8>),
    /// It is to be had at another address of ours.
    Elsewhere(String),
}

/// Why there is no answer.
enum No {
    Trouble(Trouble),
    Nowhere,
}

impl From<Trouble> for No {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

impl From<Fault> for No {
    fn from(fault: Fault) -> Self {
        Self::Trouble(fault.into())
    }
}

/// Runs `work` beside the answering threads.
async fn aside(work: impl FnOnce() -> Result<Answer, No> + Send + 'static) -> Response {
    match tokio::task::spawn_blocking(work).await {
        Ok(Ok(answer)) => answered(answer),
        Ok(Err(no)) => refused(no),
        Err(_) => trouble(
            StatusCode::INTERNAL_SERVER_ERROR,
            "Something went wrong inside the program; your quilt is kept as it was. Please tell the makers of Piecewright what you did.",
        ),
    }
}

fn answered(answer: Answer) -> Response {
    match answer {
        Answer::Html(page) => {
            ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page).into_response()
        }
        Answer::Json(value) => (
            [(header::CONTENT_TYPE, "application/json")],
            value.to_string(),
        )
            .into_response(),
        Answer::Lasting(kind, bytes) => (
            [
                (header::CONTENT_TYPE, kind),
                (header::CACHE_CONTROL, "private, max-age=86400, immutable"),
            ],
            bytes,
        )
            .into_response(),
        Answer::Elsewhere(to) => (StatusCode::SEE_OTHER, [(header::LOCATION, to)]).into_response(),
        Answer::File(kind, name, bytes) => {
            let mut response = Response::new(Body::from(bytes));
            let headers = response.headers_mut();
            if let Ok(kind) = kind.parse() {
                headers.insert(header::CONTENT_TYPE, kind);
            }
            if let Some(name) = name
                && let Ok(value) = format!("attachment; filename=\"{name}\"").parse()
            {
                headers.insert(header::CONTENT_DISPOSITION, value);
            }
            response
        }
    }
}

fn refused(no: No) -> Response {
    match no {
        No::Nowhere => trouble(StatusCode::NOT_FOUND, "There is no such page."),
        No::Trouble(Trouble::Store(Fault::NotThere)) => {
            trouble(StatusCode::NOT_FOUND, &Fault::NotThere.to_string())
        }
        No::Trouble(Trouble::Store(Fault::Overtaken)) => {
            trouble(StatusCode::CONFLICT, &Fault::Overtaken.to_string())
        }
        No::Trouble(Trouble::Store(fault)) => {
            trouble(StatusCode::INTERNAL_SERVER_ERROR, &fault.to_string())
        }
        No::Trouble(Trouble::Deed(words)) => trouble(StatusCode::UNPROCESSABLE_ENTITY, &words),
    }
}

/// Trouble as a page that also reads as one sentence.
fn trouble(status: StatusCode, words: &str) -> Response {
    let page = pages::trouble_page("That did not work", words);
    (
        status,
        [
            (header::CONTENT_TYPE, "text/html; charset=utf-8".to_owned()),
            // For the scripts, which show it in the status line.
            (header::HeaderName::from_static("x-trouble"), percent(words)),
        ],
        page,
    )
        .into_response()
}

/// Words fit for a header: everything but plain letters written as %XX.
fn percent(words: &str) -> String {
    words
        .bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}

async fn nowhere() -> Response {
    refused(No::Nowhere)
}

async fn asset(Path(name): Path<String>) -> Response {
    let (kind, bytes): (&str, &'static [u8]) = match name.as_str() {
        "studio.css" => ("text/css", include_bytes!("../assets/studio.css")),
        "errand.js" => ("text/javascript", include_bytes!("../assets/errand.js")),
        "studio.js" => ("text/javascript", include_bytes!("../assets/studio.js")),
        "cloth.js" => ("text/javascript", include_bytes!("../assets/cloth.js")),
        "picture.js" => ("text/javascript", include_bytes!("../assets/picture.js")),
        "trace.js" => ("text/javascript", include_bytes!("../assets/trace.js")),
        "board.js" => ("text/javascript", include_bytes!("../assets/board.js")),
        "shelf.js" => ("text/javascript", include_bytes!("../assets/shelf.js")),
        "light.js" => ("text/javascript", include_bytes!("../assets/light.js")),
        "icon.svg" => ("image/svg+xml", include_bytes!("../assets/icon.svg")),
        "letters.ttf" => ("font/ttf", ttf_inter::REGULAR),
        _ => return refused(No::Nowhere),
    };
    let mut headers = vec![(header::CONTENT_TYPE, kind)];
    if name == "letters.ttf" {
        // The one large file; it does not change while the program runs.
        headers.push((header::CACHE_CONTROL, "private, max-age=86400"));
    }
    let mut response = Response::new(Body::from(bytes));
    for (name, value) in headers {
        if let Ok(value) = value.parse() {
            response.headers_mut().insert(name, value);
        }
    }
    response
}

async fn shelf_page(State(house): State<House>) -> Response {
    aside(move || {
        let shelved = |away: bool| -> Result<Vec<pages::Shelved>, No> {
            let ids = house.store.shelf(away)?;
            ids.into_iter().map(|id| shelved(&house, id)).collect()
        };
        let demos = crate::DEMOS.map(|(key, title, _)| (key, title));
        Ok(Answer::Html(pages::shelf(
            &shelved(false)?,
            &shelved(true)?,
            &demos,
        )))
    })
    .await
}

fn shelved(house: &Quilts, id: i64) -> Result<pages::Shelved, No> {
    let now = house.open(id)?.standing(&house.store)?;
    let size = now.look.top().map_or_else(
        || "not whole yet".into(),
        |top| {
            format!(
                "{} finished",
                now.plan.measure.near_size(&top.width, &top.height)
            )
        },
    );
    Ok(pages::Shelved {
        id,
        turned: now.kept.turned,
        title: now.plan.title.clone(),
        size,
        says: now.kept.says.clone(),
    })
}

async fn on_shelf(State(house): State<House>, body: Bytes) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let go = |id: i64| Ok(Answer::Json(json!({ "go": format!("/quilt/{id}/block") })));
        match asked.word("do").map_err(Trouble::Deed)? {
            "begin" => {
                let plan = fresh(&asked).map_err(Trouble::Deed)?;
                go(house.begin("Begin the quilt", &plan, None)?)
            }
            "demo" => {
                let key = asked.word("demo").map_err(Trouble::Deed)?;
                let demo = crate::DEMOS.iter().find(|(known, ..)| *known == key);
                let (_, title, text) = demo.ok_or(No::Nowhere)?;
                let plan = planfile::read(title, text).map_err(|_| No::Nowhere)?;
                go(house.begin(&format!("Look at {title}"), &plan, Some(text))?)
            }
            "open" => {
                let text = asked.word("text").map_err(Trouble::Deed)?;
                let plan = planfile::read("the file", text).map_err(|troubles| {
                    Trouble::Deed(planfile::render("the file", text, &troubles, false))
                })?;
                go(house.begin("Open a plan file", &plan, Some(text))?)
            }
            "copy" => {
                let id = asked.number("quilt").map_err(Trouble::Deed)?;
                go(whole::copy(&house, id)?)
            }
            word @ ("away" | "back") => {
                let id = asked.number("quilt").map_err(Trouble::Deed)?;
                house.store.put_away(id, word == "away")?;
                Ok(Answer::Json(json!({ "go": "/" })))
            }
            _ => Err(No::Nowhere),
        }
    })
    .await
}

/// A quilt to begin with: one plain square, laid four by four.
fn fresh(asked: &Asked) -> Result<quilt::plan::Plan, String> {
    use quilt::measure::Measure;
    let measure = match asked.word("measure")? {
        "cm" => Measure::Centimetre,
        _ => Measure::Inch,
    };
    let across: i64 = asked.number("across")?;
    if !(1..=24).contains(&across) {
        return Err("A block is divided into one to twenty-four squares.".into());
    }
    let text = match measure {
        Measure::Inch => include_str!("../assets/fresh-inch.toml"),
        Measure::Centimetre => include_str!("../assets/fresh-cm.toml"),
    };
    let mut plan = planfile::read("a fresh plan", text)
        .map_err(|_| "The fresh plan could not be read.".to_owned())?;
    let title = asked.word("title")?;
    if title.is_empty() || title.chars().count() > 100 {
        return Err("A quilt needs a name of one to a hundred letters.".into());
    }
    plan.title = title.to_owned();
    // As many squares as asked for, each a round size.
    let square = match measure {
        Measure::Inch => geometry::Surd::int(if across <= 4 { 3 } else { 2 }),
        Measure::Centimetre => {
            measure.inches(&geometry::Surd::int(if across <= 4 { 8 } else { 5 }))
        }
    };
    let size = square.times(across);
    plan.blocks = vec![fresh_block("Block 1", size, quilt::plan::ClothId(0))];
    Ok(plan)
}

async fn make(State(house): State<House>, Path(id): Path<i64>, body: Bytes) -> Response {
    let asked = match Asked::new(&body) {
        Ok(asked) => asked,
        Err(words) => return refused(No::Trouble(Trouble::Deed(words))),
    };
    // It looks at a photograph again.
    if asked.text("do") == Some("take-cloth") {
        return photos::take(house, id, asked).await;
    }
    aside(move || {
        let turned = asked.number("turned").map_err(Trouble::Deed)?;
        let change = house.open(id)?.make(&house.store, turned, &asked)?;
        Ok(Answer::Json(told_of(&change)))
    })
    .await
}

async fn go(State(house): State<House>, Path(id): Path<i64>, body: Bytes) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let turned = asked.number("turned").map_err(Trouble::Deed)?;
        let open = house.open(id)?;
        let change = if asked.text("moment").is_some() {
            let moment = asked.number("moment").map_err(Trouble::Deed)?;
            open.go_to_moment(&house.store, turned, moment)?
        } else {
            let step = asked.number("step").map_err(Trouble::Deed)?;
            open.go_to(&house.store, turned, step)?
        };
        Ok(Answer::Json(told_of(&change)))
    })
    .await
}

/// Gives the moment a name, to go back to.
async fn name_moment(State(house): State<House>, Path(id): Path<i64>, body: Bytes) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let name = asked.word("moment").map_err(Trouble::Deed)?;
        if name.is_empty() || name.chars().count() > 100 {
            let words = "A moment needs a name of one to a hundred letters.";
            return Err(Trouble::Deed(words.into()).into());
        }
        let now = house.open(id)?.standing(&house.store)?;
        house.store.name_moment(id, name)?;
        Ok(Answer::Json(json!({
            "turned": now.kept.turned,
            "says": format!("This moment is kept as “{name}”."),
            "set": [],
            "whole": now.look.top().is_some(),
        })))
    })
    .await
}

fn told_of(change: &Change) -> Value {
    json!({
        "turned": change.now.kept.turned,
        "says": change.says,
        "set": change.patches,
        "whole": change.now.look.top().is_some(),
    })
}

async fn tick(State(house): State<House>, Path(id): Path<i64>, body: Bytes) -> Response {
    aside(move || {
        let asked = Asked::new(&body).map_err(Trouble::Deed)?;
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        let results = open.results(&now);
        let marks = Marks::of(&house.store, id)?;
        let marked = marks::read(&asked, &now.plan, &results, &marks).map_err(Trouble::Deed)?;
        let change = open.mark(&house.store, &marked.kept, &marked.marks)?;
        let mut told = told_of(&change);
        told["says"] = marked.says.into();
        told["at"] = marked.at.into();
        Ok(Answer::Json(told))
    })
    .await
}

/// A line whenever the quilt has changed, for windows that show it too.
async fn told(State(house): State<House>, Path(id): Path<i64>) -> Response {
    let Ok(open) = house.open(id) else {
        return refused(No::Nowhere);
    };
    let mut changes = open.listen();
    changes.mark_changed();
    let lines = stream::unfold(changes, |mut changes| async move {
        changes.changed().await.ok()?;
        let turned = *changes.borrow_and_update();
        let event = Event::default().data(turned.to_string());
        Some((Ok::<_, Infallible>(event), changes))
    });
    Sse::new(lines).into_response()
}

/// How far something is that a window waits for.
async fn errand(State(house): State<House>, Path(name): Path<String>) -> Response {
    match house.waits.errands.so_far(&name) {
        Some((done, of)) => answered(Answer::Json(json!({ "done": done, "of": of }))),
        None => answered(Answer::Json(json!({ "done": 0, "of": 0 }))),
    }
}

/// Stops something that a window waits for.
async fn stop(State(house): State<House>, Path(name): Path<String>, body: Bytes) -> Response {
    if Asked::new(&body).is_err() {
        return refused(No::Nowhere);
    }
    let stopped = house.waits.errands.stop(&name);
    answered(Answer::Json(json!({ "stopped": stopped })))
}

async fn room(
    State(house): State<House>,
    Path((id, what)): Path<(i64, String)>,
    RawQuery(query): RawQuery,
) -> Response {
    aside(move || {
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        match Screen::named(&what) {
            Some(screen) => {
                let asking = Asking::of(query.as_deref());
                let part = asking.word("part").is_some();
                let view = view(&house, &open, now, screen, asking)?;
                if part {
                    Ok(Answer::File(
                        "application/json",
                        None,
                        pages::fragments(&view).into_bytes(),
                    ))
                } else {
                    house.store.touch(id)?;
                    Ok(Answer::Html(pages::screen(&view)))
                }
            }
            None => file(&house, &open, &now, &what, query.as_deref()),
        }
    })
    .await
}

fn view(
    house: &Quilts,
    open: &Open,
    now: Arc<Standing>,
    screen: Screen,
    asking: Asking,
) -> Result<View, No> {
    let id = now.kept.id;
    let results = open.results(&now);
    let parts = waits::parts(&asking);
    let booklet = (screen == Screen::Booklet)
        .then(|| house.waits.booklet.get(&(now.moment(), parts)))
        .flatten();
    let wall = (screen == Screen::Setting && asking.word("wall").is_some())
        .then(|| wall(house, &now, &results, &asking))
        .flatten();
    let mut beneath = Beneath::default();
    if screen == Screen::Block {
        for block in 0..now.plan.blocks.len() {
            if let Some(tracing) = house.store.tracing(id, block)? {
                beneath.lies.insert(block, tracing);
            }
        }
        beneath.photos = house.store.photos(id, Kind::Tracing)?;
    }
    Ok(View {
        beneath,
        screen,
        results,
        wall,
        booklet,
        asking,
        photos: match screen {
            Screen::Cloth => house.store.photos(id, Kind::Cloth)?,
            _ => Vec::new(),
        },
        marks: Marks::of(&house.store, id)?,
        past: house.store.past(id, PAST)?,
        moments: house.store.moments(id)?,
        now,
    })
}

/// The wall of settings: as it was tried, or tried now where that takes no time worth
/// telling or the page asks for it in one piece.
fn wall(house: &Quilts, now: &Standing, results: &Results, asking: &Asking) -> Option<Arc<Wall>> {
    let hung = Hung::of(asking);
    let at_once = hung.side == 2 || asking.word("wait").is_some();
    let key = (now.moment(), hung.clone());
    house.waits.wall.get(&key).or_else(|| {
        let wall = at_once.then(|| Wall::of(&now.plan, results, &hung, None))??;
        Some(house.waits.wall.keep(key, wall))
    })
}

/// Sets the pages of the booklet a page asks for, or takes them as they were set. `None`
/// if whoever waited said stop.
fn set_booklet(
    house: &Quilts,
    open: &Open,
    now: &Standing,
    asking: &Asking,
) -> Result<Option<Arc<Booklet>>, No> {
    let key = (now.moment(), waits::parts(asking));
    if let Some(set) = house.waits.booklet.get(&key) {
        return Ok(Some(set));
    }
    let name = asking.word("errand").unwrap_or_default();
    let under_way = house.waits.errands.begin(name);
    let results = open.results(now);
    let watch = |done: usize, of: usize| under_way.errand.step(done, of);
    let set = Booklet::set_watched(&now.plan, &results, &key.1, &watch);
    let set = set.map_err(not_set)?;
    Ok(set.map(|set| house.waits.booklet.keep(key, set)))
}

fn not_set(trouble: booklet::Trouble) -> No {
    No::Trouble(Trouble::Deed(format!(
        "The booklet could not be made: {trouble}"
    )))
}

/// The files of a quilt by their names.
fn file(
    house: &Quilts,
    open: &Open,
    now: &Standing,
    what: &str,
    query: Option<&str>,
) -> Result<Answer, No> {
    let plan = &now.plan;
    let svg = |text: String| Answer::File("image/svg+xml", None, text.into_bytes());
    let look: &Look = &now.look;
    match what {
        "quilt.zip" => whole::file(house, now),
        "geometry" => Ok(Answer::File(
            "application/octet-stream",
            None,
            look.bytes(plan, &now.photos, now.kept.turned),
        )),
        "picture.svg" => Ok(svg(files::picture(plan, look))),
        "lines.svg" => files::lines(plan, look).map(svg).ok_or(No::Nowhere),
        "values.svg" => Ok(svg(files::values(plan, &look.laid))),
        "backing.svg" => {
            let other = Asking::of(query).word("way") == Some("other");
            files::backing(plan, &open.results(now), other)
                .map(svg)
                .ok_or(No::Nowhere)
        }
        "bed.svg" => files::bed(plan, look).map(svg).ok_or(No::Nowhere),
        "hung.svg" => {
            let asking = Asking::of(query);
            let cells = asking.word("cells").ok_or(No::Nowhere)?;
            pages::wall_svg(plan, &open.results(now), cells)
                .map(svg)
                .ok_or(No::Nowhere)
        }
        "leaves" => {
            let set = set_booklet(house, open, now, &Asking::of(query))?;
            Ok(Answer::Json(json!({ "stopped": set.is_none() })))
        }
        "wall" => {
            let asking = Asking::of(query);
            let hung = Hung::of(&asking);
            let key = (now.moment(), hung.clone());
            if house.waits.wall.get(&key).is_none() {
                let name = asking.word("errand").unwrap_or_default();
                let under_way = house.waits.errands.begin(name);
                let results = open.results(now);
                let wall = Wall::of(plan, &results, &hung, Some(&under_way.errand));
                house.waits.wall.keep(key, wall.ok_or(No::Nowhere)?);
            }
            Ok(Answer::Json(json!({ "stopped": false })))
        }
        "plan.toml" => Ok(Answer::File(
            "application/toml",
            Some(files::named(plan, "toml")),
            now.kept.plan.clone().into_bytes(),
        )),
        "booklet.pdf" => {
            let set = set_booklet(house, open, now, &Asking::of(query))?;
            let pdf = set.ok_or(No::Nowhere)?.pdf().map_err(not_set)?;
            Ok(Answer::File(
                "application/pdf",
                Some(files::named(plan, "pdf")),
                pdf,
            ))
        }
        "steps.html" => Ok(Answer::File(
            "text/html; charset=utf-8",
            Some(files::named(plan, "html")),
            files::away(plan, &open.results(now)).into_bytes(),
        )),
        _ => Err(No::Nowhere),
    }
}

/// Pixels an inch a page of the booklet may be looked at with: small, to read, closer.
const PIXELS: [usize; 3] = [40, 110, 200];

async fn inner_room(
    State(house): State<House>,
    Path((id, what, which)): Path<(i64, String, String)>,
    RawQuery(query): RawQuery,
) -> Response {
    aside(move || {
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        let plan = &now.plan;
        let svg = |text: String| Answer::File("image/svg+xml", None, text.into_bytes());
        let number = || which.parse::<usize>().map_err(|_| No::Nowhere);
        match what.as_str() {
            "photo" => {
                let number = which.parse().map_err(|_| No::Nowhere)?;
                photos::picture(&house, id, number, false)
            }
            "swatch" => match photos::swatch(&now, number()?) {
                Some(photo) => Ok(photo),
                None => files::swatch(plan, number()?).map(svg).ok_or(No::Nowhere),
            },
            "leaf" => {
                let asking = Asking::of(query.as_deref());
                let set = set_booklet(&house, &open, &now, &asking)?.ok_or(No::Nowhere)?;
                let wanted = asking.number("px").filter(|px| PIXELS.contains(px));
                let pixels = wanted.unwrap_or(PIXELS[1]);
                let png = set.png(number()?, pixels as f64).map_err(not_set)?;
                Ok(Answer::File("image/png", None, png.ok_or(No::Nowhere)?))
            }
            "block" => files::block(plan, &now.look, number()?)
                .map(svg)
                .ok_or(No::Nowhere),
            "construction" => files::construction(plan, &which)
                .map(svg)
                .ok_or(No::Nowhere),
            "where" => files::not_straight(plan, &now.look, &which)
                .map(svg)
                .ok_or(No::Nowhere),
            "traced" => tracing::picture(&house, id, plan, number()?),
            "ends" => pages::ends(plan, &which)
                .map(Answer::Json)
                .ok_or(No::Nowhere),
            "templates" => {
                let (index, ending) = which.split_once('.').ok_or(No::Nowhere)?;
                let index = index.parse().map_err(|_| No::Nowhere)?;
                let results = open.results(&now);
                match ending {
                    "svg" => {
                        let text = files::templates_svg(plan, &results, index);
                        let name = files::named(plan, "templates.svg");
                        let text = text.ok_or(No::Nowhere)?;
                        Ok(Answer::File("image/svg+xml", Some(name), text.into_bytes()))
                    }
                    "dxf" => {
                        let text = files::templates_dxf(&results, index).ok_or(No::Nowhere)?;
                        let name = files::named(plan, "templates.dxf");
                        Ok(Answer::File("image/vnd.dxf", Some(name), text.into_bytes()))
                    }
                    _ => Err(No::Nowhere),
                }
            }
            "so-far" => {
                let list = List::named(&which).ok_or(No::Nowhere)?;
                let ticks = house.store.ticks(id, list.word())?;
                let results = open.results(&now);
                let states = steps::so_far(list, plan, &results, &now.look, &ticks);
                Ok(Answer::Json(json!(states)))
            }
            _ => Err(No::Nowhere),
        }
    })
    .await
}

async fn innermost_room(
    State(house): State<House>,
    Path((id, what, which, number)): Path<(i64, String, String, usize)>,
    RawQuery(query): RawQuery,
) -> Response {
    aside(move || {
        if (what.as_str(), which.as_str()) == ("photo", "small") {
            let number = i64::try_from(number).map_err(|_| No::Nowhere)?;
            return photos::picture(&house, id, number, true);
        }
        let list = List::named(&which).ok_or(No::Nowhere)?;
        let open = house.open(id)?;
        let now = open.standing(&house.store)?;
        let results = open.results(&now);
        let lines = steps::lines(list, &now.plan, &results);
        let line = lines.get(number).ok_or(No::Nowhere)?;
        let drawing = match what.as_str() {
            "step" => line.drawing(&now.plan, &results),
            "back" => line.back(&now.plan, &results),
            "where" => {
                let found = steps::places(list, &results, &now.look, &lines, number);
                return Ok(Answer::Json(json!(found)));
            }
            _ => None,
        };
        let drawing = drawing.ok_or(No::Nowhere)?;
        let wide = Asking::of(query.as_deref()).number("wide");
        let wide = wide.and_then(|wide| u32::try_from(wide).ok());
        let wide = wide.unwrap_or(440).clamp(200, 1200);
        let (text, _) = files::on_screen(&now.plan, &drawing, wide, pages::step_high(wide));
        Ok(Answer::File("image/svg+xml", None, text.into_bytes()))
    })
    .await
}
