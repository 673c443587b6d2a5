//! What waits at a desk: asked in order, drags and changes in turn, the latest of a client only,
//! nothing that nobody waits for any more.

use std::collections::VecDeque;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use tokio::sync::oneshot;

/// Why something was not answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unanswered {
    /// A later request of the same client took its place; it was not computed.
    Superseded,
    /// The work panicked.
    Broken,
}

/// Requests of one client that replace each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lane {
    /// The client.
    pub client: String,
    /// Counts up with each of its requests.
    pub number: u64,
}

/// What waits for its turn with `R`.
trait Letter<R>: Send {
    fn lane(&self) -> Option<&Lane>;
    fn is_wanted(&self) -> bool;
    fn answer(self: Box<Self>, room: &mut R);
    fn supersede(self: Box<Self>);
}

struct Ask<F, T> {
    lane: Option<Lane>,
    work: F,
    reply: oneshot::Sender<Result<T, Unanswered>>,
}

impl<R, F, T> Letter<R> for Ask<F, T>
where
    F: FnOnce(&mut R) -> T + Send,
    T: Send,
{
    fn lane(&self) -> Option<&Lane> {
        self.lane.as_ref()
    }

    fn is_wanted(&self) -> bool {
        !self.reply.is_closed()
    }

    fn answer(self: Box<Self>, room: &mut R) {
        let answer = (self.work)(room);
        // Nobody may wait any more: then the answer is for nobody.
        let _ = self.reply.send(Ok(answer));
    }

    fn supersede(self: Box<Self>) {
        let _ = self.reply.send(Err(Unanswered::Superseded));
    }
}

/// The answer to come. Dropping it takes the request back unless its turn has come.
pub struct Answer<T>(oneshot::Receiver<Result<T, Unanswered>>);

impl<T> Answer<T> {
    /// Waits for it.
    pub async fn wait(self) -> Result<T, Unanswered> {
        self.0.await.unwrap_or(Err(Unanswered::Broken))
    }
}

/// What waits at a desk.
pub struct Mailbox<R> {
    waiting: Mutex<Waiting<R>>,
    bell: Condvar,
}

struct Waiting<R> {
    letters: VecDeque<Box<dyn Letter<R>>>,
    /// The last one answered had a lane.
    laned: bool,
    open: bool,
}

impl<R> Waiting<R> {
    /// Takes the next letter: those with a lane and those without in turn, each in their order.
    /// Somebody drags and looks on; a row of changes that others saved must not hold that up, nor
    /// the other way round.
    fn take(&mut self) -> Option<Box<dyn Letter<R>>> {
        let mut lanes = self.letters.iter().map(|letter| letter.lane().is_some());
        let at = lanes.position(|laned| laned != self.laned).unwrap_or(0);
        let letter = self.letters.remove(at)?;
        self.laned = letter.lane().is_some();
        Some(letter)
    }
}

/// The mailbox takes nothing any more; the work comes back.
pub struct Closed<F>(pub F);

impl<R> Mailbox<R> {
    pub fn new() -> Self {
        Self {
            waiting: Mutex::new(Waiting {
                letters: VecDeque::new(),
                laned: false,
                open: true,
            }),
            bell: Condvar::new(),
        }
    }

    /// Puts work at the end of the line. Of one lane, only the highest number stays in it.
    pub fn post<T, F>(&self, lane: Option<Lane>, work: F) -> Result<Answer<T>, Closed<F>>
    where
        F: FnOnce(&mut R) -> T + Send + 'static,
        T: Send + 'static,
    {
        let mut waiting = self.lock();
        if !waiting.open {
            return Err(Closed(work));
        }
        let (reply, answer) = oneshot::channel();
        let earlier = lane.as_ref().and_then(|lane| {
            let mut letters = waiting.letters.iter().enumerate();
            letters.find_map(|(at, letter)| {
                let other = letter.lane().filter(|other| other.client == lane.client)?;
                Some((at, other.number > lane.number))
            })
        });
        let letter: Box<dyn Letter<R>> = Box::new(Ask { lane, work, reply });
        match earlier {
            // Requests may overtake each other on their way here.
            Some((_, true)) => letter.supersede(),
            Some((at, false)) => {
                if let Some(old) = waiting.letters.remove(at) {
                    old.supersede();
                }
                waiting.letters.push_back(letter);
            }
            None => waiting.letters.push_back(letter),
        }
        drop(waiting);
        self.bell.notify_one();
        Ok(Answer(answer))
    }

    /// Takes nothing more; what waits is still answered.
    pub fn close(&self) {
        self.lock().open = false;
        self.bell.notify_one();
    }

    /// Answers the next letter that somebody waits for; false once the box is closed and
    /// empty, which it is too when nothing came for so long.
    pub fn answer_next(&self, room: &mut R, idle: Duration) -> bool {
        let Some(letter) = self.next(idle) else {
            return false;
        };
        letter.answer(room);
        true
    }

    fn next(&self, idle: Duration) -> Option<Box<dyn Letter<R>>> {
        let mut waiting = self.lock();
        loop {
            while let Some(letter) = waiting.take() {
                if letter.is_wanted() {
                    return Some(letter);
                }
            }
            if !waiting.open {
                return None;
            }
            let (guard, timeout) = (self.bell)
                .wait_timeout(waiting, idle)
                .unwrap_or_else(PoisonError::into_inner);
            waiting = guard;
            if timeout.timed_out() && waiting.letters.is_empty() {
                waiting.open = false;
            }
        }
    }

    /// Work never runs under the lock, so that a panic can't leave half a list.
    fn lock(&self) -> MutexGuard<'_, Waiting<R>> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LONG: Duration = Duration::from_secs(60);

    fn lane(client: &str, number: u64) -> Option<Lane> {
        let client = client.to_owned();
        Some(Lane { client, number })
    }

    fn post(mailbox: &Mailbox<Vec<u64>>, client: &str, number: u64) -> Answer<()> {
        let work = move |done: &mut Vec<u64>| done.push(number);
        let Ok(answer) = mailbox.post(lane(client, number), work) else {
            panic!("the mailbox is closed");
        };
        answer
    }

    /// What is done of what waits, in order.
    fn done(mailbox: &Mailbox<Vec<u64>>) -> Vec<u64> {
        mailbox.close();
        let mut done = Vec::new();
        while mailbox.answer_next(&mut done, LONG) {}
        done
    }

    #[tokio::test]
    async fn the_latest_of_a_client_wins_and_the_others_are_not_computed() {
        let mailbox = Mailbox::new();
        let one = post(&mailbox, "phone", 1);
        let other = post(&mailbox, "laptop", 10);
        let two = post(&mailbox, "phone", 2);
        let three = post(&mailbox, "phone", 3);
        assert_eq!(done(&mailbox), [10, 3]);
        assert_eq!(one.wait().await, Err(Unanswered::Superseded));
        assert_eq!(two.wait().await, Err(Unanswered::Superseded));
        assert_eq!(three.wait().await, Ok(()));
        assert_eq!(other.wait().await, Ok(()));
    }

    #[tokio::test]
    async fn an_earlier_request_that_comes_late_does_not_replace_a_later_one() {
        let mailbox = Mailbox::new();
        let two = post(&mailbox, "phone", 2);
        let one = post(&mailbox, "phone", 1);
        assert_eq!(done(&mailbox), [2]);
        assert_eq!(one.wait().await, Err(Unanswered::Superseded));
        assert_eq!(two.wait().await, Ok(()));
    }

    #[test]
    fn what_nobody_waits_for_is_not_computed() {
        let mailbox = Mailbox::new();
        drop(post(&mailbox, "phone", 1));
        let _kept = post(&mailbox, "laptop", 2);
        assert_eq!(done(&mailbox), [2]);
    }

    #[test]
    fn requests_without_a_lane_all_get_their_turn() {
        let mailbox = Mailbox::new();
        let answers: Vec<_> = (0..3)
            .map(|number| mailbox.post(None, move |done: &mut Vec<u64>| done.push(number)))
            .collect();
        assert_eq!(done(&mailbox), [0, 1, 2]);
        assert!(answers.iter().all(Result::is_ok));
    }

    #[test]
    fn drags_and_changes_take_turns() {
        let mailbox = Mailbox::new();
        let change = |number| mailbox.post(None, move |done: &mut Vec<u64>| done.push(number));
        let changes: Vec<_> = (0..3).map(change).collect();
        let drags = [post(&mailbox, "phone", 10), post(&mailbox, "laptop", 20)];
        assert_eq!(done(&mailbox), [10, 0, 20, 1, 2]);
        assert!(changes.iter().all(Result::is_ok));
        drop(drags);
    }

    #[test]
    fn an_idle_mailbox_closes_and_gives_work_back() {
        let mailbox: Mailbox<()> = Mailbox::new();
        assert!(!mailbox.answer_next(&mut (), Duration::ZERO));
        let Err(Closed(work)) = mailbox.post(None, |(): &mut ()| 7) else {
            panic!("a closed mailbox took work");
        };
        assert_eq!(work(&mut ()), 7);
    }
}
