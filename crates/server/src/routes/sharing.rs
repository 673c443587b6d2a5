//! Pairing devices with the laptop, and letting them go.

use axum::Json;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sharing::{Refusal, random};
use store::Session;

use crate::caller::{Needs, Role};
use crate::clock::now;
use crate::describe::{Answers, Body, Endpoint, File, Operation, Path, Shapes, kinds};
use crate::guard::session;
use crate::house::House;
use crate::{Error, State};

/// Of a token's digest, enough to tell some devices apart and too little to be of use.
const ID_DIGITS: usize = 16;

pub fn routes() -> Vec<Endpoint> {
    vec![
        Endpoint::get(
            "/api/sharing",
            "Where devices reach the laptop, and which are paired",
            all,
        )
        .needs(Needs::Here),
        Endpoint::post(
            "/api/sharing/code",
            "Shows a code that pairs one device",
            code,
        )
        .needs(Needs::Here)
        .refuses(&[409]),
        Endpoint::delete("/api/sharing/devices/{id}", "Lets a device go", forget)
            .needs(Needs::Here),
        Endpoint::post(
            "/api/sign-out-everywhere",
            "Lets every device go",
            forget_all,
        )
        .needs(Needs::Here),
        Endpoint::post(
            "/api/pair",
            "Pairs the device that asks, by the code shown",
            pair,
        )
        .needs(Needs::Nobody)
        .refuses(&[401, 409]),
        Endpoint::post("/api/sign-out", "Lets the device go that asks", sign_out)
            .needs(Needs::Nobody),
        Endpoint::get("/api/ca.crt", "What a device is told to trust", trust)
            .needs(Needs::Nobody)
            .refuses(&[404]),
    ]
}

/// How the program is open to other devices.
#[derive(Serialize, JsonSchema)]
struct Sharing {
    /// Whether it is.
    on: bool,
    /// Where devices reach it.
    addresses: Vec<String>,
    /// The code shown at the moment.
    code: Option<String>,
    /// Until when it holds, RFC 3339.
    code_until: Option<String>,
    /// Devices that are paired, oldest first.
    devices: Vec<Device>,
    /// Whether connections are encrypted.
    secure: bool,
    /// Of the certificate that a device is told to trust: it shows the same. Null where it needs
    /// none.
    fingerprint: Option<String>,
}

/// A paired device.
#[derive(Serialize, JsonSchema)]
struct Device {
    id: String,
    name: String,
    role: Role,
    /// When it was paired, RFC 3339.
    since: String,
    /// When its session ends by itself, RFC 3339.
    until: String,
}

/// Which role the next device gets.
#[derive(Deserialize, JsonSchema)]
struct Wanted {
    role: Role,
}

/// A code as somebody typed it.
#[derive(Deserialize, JsonSchema)]
struct Typed {
    code: String,
    /// What history calls the device.
    device: String,
}

/// What a device is from now on.
#[derive(Serialize, JsonSchema)]
struct Paired {
    role: Role,
    device: String,
}

/// An answer that sets the session's cookie.
struct WithCookie<T>(HeaderValue, T);

impl<T: IntoResponse> IntoResponse for WithCookie<T> {
    fn into_response(self) -> Response {
        let mut response = self.1.into_response();
        response.headers_mut().insert(header::SET_COOKIE, self.0);
        response
    }
}

impl<T: Answers> Answers for WithCookie<T> {
    fn describe(operation: &mut Operation, shapes: &mut Shapes) {
        T::describe(operation, shapes);
    }
}

async fn all(state: State) -> Result<Json<Sharing>, Error> {
    let devices = (paired(&state).await?.into_iter())
        .filter_map(|session| {
            Some(Device {
                id: id(&session),
                role: session::role(&session)?,
                name: session.device,
                since: session.created.to_string(),
                until: session.expires.to_string(),
            })
        })
        .collect();
    let house = state.house();
    let shown = house.and_then(|house| {
        let pairing = house.pairing();
        let (code, until_s) = pairing.shown(now_s())?;
        Some((code.to_owned(), until_s))
    });
    let (code, code_until) = shown.map_or((None, None), |(code, until_s)| {
        (Some(code), moment(until_s))
    });
    Ok(Json(Sharing {
        on: house.is_some(),
        addresses: house.map_or_else(Vec::new, |house| house.addresses().to_vec()),
        code,
        code_until,
        devices,
        secure: house.is_some(),
        fingerprint: house
            .and_then(House::trust)
            .map(|trust| trust.fingerprint.clone()),
    }))
}

async fn code(state: State, Body(wanted): Body<Wanted>) -> Result<Json<Sharing>, Error> {
    let house = open(&state)?;
    house.pairing().offer(wanted.role, random(), now_s());
    all(state).await
}

async fn pair(
    state: State,
    headers: HeaderMap,
    Body(typed): Body<Typed>,
) -> Result<WithCookie<Json<Paired>>, Error> {
    let device = name(&typed.device)?;
    let house = open(&state)?;
    let role = house.pairing().take(&typed.code, now_s()).map_err(wrong)?;
    // A device that is paired again is one device, not two.
    session::end(&state, &headers).await?;
    let cookie = session::begin(&state, role, &device).await?;
    Ok(WithCookie(cookie, Json(Paired { role, device })))
}

async fn sign_out(state: State, headers: HeaderMap) -> Result<WithCookie<StatusCode>, Error> {
    let cookie = session::end(&state, &headers).await?;
    Ok(WithCookie(cookie, StatusCode::NO_CONTENT))
}

async fn forget(state: State, Path(wanted): Path<String>) -> Result<StatusCode, Error> {
    let devices = paired(&state).await?;
    let Some(session) = devices.iter().find(|session| id(session) == wanted) else {
        return Err(Error::not_found(
            "no such device is paired",
            "load the page again",
        ));
    };
    state.store().revoke_session(&session.token, &now()).await?;
    Ok(StatusCode::NO_CONTENT)
}

async fn forget_all(state: State) -> Result<StatusCode, Error> {
    if let Some(house) = state.house() {
        house.pairing().stop();
    }
    for session in paired(&state).await? {
        state.store().revoke_session(&session.token, &now()).await?;
    }
    Ok(StatusCode::NO_CONTENT)
}

async fn trust(state: State) -> Result<File<{ kinds::CERTIFICATE }>, Error> {
    match state.house().and_then(House::trust) {
        Some(trust) => Ok(File::named(trust.pem.clone(), "dryfit-laptop.crt")),
        None => Err(Error::not_found(
            "there is no certificate to trust",
            "the laptop is not open to its network, or has a certificate that devices know",
        )),
    }
}

/// Devices whose session holds, oldest first.
async fn paired(state: &State) -> Result<Vec<Session>, Error> {
    let sessions = state.store().sessions().await?;
    Ok(sessions.into_iter().filter(session::holds).collect())
}

fn open(state: &State) -> Result<&House, Error> {
    state.house().ok_or_else(|| {
        Error::new(
            StatusCode::CONFLICT,
            "this program is not open to other devices",
            "close it and start it with `dryfit serve --share`",
        )
    })
}

fn wrong(refusal: Refusal) -> Error {
    let (message, hint) = match refusal {
        Refusal::NoCode => (
            "no code holds at the moment".to_owned(),
            "ask for a new code on the laptop",
        ),
        Refusal::Wrong { tries_left: 0 } => (
            "this is not the code, and it was the last try".to_owned(),
            "ask for a new code on the laptop",
        ),
        Refusal::Wrong { tries_left } => (
            format!("this is not the code that the laptop shows; tries left: {tries_left}"),
            "read it again: six digits",
        ),
    };
    Error::new(StatusCode::UNAUTHORIZED, message, hint).at("code")
}

/// A device's name in one line.
fn name(typed: &str) -> Result<String, Error> {
    let name: Vec<&str> = typed.split_whitespace().collect();
    let name = name.join(" ");
    let letters = name.chars().count();
    if letters == 0 || letters > session::DEVICE_NAME_MAX || name.chars().any(char::is_control) {
        let max = session::DEVICE_NAME_MAX;
        let hint = format!("give it a name of up to {max} letters, such as \"Ann's phone\"");
        return Err(Error::refused("the device has no usable name", hint).at("device"));
    }
    Ok(name)
}

fn id(session: &Session) -> String {
    session.token.chars().take(ID_DIGITS).collect()
}

fn now_s() -> i64 {
    Timestamp::now().as_second()
}

fn moment(second: i64) -> Option<String> {
    Some(Timestamp::from_second(second).ok()?.to_string())
}
