//! A session's secret: 32 random bytes with the device, their digest in the store.

use std::fmt::Write;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

const BYTES: usize = 32;

/// A secret that only the paired device has.
#[derive(Clone, PartialEq, Eq)]
pub struct Token(String);

impl Token {
    /// A new one. The operating system's random source failing is no state to go on in.
    pub fn fresh() -> Self {
        let mut bytes = [0; BYTES];
        getrandom::fill(&mut bytes).expect("the system has a random source");
        Self(URL_SAFE_NO_PAD.encode(bytes))
    }

    /// One that a cookie brought; none when it can't be one.
    pub fn read(text: &str) -> Option<Self> {
        let bytes = URL_SAFE_NO_PAD.decode(text).ok()?;
        (bytes.len() == BYTES).then(|| Self(text.to_owned()))
    }

    /// What the cookie carries.
    pub fn secret(&self) -> &str {
        &self.0
    }

    /// What the store keeps: nobody who reads it can make the token again.
    pub fn digest(&self) -> String {
        let digest = Sha256::digest(self.0.as_bytes());
        digest.iter().fold(String::new(), |mut text, byte| {
            write!(text, "{byte:02x}").expect("a string takes everything");
            text
        })
    }
}

/// A number that nobody can guess.
pub fn random() -> u64 {
    getrandom::u64().expect("the system has a random source")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_reads_back_and_others_do_not() {
        let token = Token::fresh();
        assert_eq!(token.secret().len(), 43);
        assert!(Token::read(token.secret()).as_ref() == Some(&token));
        assert!(Token::fresh() != token);
        for text in ["", "abc", &token.secret()[1..], "ä", &"A".repeat(1_000_000)] {
            assert!(Token::read(text).is_none());
        }
    }

    #[test]
    fn the_digest_is_sha_256() {
        // FIPS 180-4, example "abc".
        let token = Token("abc".into());
        assert_eq!(
            token.digest(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
