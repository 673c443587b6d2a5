//! How long does a crew of fifty phones wait, and what does a day of them cost?
//!
//! `cargo bench -p server --no-default-features`. Each phone opens the job, then acts every
//! second or so: ticks, edits from whatever revision it saw last, unsaved drags and looks at
//! the list. What an answer holds is read after its time is taken: phones read on processors of
//! their own. `CREW_PHONES` and `CREW_SECONDS` change the size.

#![expect(clippy::print_stdout, reason = "a bench prints what it measured")]

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use server::{Access, Limits, State};
use store::{Place, Store};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::oneshot;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const SEED: u64 = 7;

/// How long each kind of request took, in ms.
type Times = BTreeMap<&'static str, Vec<f64>>;

#[tokio::main]
async fn main() {
    let phones = setting("CREW_PHONES", 50);
    let seconds = setting("CREW_SECONDS", 60);
    let folder = tempfile::tempdir().expect("a scratch folder");
    let begun = Instant::now();
    let place = Place::file(folder.path().join("dryfit.db"));
    let store = Store::open(&place, checks::limit_names())
        .await
        .expect("a fresh store");
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
    let address = listener.local_addr().expect("a bound port").to_string();
    let (stop, stopped) = oneshot::channel::<()>();
    let state = State::new(store, Limits::default());
    let serving = tokio::spawn(server::serve(
        listener,
        None,
        state,
        Access::here("bench"),
        async {
            let _ = stopped.await;
        },
    ));
    let mut first = Phone::connect(&address).await;
    first.ask("GET", "/api/me", None).await;
    println!("answers {:.0} ms after it was told to start", ms(begun));
    let began = first
        .ask("POST", "/api/jobs", Some(json!({ "from": "demo" })))
        .await;
    let job = began["id"].as_str().expect("a job's id").to_owned();
    let view = first.ask("GET", &format!("/api/jobs/{job}"), None).await;
    let items: Vec<String> = (view["document"]["item"].as_array().expect("items").iter())
        .map(|item| item["id"].as_str().expect("an id").to_owned())
        .collect();
    println!("memory with one job open: {}", memory());

    let until = Instant::now() + Duration::from_secs(seconds);
    let mut crew = Vec::new();
    for phone in 0..phones {
        let (address, job) = (address.clone(), job.clone());
        let item = items[phone as usize % items.len()].clone();
        crew.push(tokio::spawn(day(phone, address, job, item, until)));
    }
    let mut times = Times::new();
    let mut refused = 0;
    for phone in crew {
        let (own, bad) = phone.await.expect("a phone's day ends");
        refused += bad;
        for (kind, mut list) in own {
            times.entry(kind).or_default().append(&mut list);
        }
    }
    report(&mut times, refused, phones, seconds);
    let view = first.ask("GET", &format!("/api/jobs/{job}"), None).await;
    println!("the job is at revision {}", view["revision"]);
    println!("memory after the day: {}", memory());
    let closing = Instant::now();
    drop(first);
    stop.send(()).expect("the server waits for it");
    serving.await.expect("the server ends").expect("and well");
    println!("closed in {:.0} ms", ms(closing));
}

/// One phone's day: what it asked for and how long that took, and how often it was refused.
async fn day(
    number: u64,
    address: String,
    job: String,
    item: String,
    until: Instant,
) -> (Times, usize) {
    let mut random = ChaCha8Rng::seed_from_u64(SEED + number);
    let mut phone = Phone::connect(&address).await;
    let mut times = Times::new();
    let mut refused = 0;
    // Not all at the same moment.
    tokio::time::sleep(Duration::from_millis(random.random_range(0..2_000))).await;
    let path = format!("/api/jobs/{job}");
    let opened = Instant::now();
    let (job_status, shown) = phone.fetch("GET", &path, None).await;
    let (list_status, _) = phone.fetch("GET", &format!("{path}/findings"), None).await;
    times.entry("open").or_default().push(ms(opened));
    assert!(job_status < 400 && list_status < 400, "the job opens");
    let mut seen = json_of(&shown)["revision"].clone();
    let mut done = 0_u64;
    while Instant::now() < until {
        done += 1;
        let op = format!("{number}-{done}");
        let (kind, method, at, body) = match random.random_range(0..100) {
            0..55 => {
                let tick = format!("load:{item}:{}", random.random_range(0..20));
                let at = "2026-11-25T08:00:00Z";
                let body = json!({ "op": op, "tick": tick, "done": true, "at": at });
                ("tick", "POST", format!("{path}/ticks"), Some(body))
            }
            55..75 => {
                let set = format!("{item} {done}");
                let edit = json!({ "at": format!("item.{item}.name"), "set": set });
                let body = json!({ "op": op, "base": seen, "edits": [edit] });
                ("edit", "POST", format!("{path}/edits"), Some(body))
            }
            75..90 => {
                let edit = json!({ "at": format!("item.{item}.name"), "set": "dragged" });
                let body = json!({
                    "base": seen, "client": number.to_string(), "seq": done, "edits": [edit],
                });
                ("prove", "POST", format!("{path}/prove"), Some(body))
            }
            _ => ("look", "GET", format!("{path}/ticks"), None),
        };
        let asked = Instant::now();
        let (status, answer) = phone.fetch(method, &at, body).await;
        times.entry(kind).or_default().push(ms(asked));
        if status >= 400 {
            refused += 1;
            println!("{status} to {kind}: {}", json_of(&answer));
        } else if kind == "edit" {
            seen = json_of(&answer)["revision"].clone();
        }
        tokio::time::sleep(Duration::from_millis(random.random_range(500..1_500))).await;
    }
    (times, refused)
}

fn report(times: &mut Times, refused: usize, phones: u64, seconds: u64) {
    let requests: usize = times.values().map(Vec::len).sum();
    println!("{phones} phones for {seconds} s: {requests} requests, {refused} refused");
    let all: Vec<f64> = times.values().flatten().copied().collect();
    times.insert("all", all);
    for (kind, list) in times {
        list.sort_by(f64::total_cmp);
        let at = |share: f64| list[((list.len() - 1) as f64 * share).round() as usize];
        println!(
            "{kind:>6}: {:>5} times, median {:.1} ms, 95 % {:.1}, 99 % {:.1}, worst {:.1}",
            list.len(),
            at(0.5),
            at(0.95),
            at(0.99),
            at(1.0)
        );
    }
}

/// A connection that is kept, as a browser keeps it.
struct Phone {
    stream: TcpStream,
    host: String,
}

impl Phone {
    async fn connect(address: &str) -> Self {
        let stream = TcpStream::connect(address)
            .await
            .expect("the server listens");
        stream.set_nodelay(true).expect("a socket option");
        Self {
            stream,
            host: address.to_owned(),
        }
    }

    async fn ask(&mut self, method: &str, path: &str, body: Option<Value>) -> Value {
        let (status, answer) = self.fetch(method, path, body).await;
        let answer = json_of(&answer);
        assert!(status < 400, "{method} {path}: {status} {answer}");
        answer
    }

    /// The answer's status and bytes.
    async fn fetch(&mut self, method: &str, path: &str, body: Option<Value>) -> (u16, Vec<u8>) {
        let body = body.map(|body| body.to_string()).unwrap_or_default();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\n\
             content-type: application/json\r\ncontent-length: {length}\r\n\r\n",
            host = self.host,
            length = body.len(),
        );
        let request = head + &body;
        self.stream
            .write_all(request.as_bytes())
            .await
            .expect("the server reads");
        let mut bytes = Vec::new();
        let (head, mut rest) = loop {
            self.read(&mut bytes).await;
            if let Some(end) = bytes.windows(4).position(|four| four == b"\r\n\r\n") {
                let rest = bytes.split_off(end + 4);
                break (String::from_utf8_lossy(&bytes).to_lowercase(), rest);
            }
        };
        let status = head[9..12].parse().expect("a status");
        let length = (head.lines())
            .find_map(|line| line.strip_prefix("content-length: "))
            .map_or(0, |length| length.parse().expect("a length"));
        while rest.len() < length {
            self.read(&mut rest).await;
        }
        (status, rest)
    }

    async fn read(&mut self, bytes: &mut Vec<u8>) {
        let read = self
            .stream
            .read_buf(bytes)
            .await
            .expect("the server answers");
        assert!(read > 0, "the server hung up");
    }
}

fn json_of(bytes: &[u8]) -> Value {
    serde_json::from_slice(bytes).unwrap_or(Value::Null)
}

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1e3
}

fn setting(name: &str, otherwise: u64) -> u64 {
    let set = std::env::var(name).ok();
    set.map_or(otherwise, |text| text.parse().expect("a whole number"))
}

/// What the system says of this process, clients included.
fn memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let of = |name: &str| {
        let line = status.lines().find(|line| line.starts_with(name));
        let size_kb = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<f64>().ok());
        size_kb.map_or("unknown".to_owned(), |kb| format!("{:.0} MB", kb / 1024.0))
    };
    format!("{} now, {} at most", of("VmRSS:"), of("VmHWM:"))
}
