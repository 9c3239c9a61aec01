//! Who may come in, checked before anything else looks at a request.
//!
//! ```text
//!   request ─▶ host ─▶ path ─▶ origin ─▶ where from ─▶ key ─▶ JSON or bytes ─▶ the rooms
//!                every answer, refusals too ◀─ policy headers
//! ```
//!
//! The studio listens on this machine only, but other web pages in the same browser can
//! send requests to it, and a name of theirs can be made to point here. So: the host must
//! be ours by its exact name and port; an `Origin`, whenever one is sent, must be ours,
//! with any method; a request to change protocols is never answered, since browsers send
//! no fetch metadata with it and cookies do not tell ports apart; other sites reach
//! nothing; and everything but the door itself asks for the key of this run.
//!
//! **What it does not do.** It keeps out web pages, not programs of the same user: those
//! can read the maker's files anyway.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

/// The key of one run and the address it serves.
#[derive(Clone, Debug)]
pub(crate) struct Gate {
    port: u16,
    key: String,
}

/// Sent with every answer.
const POLICY: [(HeaderName, &str); 8] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; \
         connect-src 'self'; font-src 'self'; form-action 'self'; base-uri 'none'; \
         frame-ancestors 'none'; object-src 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-embedder-policy"),
        "require-corp",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), payment=(), usb=(), screen-wake-lock=(self), fullscreen=(self)",
    ),
    (header::X_FRAME_OPTIONS, "DENY"),
];

impl Gate {
    /// A gate for this port with a fresh key of 256 bits.
    pub(crate) fn new(port: u16) -> std::io::Result<Self> {
        let mut bytes = [0_u8; 32];
        getrandom::fill(&mut bytes).map_err(|error| std::io::Error::other(error.to_string()))?;
        let key = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Self { port, key })
    }

    /// The address that opens the door, for the maker's own browser.
    pub(crate) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/open?key={}", self.port, self.key)
    }

    fn origin(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    fn cookie(&self) -> String {
        format!("piecewright-{}", self.port)
    }

    /// The refusal this request earns, if any.
    fn refusal(&self, method: &Method, uri: &Uri, headers: &HeaderMap) -> Option<Refused> {
        let hosts: Vec<&HeaderValue> = headers.get_all(header::HOST).iter().collect();
        let named = |host: &str| {
            ["127.0.0.1", "localhost", "[::1]"]
                .iter()
                .any(|name| host == format!("{name}:{}", self.port))
        };
        let host_known = match hosts.as_slice() {
            [one] => one.to_str().is_ok_and(named),
            _ => false,
        };
        if !host_known || uri.authority().is_some_and(|a| !named(a.as_str())) {
            return Some(Refused(StatusCode::MISDIRECTED_REQUEST, "Unknown host."));
        }
        // No address of ours holds any of these.
        let path = uri.path();
        if ["..", "//", "%", "\\"].iter().any(|odd| path.contains(odd)) {
            return Some(Refused(StatusCode::BAD_REQUEST, "There is no such page."));
        }
        let ours = self.origin();
        let mut origins = headers.get_all(header::ORIGIN).iter();
        if origins.any(|origin| origin != ours.as_str()) {
            return Some(Refused(StatusCode::FORBIDDEN, "Not from here."));
        }
        if headers.contains_key(header::UPGRADE) {
            return Some(Refused(StatusCode::FORBIDDEN, "Not spoken here."));
        }
        let sent = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
        let from = sent("sec-fetch-site").unwrap_or("none");
        let visit = method == Method::GET
            && sent("sec-fetch-mode") == Some("navigate")
            && sent("sec-fetch-dest") == Some("document");
        if !matches!(from, "same-origin" | "none") && !visit {
            return Some(Refused(StatusCode::FORBIDDEN, "Not from here."));
        }
        if method == Method::POST && !headers.contains_key(header::ORIGIN) {
            return Some(Refused(StatusCode::FORBIDDEN, "Not from here."));
        }
        let elsewhere = by_its_other_name(headers) && method == Method::GET;
        if path != "/open" && !elsewhere {
            match self.cookie_of(headers) {
                None => {
                    return Some(Refused(
                        StatusCode::UNAUTHORIZED,
                        "This page opens only from the address that “piecewright studio” prints.",
                    ));
                }
                Some(key) if !same(&key, &self.key) => {
                    return Some(Refused(
                        StatusCode::FORBIDDEN,
                        "This window belongs to an earlier run. Open the address that \
                         “piecewright studio” prints now.",
                    ));
                }
                Some(_) => {}
            }
        }
        if method == Method::POST {
            // Neither kind can be sent by a form of another page.
            let (wanted, words) = if brings_a_file(path) {
                ("application/octet-stream", "Files are sent as plain bytes.")
            } else {
                ("application/json", "Changes are sent as JSON.")
            };
            let kind = headers.get(header::CONTENT_TYPE);
            if kind.is_none_or(|kind| kind != wanted) {
                return Some(Refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, words));
            }
        }
        None
    }

    fn cookie_of(&self, headers: &HeaderMap) -> Option<String> {
        let wanted = self.cookie();
        let mut cookies = headers
            .get_all(header::COOKIE)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(';'));
        cookies.find_map(|pair| {
            let (name, value) = pair.trim().split_once('=')?;
            (name == wanted).then(|| value.to_owned())
        })
    }

    /// The answer at the door: the cookie for the right key, then on to the shelf or
    /// wherever `to` says.
    fn door(&self, uri: &Uri) -> Response {
        let query = uri.query().unwrap_or_default();
        let given = |name: &str| {
            query
                .split('&')
                .filter_map(|pair| pair.split_once('='))
                .find_map(|(key, value)| (key == name).then_some(value))
        };
        if !given("key").is_some_and(|key| same(key, &self.key)) {
            return Refused(
                StatusCode::FORBIDDEN,
                "That is not the address “piecewright studio” prints.",
            )
            .answer();
        }
        // A number only, so that the door leads nowhere else.
        let quilt = given("quilt").and_then(|id| id.parse::<i64>().ok());
        let to = quilt.map_or_else(|| "/".to_owned(), |id| format!("/quilt/{id}/block"));
        let cookie = format!(
            "{}={}; HttpOnly; SameSite=Strict; Path=/",
            self.cookie(),
            self.key
        );
        (
            StatusCode::SEE_OTHER,
            [(header::SET_COOKIE, cookie), (header::LOCATION, to)],
        )
            .into_response()
    }
}

/// Whether a file as it is, not JSON, is sent to this address.
fn brings_a_file(path: &str) -> bool {
    path == "/shelf/file" || (path.starts_with("/quilt/") && path.ends_with("/photo"))
}

/// Why a request is turned away.
#[derive(Clone, Copy, Debug)]
struct Refused(StatusCode, &'static str);

impl Refused {
    fn answer(self) -> Response {
        (self.0, format!("{}\n", self.1)).into_response()
    }
}

/// Compares without telling by its time how much agrees.
fn same(given: &str, key: &str) -> bool {
    given.len() == key.len()
        && given
            .bytes()
            .zip(key.bytes())
            .fold(0, |odd, (a, b)| odd | (a ^ b))
            == 0
}

/// The outermost layer.
pub(crate) async fn guard(
    State(gate): State<Gate>,
    request: Request<Body>,
    next: Next,
) -> Response {
    let (method, uri, headers) = (request.method(), request.uri(), request.headers());
    let mut answer = match gate.refusal(method, uri, headers) {
        Some(refused) => refused.answer(),
        None if method == Method::GET && uri.path() == "/open" => gate.door(uri),
        None if by_its_other_name(headers) && method == Method::GET => {
            // To the browser the two names are different sites, with different cookies.
            let path = uri.path_and_query().map_or("/", |path| path.as_str());
            let to = format!("{}{path}", gate.origin());
            (StatusCode::SEE_OTHER, [(header::LOCATION, to)]).into_response()
        }
        None => next.run(request).await,
    };
    let headers = answer.headers_mut();
    for (name, value) in POLICY {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if !headers.contains_key(header::CACHE_CONTROL) {
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    answer
}

fn by_its_other_name(headers: &HeaderMap) -> bool {
    headers
        .get(header::HOST)
        .and_then(|host| host.to_str().ok())
        .is_some_and(|host| !host.starts_with("127.0.0.1:"))
}
