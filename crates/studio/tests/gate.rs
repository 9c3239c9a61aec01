//! Who may come in: raw requests over a socket, as a browser or a forger would send them.

mod running;

use running::{Running, ask, cloth_png};

/// The request with these lines, sent to the studio; its answer.
fn sent(studio: &Running, request: &str) -> String {
    ask(studio.port, &request.replace('\n', "\r\n"))
}

fn status(answer: &str) -> u16 {
    answer
        .split(' ')
        .nth(1)
        .and_then(|code| code.parse().ok())
        .unwrap_or(0)
}

/// A line of the table: what the request is, its head (PORT and KEY stand for the real
/// ones), its body, and the status it earns.
type Row = (&'static str, &'static str, &'static str, u16);

const OURS: &str = "Host: 127.0.0.1:PORT\nCookie: piecewright-PORT=KEY";

fn check(rows: &[Row]) {
    let studio = Running::start();
    let before = studio.kept();
    for (what, head, body, wanted) in rows {
        let head = head
            .replace("OURS", OURS)
            .replace("PORT", &studio.port.to_string())
            .replace("KEY", &studio.key);
        let length = if body.is_empty() {
            String::new()
        } else {
            format!("Content-Length: {}\n", body.len())
        };
        let answer = sent(
            &studio,
            &format!("{head}\n{length}Connection: close\n\n{body}"),
        );
        assert_eq!(status(&answer), *wanted, "{what}: {answer}");
        let lower = answer.to_lowercase();
        for header in [
            "content-security-policy: default-src 'none'; script-src 'self'",
            "x-content-type-options: nosniff",
            "referrer-policy: no-referrer",
            "cross-origin-opener-policy: same-origin",
            "cache-control:",
        ] {
            assert!(lower.contains(header), "{what}: no {header} in {answer}");
        }
        assert!(!answer.contains(&studio.key), "{what}: the key is told");
    }
    assert_eq!(
        studio.kept(),
        before,
        "a refused request left something behind"
    );
}

#[test]
fn only_this_host_by_its_exact_name() {
    check(&[
        (
            "a name that is made to point here",
            "GET / HTTP/1.1\nHost: evil.test:PORT\nCookie: piecewright-PORT=KEY",
            "",
            421,
        ),
        (
            "a longer name",
            "GET / HTTP/1.1\nHost: 127.0.0.1.evil.test:PORT\nCookie: piecewright-PORT=KEY",
            "",
            421,
        ),
        (
            "no port",
            "GET / HTTP/1.1\nHost: 127.0.0.1\nCookie: piecewright-PORT=KEY",
            "",
            421,
        ),
        (
            "another port",
            "GET / HTTP/1.1\nHost: 127.0.0.1:1\nCookie: piecewright-PORT=KEY",
            "",
            421,
        ),
        (
            "two hosts",
            "GET / HTTP/1.1\nOURS\nHost: evil.test:PORT",
            "",
            421,
        ),
        (
            "another host in the address itself",
            "GET http://evil.test:PORT/ HTTP/1.1\nOURS",
            "",
            421,
        ),
        (
            "the machine's other name leads to ours",
            "GET / HTTP/1.1\nHost: localhost:PORT",
            "",
            303,
        ),
        ("ours", "GET / HTTP/1.1\nOURS", "", 200),
    ]);
}

#[test]
fn only_with_the_key_of_this_run() {
    check(&[
        ("no key", "GET / HTTP/1.1\nHost: 127.0.0.1:PORT", "", 401),
        (
            "a wrong key",
            "GET / HTTP/1.1\nHost: 127.0.0.1:PORT\nCookie: piecewright-PORT=0000",
            "",
            403,
        ),
        (
            "a key of the right length",
            "GET / HTTP/1.1\nHost: 127.0.0.1:PORT\nCookie: piecewright-PORT=0000000000000000000000000000000000000000000000000000000000000000",
            "",
            403,
        ),
        (
            "no key for a picture",
            "GET /quilt/1/picture.svg HTTP/1.1\nHost: 127.0.0.1:PORT",
            "",
            401,
        ),
        (
            "no key for a script",
            "GET /assets/studio.js HTTP/1.1\nHost: 127.0.0.1:PORT",
            "",
            401,
        ),
        (
            "the door with a wrong key",
            "GET /open?key=00 HTTP/1.1\nHost: 127.0.0.1:PORT",
            "",
            403,
        ),
        (
            "the door without one",
            "GET /open HTTP/1.1\nHost: 127.0.0.1:PORT",
            "",
            403,
        ),
    ]);
}

#[test]
fn nothing_from_other_sites_or_ports() {
    let change = "{\"do\":\"count\",\"rows\":1,\"columns\":1,\"turned\":0}";
    check(&[
        (
            "another site",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://evil.test\nContent-Type: application/json",
            change,
            403,
        ),
        (
            "another port of this machine",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:8899\nContent-Type: application/json",
            change,
            403,
        ),
        (
            "no site at all, as from a file or a sandbox",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: null\nContent-Type: application/json",
            change,
            403,
        ),
        (
            "a change that does not say where from",
            "POST /quilt/1/do HTTP/1.1\nOURS\nContent-Type: application/json",
            change,
            403,
        ),
        (
            "two origins",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nOrigin: http://evil.test\nContent-Type: application/json",
            change,
            403,
        ),
        (
            "reading from another site",
            "GET /quilt/1/plan.toml HTTP/1.1\nOURS\nOrigin: http://evil.test",
            "",
            403,
        ),
        (
            "a picture in another site's page",
            "GET /quilt/1/picture.svg HTTP/1.1\nOURS\nSec-Fetch-Site: cross-site\nSec-Fetch-Mode: no-cors\nSec-Fetch-Dest: image",
            "",
            403,
        ),
        (
            "a frame in another port's page",
            "GET / HTTP/1.1\nOURS\nSec-Fetch-Site: same-site\nSec-Fetch-Mode: navigate\nSec-Fetch-Dest: iframe",
            "",
            403,
        ),
        (
            "a form of another site",
            "POST /shelf HTTP/1.1\nOURS\nSec-Fetch-Site: cross-site\nOrigin: http://evil.test\nContent-Type: application/x-www-form-urlencoded",
            "do=begin",
            403,
        ),
        // Chromium sends no fetch metadata with it, and cookies do not tell ports apart.
        (
            "a web socket from another port",
            "GET /quilt/1/told HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:8899\nUpgrade: websocket\nConnection: Upgrade\nSec-WebSocket-Version: 13\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
            "",
            403,
        ),
        (
            "a web socket that does not say where from",
            "GET /quilt/1/told HTTP/1.1\nOURS\nUpgrade: websocket\nConnection: Upgrade\nSec-WebSocket-Version: 13\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
            "",
            403,
        ),
    ]);
}

#[test]
fn only_what_makes_sense() {
    check(&[
        (
            "a form instead of JSON",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: text/plain",
            "{\"do\":\"turn\"}",
            415,
        ),
        (
            "no kind at all",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT",
            "{}",
            415,
        ),
        (
            "not JSON",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/json",
            "turn it",
            422,
        ),
        (
            "a list",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/json",
            "[1]",
            422,
        ),
        (
            "an unknown deed",
            "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/json",
            "{\"do\":\"burn\",\"turned\":0}",
            422,
        ),
        (
            "a plan that is none",
            "POST /shelf HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/json",
            "{\"do\":\"open\",\"text\":\"title = 1\"}",
            422,
        ),
        (
            "out of the folder",
            "GET /assets/../../etc/passwd HTTP/1.1\nOURS",
            "",
            400,
        ),
        (
            "out of the folder, hidden",
            "GET /assets/%2e%2e%2fshelf.db HTTP/1.1\nOURS",
            "",
            400,
        ),
        (
            "a file of ours by its name",
            "GET /assets/shelf.db HTTP/1.1\nOURS",
            "",
            404,
        ),
        (
            "a quilt that is not there",
            "GET /quilt/99/block HTTP/1.1\nOURS",
            "",
            404,
        ),
        (
            "a number that is none",
            "GET /quilt/abc/block HTTP/1.1\nOURS",
            "",
            400,
        ),
        (
            "a deed as an address",
            "GET /quilt/1/do HTTP/1.1\nOURS",
            "",
            405,
        ),
        (
            "another method",
            "DELETE /quilt/1/block HTTP/1.1\nOURS",
            "",
            405,
        ),
    ]);
}

#[test]
fn too_much_is_refused() {
    let studio = Running::start();
    for (path, bytes) in [("/quilt/1/do", 300 * 1024), ("/shelf", 3 * 1024 * 1024)] {
        let head = format!(
            "POST {path} HTTP/1.1\nHost: 127.0.0.1:{0}\nCookie: piecewright-{0}={1}\nOrigin: http://127.0.0.1:{0}\nContent-Type: application/json\nContent-Length: {bytes}\nConnection: close\n\n",
            studio.port, studio.key
        );
        let body = "x".repeat(bytes);
        let answer = sent(&studio, &(head + &body));
        assert_eq!(status(&answer), 413, "{path}");
    }
}

#[test]
fn the_door_hands_out_the_key_and_leads_to_a_clean_address() {
    let studio = Running::start();
    let request = format!(
        "GET /open?key={}&quilt=1 HTTP/1.1\nHost: 127.0.0.1:{}\nConnection: close\n\n",
        studio.key, studio.port
    );
    let answer = sent(&studio, &request);
    assert_eq!(status(&answer), 303);
    let lower = answer.to_lowercase();
    assert!(lower.contains("location: /quilt/1/block\r\n"), "{answer}");
    assert!(
        lower.contains("httponly; samesite=strict; path=/"),
        "{answer}"
    );
}

#[cfg(unix)]
#[test]
fn the_shelf_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let studio = Running::start();
    let mode = |path: std::path::PathBuf| {
        std::fs::metadata(path)
            .map(|found| found.permissions().mode() & 0o777)
            .unwrap_or(0)
    };
    assert_eq!(mode(studio.folder.join("shelf")), 0o700);
    assert_eq!(mode(studio.folder.join("shelf/shelf.db")), 0o600);
}

#[test]
fn a_photograph_comes_in_as_its_pixels_alone() {
    let studio = Running::start();
    let png = cloth_png(300, 200, 40);
    let (status, answer) = studio.bring("/quilt/1/photo?kind=cloth&name=Rust%20check.png", &png);
    assert_eq!(status, 200, "{answer}");
    assert_eq!(answer, "{\"high\":200,\"number\":1,\"wide\":300}");
    let back = studio.file("/quilt/1/photo/1");
    assert_eq!(photo::read(&back), photo::read(&png));

    // The same with a note hidden in it: the pixels come back, the note does not.
    let note = b"tEXtComment\0who took it and where";
    let mut noted = png[..33].to_vec();
    noted.extend(u32::try_from(note.len() - 4).unwrap().to_be_bytes());
    noted.extend(note);
    noted.extend(crc(note).to_be_bytes());
    noted.extend(&png[33..]);
    let (status, answer) = studio.bring("/quilt/1/photo?kind=tracing&name=x", &noted);
    assert_eq!(status, 200, "{answer}");
    let back = studio.file("/quilt/1/photo/2");
    assert_eq!(photo::read(&back), photo::read(&png));
    assert!(!back.windows(11).any(|part| part == b"who took it"));
    assert!(
        studio
            .file("/quilt/1/photo/small/2")
            .starts_with(b"\x89PNG")
    );
    assert_eq!(
        studio.bring("/quilt/9/photo?kind=cloth&name=x", &png).0,
        404
    );
}

/// The checksum of a part of a PNG (ISO/IEC 15948, annex D).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |crc, _| {
            (crc >> 1) ^ if crc & 1 == 1 { 0xedb8_8320 } else { 0 }
        })
    })
}

#[test]
fn no_other_file_is_taken_for_a_photograph() {
    let studio = Running::start();
    let png = cloth_png(64, 64, 16);
    let mut wide = png.clone();
    wide[16..20].copy_from_slice(&12_001_u32.to_be_bytes());
    let mut large = png.clone();
    large[16..24].copy_from_slice(&[0, 0, 0x1b, 0x58, 0, 0, 0x1b, 0x58]);
    let rows: [(&str, &[u8], u16); 8] = [
        (
            "a drawing",
            b"<svg xmlns=\"http://www.w3.org/2000/svg\"><image href=\"/etc/passwd\"/></svg>",
            422,
        ),
        ("a GIF", b"GIF89a\x01\0\x01\0\0\0\0;", 422),
        ("nothing", b"", 422),
        ("cut off", &png[..png.len() / 2], 422),
        ("too wide by its header", &wide, 422),
        ("49 million pixels by its header", &large, 422),
        ("an archive", b"PK\x03\x04", 422),
        ("21 MB", &vec![0; 21 * 1024 * 1024], 413),
    ];
    for (what, bytes, wanted) in rows {
        let (status, answer) = studio.bring("/quilt/1/photo?kind=cloth&name=x", bytes);
        assert_eq!(status, wanted, "{what}: {answer}");
        if status == 422 {
            assert!(answer.contains("“x”: "), "{what}: {answer}");
        } else {
            assert!(answer.contains("larger than 20 MB"), "{answer}");
        }
    }
    let no_kind = studio.bring("/quilt/1/photo?name=x", &png);
    assert_eq!(no_kind.0, 422, "{}", no_kind.1);
    for number in 0..3 {
        let path = format!("/quilt/1/photo/{number}");
        assert!(studio.get(&path).contains("There is no such page."));
    }
}

#[test]
fn a_photograph_comes_from_our_own_page_alone() {
    let photo = "POST /quilt/1/photo?kind=cloth&name=x HTTP/1.1";
    let heads = [
        (
            "another site",
            "OURS\nOrigin: http://evil.test\nContent-Type: application/octet-stream",
            403,
        ),
        (
            "another port",
            "OURS\nOrigin: http://127.0.0.1:8899\nContent-Type: application/octet-stream",
            403,
        ),
        (
            "no site",
            "OURS\nContent-Type: application/octet-stream",
            403,
        ),
        (
            "a form's kind",
            "OURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: multipart/form-data; boundary=x",
            415,
        ),
        (
            "JSON",
            "OURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/json",
            415,
        ),
        (
            "no key",
            "Host: 127.0.0.1:PORT\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/octet-stream",
            401,
        ),
        (
            "a picture in another page",
            "OURS\nOrigin: http://127.0.0.1:PORT\nSec-Fetch-Site: same-site\nContent-Type: application/octet-stream",
            403,
        ),
    ];
    let heads: Vec<(&str, String, u16)> = heads
        .iter()
        .map(|(what, head, status)| (*what, format!("{photo}\n{head}"), *status))
        .collect();
    let rows: Vec<Row> = heads
        .iter()
        .map(|(what, head, status)| {
            let head: &'static str = Box::leak(head.clone().into_boxed_str());
            (*what, head, "bytes", *status)
        })
        .collect();
    check(&rows);
    check(&[(
        "bytes where a deed is expected",
        "POST /quilt/1/do HTTP/1.1\nOURS\nOrigin: http://127.0.0.1:PORT\nContent-Type: application/octet-stream",
        "{\"do\":\"turn\"}",
        415,
    )]);
}

#[test]
fn a_quilt_file_that_is_none_leaves_nothing_behind() {
    let studio = Running::start();
    let before = studio.get("/");
    let whole = studio.file("/quilt/1/quilt.zip");
    let rows: [(&str, &[u8]); 4] = [
        ("words", b"title = 1"),
        ("the beginning alone", b"PK\x03\x04"),
        ("cut off", &whole[..whole.len() / 2]),
        ("nothing", b""),
    ];
    for (what, bytes) in rows {
        let (status, answer) = studio.bring("/shelf/file", bytes);
        assert_eq!(status, 422, "{what}: {answer}");
    }
    assert_eq!(studio.get("/"), before);
    assert_eq!(studio.bring("/shelf/file", &whole).0, 200);
    check(&[(
        "a quilt file from another site",
        "POST /shelf/file HTTP/1.1\nOURS\nOrigin: http://evil.test\nContent-Type: application/octet-stream",
        "bytes",
        403,
    )]);
}
