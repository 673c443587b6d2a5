//! Is a job proved at its desk once, kept there, and answered in turn?

use std::sync::mpsc;

use model::Edit;

use super::*;

const HOUSE: &str = include_str!("../../../../jobs/metric-flat.toml");

fn desks(desks: usize) -> Desks {
    let idle = Duration::from_secs(600);
    Desks::new(Limits { desks, idle })
}

#[tokio::test]
async fn a_job_is_proved_once_and_kept() {
    let desks = desks(2);
    let opened = desks.ask("a", None, |room| room.open(1, HOUSE)).await;
    opened.unwrap().unwrap();
    let count = |room: &mut Room| room.at(1).map(|proved| proved.findings().count());
    let found = desks.ask("a", None, count).await.unwrap();
    assert!(found.is_some_and(|count| count > 10), "{found:?}");
    assert_eq!(desks.ask("b", None, count).await.unwrap(), None);
}

#[tokio::test]
async fn a_revision_follows_by_its_edits_as_if_it_were_read() {
    let edits = [Edit::set("job.name", "Quay Row")];
    let edited = model::edited_text(HOUSE, &edits).unwrap();
    let (followed, read) = desks(1)
        .ask("a", None, move |room| {
            room.open(1, HOUSE).unwrap();
            assert!(room.follow(1, 2, &edits));
            room.open(3, &edited).unwrap();
            let of = |room: &mut Room, revision| room.at(revision).unwrap().proof().findings;
            (of(room, 2), of(room, 3))
        })
        .await
        .unwrap();
    assert_eq!(followed, read);
}

#[tokio::test]
async fn changes_that_wait_are_proved_as_one() {
    let desks = desks(1);
    let names = ["Quay Row", "Mill Lane", "High Street", "Canal Side"];
    let mut texts = vec![HOUSE.to_owned()];
    desks
        .ask("a", None, |room| room.open(1, HOUSE))
        .await
        .unwrap()
        .unwrap();
    for (revision, name) in (2..).zip(names) {
        let edits = vec![Edit::set("job.name", name)];
        let last = texts.last().unwrap();
        texts.push(model::edited_text(last, &edits).unwrap());
        desks.note("a", revision, edits);
    }
    let work = move |room: &mut Room| {
        assert_eq!(room.catch_up(2), Some(5), "the others wait too");
        assert!(room.at(3).is_none() && room.at(4).is_none());
        assert_eq!(room.catch_up(3), Some(5), "it is in the fifth");
        assert!(room.delta_since(1, 5).is_some());
        assert!(
            room.delta_since(3, 5).is_none(),
            "the third was never proved: nobody knows what differs from it"
        );
        // Who asks for the third itself gets the third.
        room.open(3, "nothing that could be read").unwrap();
        let of = |room: &mut Room, revision| {
            let proved = room.at(revision).unwrap();
            (
                proved.analysis().job().job.name.clone(),
                proved.proof().findings,
            )
        };
        let found = [3, 5].map(|revision| of(room, revision));
        let mut other = Room::new(Saves::default());
        for (found, revision) in found.into_iter().zip([3, 5]) {
            assert_eq!(other.catch_up(revision), None, "nothing is known of it");
            other.open(revision, &texts[revision as usize - 1]).unwrap();
            assert_eq!(found, of(&mut other, revision));
        }
    };
    desks.ask("a", None, work).await.unwrap();
}

#[test]
fn the_older_revisions_are_the_fewer_lie_there_and_the_others_follow_by_edits() {
    const LAST: Revision = 90;
    let job = model::read(HOUSE, &checks::limit_names()).unwrap();
    let at = format!("item.{}.name", job.item[0].id);
    let edits = |revision: Revision| vec![Edit::set(&at, revision.to_string())];
    let saves = Saves::default();
    for revision in 2..=LAST {
        saves.note(revision, edits(revision));
    }
    let mut room = Room::new(saves);
    room.open(1, HOUSE).unwrap();
    for revision in 2..=LAST {
        assert!(room.follow(revision - 1, revision, &edits(revision)));
    }
    let lies = |room: &Room, revision: Revision| room.at(revision).is_some();
    assert!((LAST - 39..=LAST).all(|revision| lies(&room, revision)));
    let others: Vec<_> = (1..LAST - 39).filter(|one| lies(&room, *one)).collect();
    assert_eq!(others.len(), 24, "{others:?}");
    let wide = |pair: &[Revision]| pair[1] - pair[0];
    let gaps: Vec<_> = others.windows(2).map(wide).collect();
    assert!(gaps.iter().all(|gap| *gap <= 8), "{others:?}");
    let gone = (1..LAST).find(|one| !lies(&room, *one)).unwrap();
    room.open(gone, "nothing that could be read").unwrap();
    let name = |room: &Room| room.at(gone).unwrap().analysis().job().item[0].name.clone();
    assert_eq!(name(&room), Some(gone.to_string()));
    for earlier in 1..LAST {
        assert!(room.delta_since(earlier, LAST).is_some(), "{earlier}");
    }
}

#[tokio::test]
async fn the_least_recently_used_desk_closes_for_another() {
    let desks = desks(2);
    for job in ["a", "b"] {
        let opened = desks.ask(job, None, |room| room.open(1, HOUSE)).await;
        opened.unwrap().unwrap();
    }
    let lies_there = |room: &mut Room| room.at(1).is_some();
    assert!(desks.ask("a", None, lies_there).await.unwrap());
    desks.ask("c", None, |_| ()).await.unwrap();
    assert_eq!(desks.count(), 2);
    assert!(desks.ask("a", None, lies_there).await.unwrap());
    assert!(!desks.ask("b", None, lies_there).await.unwrap());
}

#[tokio::test]
async fn a_panic_costs_its_own_answer_only() {
    let desks = desks(1);
    let broken = desks
        .ask("a", None, |_| -> () { panic!("a mistake") })
        .await;
    assert_eq!(broken, Err(Unanswered::Broken));
    assert_eq!(desks.ask("a", None, |_| 7).await, Ok(7));
}

#[tokio::test]
async fn an_unused_desk_closes_and_opens_again() {
    let idle = Duration::ZERO;
    let desks = Desks::new(Limits { desks: 1, idle });
    for _ in 0..20 {
        assert_eq!(desks.ask("a", None, |_| 7).await, Ok(7));
    }
}

#[tokio::test]
async fn what_waits_is_answered_before_all_desks_close() {
    let desks = Arc::new(desks(1));
    let (go, wait) = mpsc::channel::<()>();
    let asking = {
        let desks = Arc::clone(&desks);
        tokio::spawn(async move {
            let work = move |_: &mut Room| wait.recv().is_ok();
            desks.ask("a", None, work).await
        })
    };
    while desks.count() == 0 {
        tokio::task::yield_now().await;
    }
    let closing = {
        let desks = Arc::clone(&desks);
        tokio::task::spawn_blocking(move || desks.close())
    };
    go.send(()).unwrap();
    closing.await.unwrap();
    assert_eq!(asking.await.unwrap(), Ok(true));
    assert_eq!(desks.count(), 0);
}
