//! Nothing lost: a studio killed in the middle of the work has every gesture it answered.

mod running;

use std::io::{BufRead as _, BufReader};
use std::process::{Command, Stdio};

use running::{Folder, demo, parts, post};

/// Not a test by itself: the program that is killed, run by the test below.
#[test]
fn the_studio_as_a_child() {
    let Ok(folder) = std::env::var("STUDIO_CHILD_SHELF") else {
        return;
    };
    let brought = demo("saltmarsh.toml");
    let ready = |address: &str| println!("ADDRESS {address}");
    let ended = studio::serve(std::path::Path::new(&folder), Some(&brought), ready);
    panic!("it ends only when it is killed: {ended:?}");
}

#[test]
fn killed_at_any_moment_every_answered_gesture_is_there() {
    let folder = Folder::new();
    let shelf = folder.0.join("shelf");
    for round in 0_u32..3 {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "the_studio_as_a_child", "--nocapture"])
            .env("STUDIO_CHILD_SHELF", &shelf)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the child starts");
        let out = BufReader::new(child.stdout.take().expect("its words"));
        let address = out
            .lines()
            .map_while(Result::ok)
            .find_map(|line| line.split_once("ADDRESS ").map(|(_, a)| a.to_owned()))
            .expect("an address");
        let (port, key) = parts(&address);
        let quilt: u32 = address
            .rsplit_once("quilt=")
            .and_then(|(_, id)| id.parse().ok())
            .expect("the quilt that was brought");
        let gestures = 3 + round * 4;
        for n in 0..gestures {
            let ask = format!(
                "{{\"do\":\"count\",\"rows\":\"{}\",\"columns\":\"5\",\"turned\":{n}}}",
                n + 20
            );
            let (status, words) = post(port, &key, &format!("/quilt/{quilt}/do"), &ask);
            assert_eq!(status, 200, "{words}");
        }
        // SIGKILL: no last words.
        child.kill().expect("it is killed");
        child.wait().expect("it is gone");
        let again = studio::Studio::open(&shelf, None).expect("the shelf opens again");
        let (port, key) = parts(&again.address());
        std::thread::spawn(move || again.run());
        let answer = running::ask(
            port,
            &format!(
                "GET /quilt/{quilt}/plan.toml HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: piecewright-{port}={key}\r\nConnection: close\r\n\r\n"
            ),
        );
        let wanted = format!("rows = {}", gestures - 1 + 20);
        assert!(answer.contains(&wanted), "{wanted} not in {answer}");
        // And every one of them can be taken back.
        let (status, words) = post(
            port,
            &key,
            &format!("/quilt/{quilt}/go"),
            &format!("{{\"step\":1,\"turned\":{gestures}}}"),
        );
        assert_eq!(status, 200, "{words}");
    }
}

#[test]
fn a_moment_with_a_name_is_gone_back_to_and_that_can_be_undone() {
    let studio = running::Running::with(Some(&demo("saltmarsh.toml")));
    let rows = |n: u32, turned: u32| {
        let ask =
            format!("{{\"do\":\"count\",\"rows\":\"{n}\",\"columns\":\"5\",\"turned\":{turned}}}");
        assert_eq!(studio.post("/quilt/2/do", &ask).0, 200);
    };
    rows(9, 0);
    let nine = studio.get("/quilt/2/plan.toml");
    let (status, said) = studio.post("/quilt/2/moment", "{\"moment\":\"nine rows\"}");
    assert_eq!(status, 200, "{said}");
    assert!(
        said.contains("\"turned\":1"),
        "naming changes nothing: {said}"
    );
    // Taken back, and another way begun: the steps of nine rows are dropped.
    assert_eq!(
        studio.post("/quilt/2/go", "{\"step\":1,\"turned\":1}").0,
        200
    );
    rows(12, 2);
    let twelve = studio.get("/quilt/2/plan.toml");
    let back = "{\"moment\":\"1\",\"turned\":3}";
    assert_eq!(studio.post("/quilt/2/go", back).0, 200);
    assert_eq!(studio.get("/quilt/2/plan.toml"), nine);
    assert!(
        studio
            .get("/quilt/2/setting")
            .contains("Undo: Go back to “nine rows”")
    );
    assert_eq!(
        studio.post("/quilt/2/go", "{\"step\":2,\"turned\":4}").0,
        200
    );
    assert_eq!(studio.get("/quilt/2/plan.toml"), twelve);
    // A window that has not seen the latest is told; a moment needs a name and must be there.
    assert_eq!(studio.post("/quilt/2/go", back).0, 409);
    assert_eq!(studio.post("/quilt/2/moment", "{\"moment\":\"  \"}").0, 422);
    let nowhere = "{\"moment\":\"7\",\"turned\":5}";
    assert_eq!(studio.post("/quilt/2/go", nowhere).0, 404);
}
