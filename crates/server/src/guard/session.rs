//! The session of a paired device: the cookie that carries it, and what it stands for.

use std::time::Duration;

use axum::http::{HeaderMap, HeaderValue, header};
use cookie::{Cookie, SameSite};
use jiff::Timestamp;
use sharing::Token;
use store::{Session, When};

use crate::caller::Role;
use crate::clock::now;
use crate::{Error, State};

/// A browser takes a cookie of this name only over TLS, for this one host, for all its paths.
const NAME: &str = "__Host-session";
/// A season of jobs; then the device is paired again.
const LASTS: Duration = Duration::from_secs(60 * 60 * 24 * 60);
/// The shortest name that tells devices apart is one letter; longer ones fill no line.
pub const DEVICE_NAME_MAX: usize = 40;

/// The role and name of the device whose session the request carries.
pub async fn of(state: &State, headers: &HeaderMap) -> Result<Option<(Role, String)>, Error> {
    let Some(token) = token(headers) else {
        return Ok(None);
    };
    let session = state.store().session(&token.digest()).await?;
    Ok(session
        .filter(holds)
        .and_then(|session| Some((role(&session)?, session.device))))
}

/// Whether a session is neither at its end nor ended.
pub fn holds(session: &Session) -> bool {
    session.revoked.is_none() && now() < session.expires
}

/// What a session allows.
pub fn role(session: &Session) -> Option<Role> {
    match session.role.as_str() {
        "crew" => Some(Role::Crew),
        "view" => Some(Role::View),
        _ => None,
    }
}

/// Begins a session; the answer is the cookie to set.
pub async fn begin(state: &State, role: Role, device: &str) -> Result<HeaderValue, Error> {
    let token = Token::fresh();
    let created = Timestamp::now();
    let session = Session {
        token: token.digest(),
        device: device.to_owned(),
        role: match role {
            Role::Crew => "crew",
            Role::View => "view",
        }
        .to_owned(),
        created: When::from_timestamp(created),
        expires: When::from_timestamp(created + LASTS),
        revoked: None,
    };
    state.store().add_session(&session).await?;
    Ok(set(token.secret(), LASTS))
}

/// Ends the session that the request carries; the answer is the cookie that takes its away.
pub async fn end(state: &State, headers: &HeaderMap) -> Result<HeaderValue, Error> {
    if let Some(token) = token(headers) {
        state
            .store()
            .revoke_session(&token.digest(), &now())
            .await?;
    }
    Ok(set("", Duration::ZERO))
}

fn token(headers: &HeaderMap) -> Option<Token> {
    let lines = headers.get_all(header::COOKIE).iter();
    let mut cookies = lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| Cookie::split_parse(line.to_owned()))
        .filter_map(Result::ok);
    let cookie = cookies.find(|cookie| cookie.name() == NAME)?;
    Token::read(cookie.value())
}

fn set(secret: &str, lasts: Duration) -> HeaderValue {
    let cookie = Cookie::build((NAME, secret))
        .path("/")
        .secure(true)
        .http_only(true)
        .same_site(SameSite::Strict)
        .max_age(lasts.try_into().expect("a season is no long time"))
        .build();
    HeaderValue::try_from(cookie.to_string()).expect("a token has plain letters only")
}
