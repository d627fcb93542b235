//! Attacks from elsewhere in the same browser, and from another program on the same machine.

use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
};

use crate::{browser::Browser, world::World};

/// Sends a request as it stands, and gives the answer.
fn raw(address: &str, request: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.write_all(request.replace('\n', "\r\n").as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

#[test]
fn another_page_in_the_same_browser_says_nothing_and_reads_nothing() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let other = world.runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let at = listener.local_addr().unwrap();
        tokio::spawn(async move {
            while let Ok((mut stream, _)) = listener.accept().await {
                use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
                let mut asked = [0; 4096];
                let _ = stream.read(&mut asked).await;
                let page =
                    "HTTP/1.1 200 OK\r\ncontent-type: text/html\r\ncontent-length: 5\r\n\r\nother";
                let _ = stream.write_all(page.as_bytes()).await;
            }
        });
        at
    });
    let mut browser = Browser::start();
    let mut tab = browser.tab(820, 600);
    tab.go(&page.once);
    tab.reads("0411");
    let before = world.log("office").len();
    // A page of another port of this machine, which the session's cookie goes along to.
    tab.go(&format!("http://{other}/"));
    let say = page.at("/say");
    let answer = tab.eval(&format!(
        "fetch('{say}', {{method: 'POST', mode: 'no-cors', credentials: 'include',
            headers: {{'content-type': 'application/x-www-form-urlencoded'}}, body: 'line=wash+0411'}})
            .then((answer) => answer.type, () => 'refused')"
    ));
    // Whether it was sent or not, what came back cannot be read.
    assert!(answer == "opaque" || answer == "refused", "{answer}");
    let read = page.at("/");
    let answer = tab.eval(&format!(
        "fetch('{read}', {{credentials: 'include'}}).then(() => 'read', () => 'refused')"
    ));
    assert_eq!(answer, "refused");
    tab.eval(&format!(
        "(() => {{ const frame = document.createElement('iframe'); frame.src = '{read}'; document.body.append(frame);
            return new Promise((done) => {{ frame.onload = () => done(true); }}); }})()"
    ));
    tab.eval(&format!(
        "(() => {{ const form = document.createElement('form'); form.method = 'post'; form.action = '{say}';
            form.innerHTML = '<input name=line value=\"wash 0411\">'; document.body.append(form); form.submit(); }})()"
    ));
    tab.reads("Nothing was done");
    assert_eq!(world.log("office").len(), before);
}

#[test]
fn another_name_another_origin_no_session_and_an_address_used_twice_are_refused() {
    let world = World::new();
    world.yard();
    let page = world.page("office");
    let host = page.once.trim_start_matches("http://").split('/').next().unwrap().to_owned();
    let once = page.once.split("/open/").nth(1).unwrap();
    let get = |path: &str, named: &str| {
        raw(&host, &format!("GET {path} HTTP/1.1\nHost: {named}\nConnection: close\n\n"))
    };
    assert!(get("/", "shop.test").starts_with("HTTP/1.1 421"));
    assert!(get("/", &host).starts_with("HTTP/1.1 401"));
    for path in ["/skull/0411", "/events", "/photo/00", "/find?q=a", "/collect?q=a", "/slip/0411"] {
        assert!(get(path, &host).starts_with("HTTP/1.1 401"), "{path}");
    }
    let post = |origin: &str, cookie: &str| {
        let body = "line=wash+0411";
        raw(
            &host,
            &format!(
                "POST /say HTTP/1.1\nHost: {host}\nOrigin: {origin}\nCookie: {cookie}\nConnection: close\n\
                 Content-Type: application/x-www-form-urlencoded\nContent-Length: {}\n\n{body}",
                body.len()
            ),
        )
    };
    let opened = get(&format!("/open/{once}"), &host);
    assert!(opened.starts_with("HTTP/1.1 303"), "{opened}");
    assert!(get(&format!("/open/{once}"), &host).starts_with("HTTP/1.1 410"));
    let cookie = opened.split("set-cookie: ").nth(1).unwrap().split(';').next().unwrap();
    for wanted in ["HttpOnly", "SameSite=Strict", "no-store", "default-src 'none'", "nosniff"] {
        assert!(opened.contains(wanted), "{wanted}: {opened}");
    }
    assert!(post("http://shop.test", cookie).starts_with("HTTP/1.1 403"));
    assert!(post("null", cookie).starts_with("HTTP/1.1 403"));
    // Of our own origin, and without the token that a page of ours carries.
    assert!(post(&format!("http://{host}"), cookie).starts_with("HTTP/1.1 403"));
    let log = world.log("office");
    assert!(!log.iter().any(|line| line.starts_with("wash")), "{log:?}");
    // A second command of the same user finds the running page, and gets another address for it.
    let again = world.page("office");
    assert!(again.once.starts_with(&format!("http://{host}/open/")) && again.once != page.once);
}
