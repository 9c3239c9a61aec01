//! A studio that runs for a test, in a folder of its own that goes with it.
#![allow(dead_code, unreachable_pub, reason = "each test uses what it needs")]

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

static NEXT: AtomicU32 = AtomicU32::new(0);

/// A folder below the system's own for such things; taken away when it is dropped.
pub struct Folder(pub PathBuf);

impl Folder {
    pub fn new() -> Self {
        let name = format!(
            "piecewright-studio-{}-{}",
            std::process::id(),
            NEXT.fetch_add(1, Ordering::Relaxed)
        );
        let folder = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&folder).expect("a folder for the test");
        Self(folder)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A studio in this process; it runs until the test program ends.
pub struct Running {
    pub port: u16,
    pub key: String,
    pub folder: PathBuf,
    held: Folder,
}

impl Running {
    pub fn start() -> Self {
        Self::with(None)
    }

    pub fn with(brought: Option<&studio::Brought>) -> Self {
        Self::on(Folder::new(), brought)
    }

    pub fn on(held: Folder, brought: Option<&studio::Brought>) -> Self {
        let open = studio::Studio::open(&held.0.join("shelf"), brought).expect("the studio opens");
        let address = open.address();
        std::thread::spawn(move || open.run());
        let (port, key) = parts(&address);
        Self {
            port,
            key,
            folder: held.0.clone(),
            held,
        }
    }

    /// Whatever the store has, as one text.
    pub fn kept(&self) -> String {
        self.get("/quilt/1/plan.toml") + &self.get("/")
    }

    /// The body of a page.
    pub fn get(&self, path: &str) -> String {
        let (port, key) = (self.port, &self.key);
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: piecewright-{port}={key}\r\nConnection: close\r\n\r\n"
        );
        body(&ask(port, &request))
    }

    /// A file as its bytes.
    pub fn file(&self, path: &str) -> Vec<u8> {
        let (port, key) = (self.port, &self.key);
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: piecewright-{port}={key}\r\nConnection: close\r\n\r\n"
        );
        let answer = ask_bytes(port, request.as_bytes());
        let end = answer.windows(4).position(|four| four == b"\r\n\r\n");
        end.map_or_else(Vec::new, |end| answer[end + 4..].to_vec())
    }

    /// Sends a file as it is; status and body.
    pub fn bring(&self, path: &str, bytes: &[u8]) -> (u16, String) {
        let (port, key) = (self.port, &self.key);
        let mut request = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nCookie: piecewright-{port}={key}\r\nContent-Type: application/octet-stream\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            bytes.len()
        )
        .into_bytes();
        request.extend(bytes);
        let answer = String::from_utf8_lossy(&ask_bytes(port, &request)).into_owned();
        let status = answer.split(' ').nth(1).and_then(|code| code.parse().ok());
        (status.unwrap_or(0), body(&answer))
    }

    /// Sends a gesture; status line and body.
    pub fn post(&self, path: &str, json: &str) -> (u16, String) {
        post(self.port, &self.key, path, json)
    }
}

/// Port and key of an address.
pub fn parts(address: &str) -> (u16, String) {
    let rest = address
        .strip_prefix("http://127.0.0.1:")
        .expect("an address of this machine");
    let (port, query) = rest.split_once("/open?key=").expect("the door");
    let key = query.split('&').next().unwrap_or_default();
    (port.parse().expect("a port"), key.to_owned())
}

pub fn post(port: u16, key: &str, path: &str, json: &str) -> (u16, String) {
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nCookie: piecewright-{port}={key}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{json}",
        json.len()
    );
    let answer = ask(port, &request);
    let status = answer.split(' ').nth(1).and_then(|code| code.parse().ok());
    (status.unwrap_or(0), body(&answer))
}

/// Sends a request as it stands; the whole answer.
pub fn ask(port: u16, request: &str) -> String {
    String::from_utf8_lossy(&ask_bytes(port, request.as_bytes())).into_owned()
}

/// The same with bytes that are no text.
pub fn ask_bytes(port: u16, request: &[u8]) -> Vec<u8> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("the studio answers");
    let limit = Some(Duration::from_secs(60));
    stream.set_read_timeout(limit).expect("a limit");
    // A studio that refuses early may close before it has read everything.
    let _ = stream.write_all(request);
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    answer
}

fn body(answer: &str) -> String {
    let Some((head, body)) = answer.split_once("\r\n\r\n") else {
        return String::new();
    };
    if head.to_lowercase().contains("transfer-encoding: chunked") {
        unchunked(body)
    } else {
        body.to_owned()
    }
}

fn unchunked(mut body: &str) -> String {
    let mut out = String::new();
    while let Some((length, rest)) = body.split_once("\r\n") {
        let length = usize::from_str_radix(length.trim(), 16).unwrap_or(0);
        if length == 0 || rest.len() < length {
            break;
        }
        out.push_str(&rest[..length]);
        body = rest[length..].trim_start_matches("\r\n");
    }
    out
}

pub fn demo(name: &str) -> studio::Brought {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../examples")
        .join(name);
    let text = std::fs::read_to_string(file).expect("the demo plan");
    let plan = planfile::read(name, &text).expect("the demo plan reads");
    studio::Brought { text, plan }
}

/// A picture of cloth made for the test: a check of two colours, `repeat` pixels wide, as
/// PNG.
pub fn cloth_png(width: usize, height: usize, repeat: usize) -> Vec<u8> {
    let colours = [[168_u8, 60, 44], [226, 196, 160]];
    let rgb = (0..width * height)
        .flat_map(|i| {
            let (x, y) = (i % width, i / width);
            // A little weave, so that it is no drawing.
            let weave = u8::try_from((x * 7 + y * 13) % 5).unwrap_or(0);
            let half = repeat / 2;
            let dark = (x % repeat < half) != (y % repeat < half);
            colours[usize::from(dark)].map(|part| part - weave)
        })
        .collect();
    let made = photo::Photo {
        width,
        height,
        rgb,
        notes: Vec::new(),
    };
    photo::packed(made).expect("a picture").bytes
}
