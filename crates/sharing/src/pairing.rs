//! How does a phone become known to the laptop?
//!
//! The laptop shows six digits; whoever types them first within ten minutes gets a session.
//! A code pairs one device and dies after five wrong tries: with a million codes that is a
//! chance of 1 in 200 000 for somebody who can't see the laptop's screen, and the next five
//! tries need a person at the laptop to ask for another code.

use subtle::ConstantTimeEq;

/// How long a code holds, s.
const CODE_LASTS_S: i64 = 600;
/// Wrong tries before a code dies.
const TRIES: u32 = 5;
/// Digits of a code.
const DIGITS: usize = 6;

/// The code that is shown at the moment, if any, and the role that it gives.
#[derive(Debug)]
pub struct Pairing<R> {
    offer: Option<Offer<R>>,
}

#[derive(Debug)]
struct Offer<R> {
    code: String,
    role: R,
    until_s: i64,
    tries_left: u32,
}

/// Why a code does not pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// No code is shown, or it is too old, or it was used up.
    NoCode,
    /// Not this one; so many tries are left.
    Wrong {
        /// Tries left before the code dies.
        tries_left: u32,
    },
}

impl<R> Default for Pairing<R> {
    fn default() -> Self {
        Self { offer: None }
    }
}

impl<R: Copy> Pairing<R> {
    /// Shows another code in place of the last, for a device of that role. `random` must be
    /// uniform and secret. Returns the code and until when it holds.
    pub fn offer(&mut self, role: R, random: u64, now_s: i64) -> (String, i64) {
        // 2⁶⁴ is no multiple of a million: the first 551 616 codes are likelier by 5 parts in 10¹⁴.
        let code = format!("{:0DIGITS$}", random % 1_000_000);
        let until_s = now_s + CODE_LASTS_S;
        self.offer = Some(Offer {
            code: code.clone(),
            role,
            until_s,
            tries_left: TRIES,
        });
        (code, until_s)
    }

    /// The code that holds now, and until when.
    pub fn shown(&self, now_s: i64) -> Option<(&str, i64)> {
        let offer = self.offer.as_ref().filter(|offer| now_s < offer.until_s)?;
        Some((&offer.code, offer.until_s))
    }

    /// Takes a code that somebody typed; the right one is used up by it.
    pub fn take(&mut self, typed: &str, now_s: i64) -> Result<R, Refusal> {
        let offer = (self.offer.as_mut())
            .filter(|offer| now_s < offer.until_s)
            .ok_or(Refusal::NoCode)?;
        // People type a code as they read it: in two groups.
        let typed: String = typed
            .chars()
            .filter(|letter| !matches!(letter, ' ' | '-' | '\u{202f}'))
            .collect();
        let right = typed.as_bytes().ct_eq(offer.code.as_bytes());
        if bool::from(right) {
            let role = offer.role;
            self.offer = None;
            return Ok(role);
        }
        offer.tries_left -= 1;
        let tries_left = offer.tries_left;
        if tries_left == 0 {
            self.offer = None;
        }
        Err(Refusal::Wrong { tries_left })
    }

    /// Takes the shown code away.
    pub fn stop(&mut self) {
        self.offer = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    enum Role {
        View,
        Crew,
    }

    #[test]
    fn the_right_code_pairs_once() {
        let mut pairing = Pairing::default();
        let (code, until) = pairing.offer(Role::View, 42, 1_000);
        assert_eq!((code.as_str(), until), ("000042", 1_600));
        assert_eq!(pairing.take("000 042", 1_599), Ok(Role::View));
        assert_eq!(pairing.take("000042", 1_599), Err(Refusal::NoCode));
    }

    #[test]
    fn the_sixth_try_finds_no_code_although_it_is_right() {
        let mut pairing = Pairing::default();
        let (code, _) = pairing.offer(Role::Crew, 123_456, 0);
        for tries_left in (0..5).rev() {
            assert_eq!(
                pairing.take("999999", 1),
                Err(Refusal::Wrong { tries_left })
            );
        }
        assert_eq!(pairing.take(&code, 1), Err(Refusal::NoCode));
        assert_eq!(pairing.shown(1), None);
    }

    #[test]
    fn a_code_dies_after_ten_minutes_and_with_the_next_one() {
        let mut pairing = Pairing::default();
        let (old, _) = pairing.offer(Role::Crew, 1, 0);
        assert_eq!(pairing.take(&old, 600), Err(Refusal::NoCode));
        let (first, _) = pairing.offer(Role::Crew, 2, 0);
        pairing.offer(Role::Crew, 3, 0);
        assert_eq!(
            pairing.take(&first, 1),
            Err(Refusal::Wrong { tries_left: 4 })
        );
    }

    #[test]
    fn part_of_a_code_or_none_is_wrong() {
        let mut pairing = Pairing::default();
        pairing.offer(Role::Crew, 123_456, 0);
        for typed in ["", "12345", "1234567", "123456\0"] {
            assert!(
                matches!(pairing.take(typed, 1), Err(Refusal::Wrong { .. })),
                "{typed:?}"
            );
            pairing.offer(Role::Crew, 123_456, 0);
        }
    }
}
