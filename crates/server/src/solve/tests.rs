//! Does long work tell its progress, share its result and stop when nobody wants it?

use std::sync::mpsc;

use tokio_stream::StreamExt;

use super::*;

/// Work that goes on until it is let go or told to stop, and says which.
fn held() -> (
    mpsc::Sender<()>,
    impl FnOnce(&Teller) -> Result<Vec<u8>, Unsolved>,
) {
    let (go, wait) = mpsc::channel();
    let work = move |teller: &Teller| {
        loop {
            teller.tell(1, 2, "half way")?;
            if let Ok(()) | Err(mpsc::TryRecvError::Disconnected) = wait.try_recv() {
                return Ok(b"pages".to_vec());
            }
            std::thread::yield_now();
        }
    };
    (go, work)
}

async fn last(mut listening: Listening) -> Progress {
    let mut last = None;
    while let Some(progress) = listening.next().await {
        last = Some(progress);
    }
    last.expect("a solve says something")
}

#[tokio::test]
async fn a_solve_tells_its_progress_and_keeps_its_result() {
    let solves = Solves::default();
    let (go, work) = held();
    let key = solves.start("a", work).unwrap();
    assert_eq!(solves.result(&key).unwrap_err().status, 409);
    let mut listening = solves.listen(&key).unwrap();
    loop {
        match listening.next().await.unwrap() {
            Progress::Running { stage, left_s, .. } if stage == "half way" => {
                assert!(left_s.is_some());
                break;
            }
            other => assert!(!other.is_last(), "{other:?}"),
        }
    }
    go.send(()).unwrap();
    let url = format!("/api/solves/{key}/result.pdf");
    assert_eq!(last(listening).await, Progress::Done { url });
    assert_eq!(solves.result(&key).unwrap(), "pages");
}

#[tokio::test]
async fn the_same_inputs_share_one_solve() {
    let solves = Solves::default();
    let (go, work) = held();
    let key = solves.start("a", work).unwrap();
    let again = solves
        .start("a", |_: &Teller| panic!("started twice"))
        .unwrap();
    assert_eq!(key, again);
    assert_ne!(key, super::key("b"));
    go.send(()).unwrap();
    assert!(matches!(
        last(solves.listen(&key).unwrap()).await,
        Progress::Done { .. }
    ));
}

#[tokio::test]
async fn a_solve_stops_when_it_is_cancelled_and_can_be_started_again() {
    let solves = Solves::default();
    let (_go, work) = held();
    let key = solves.start("a", work).unwrap();
    let listening = solves.listen(&key).unwrap();
    solves.cancel(&key).unwrap();
    let message = "it was cancelled".to_owned();
    assert_eq!(last(listening).await, Progress::Failed { message });
    solves.start("a", |_: &Teller| Ok(Vec::new())).unwrap();
    assert!(matches!(
        last(solves.listen(&key).unwrap()).await,
        Progress::Done { .. }
    ));
}

#[tokio::test]
async fn a_solve_stops_when_the_last_listener_goes_and_not_before() {
    let solves = Solves::default();
    let (_go, work) = held();
    let key = solves.start("a", work).unwrap();
    let (one, two) = (solves.listen(&key).unwrap(), solves.listen(&key).unwrap());
    let solve = solves.find(&key).unwrap();
    drop(one);
    assert!(!solve.stop.load(Ordering::Relaxed));
    drop(two);
    assert!(solve.stop.load(Ordering::Relaxed));
}

#[tokio::test]
async fn a_panic_is_told_without_its_words() {
    let solves = Solves::default();
    let key = solves
        .start("a", |_: &Teller| panic!("an inner secret"))
        .unwrap();
    let Progress::Failed { message } = last(solves.listen(&key).unwrap()).await else {
        panic!("a panic is no success");
    };
    assert!(!message.contains("secret"), "{message}");
}

#[tokio::test]
async fn only_so_many_results_are_kept() {
    let solves = Solves::default();
    for number in 0..KEPT + 5 {
        let key = solves
            .start(&number.to_string(), |_: &Teller| Ok(Vec::new()))
            .unwrap();
        last(solves.listen(&key).unwrap()).await;
    }
    assert!(solves.lock().len() <= KEPT + 1);
    assert!(solves.find(&key("0")).is_err());
}

#[tokio::test]
async fn too_much_at_once_is_refused_until_some_of_it_has_ended() {
    let solves = Solves::default();
    let (go, work) = held();
    solves.start("0", work).unwrap();
    let start = |number: usize| solves.start(&number.to_string(), |_: &Teller| Ok(Vec::new()));
    let keys: Vec<_> = (1..UNDER_WAY_MAX)
        .map(|number| start(number).unwrap())
        .collect();
    let refused = start(UNDER_WAY_MAX).unwrap_err();
    assert_eq!(refused.status, StatusCode::TOO_MANY_REQUESTS);
    // What is under way already is no more than it was.
    assert_eq!(start(1).unwrap(), keys[0]);
    go.send(()).unwrap();
    for key in &keys {
        last(solves.listen(key).unwrap()).await;
    }
    start(UNDER_WAY_MAX).unwrap();
}
