//! Opens the page at an address of this machine.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::process::{Command, Stdio};
use std::{env, io};

use clap::Args;
use server::{Access, Limits, State};
use store::Store;
use tokio::net::TcpListener;

use crate::command::share;
use crate::data::{Data, runtime, user};
use crate::failure::Failure;
use crate::{Outcome, files};

/// Tried first, so that a kept link goes on working.
const PORT: u16 = 8420;

#[derive(Args)]
pub struct Arguments {
    /// The port; 0 takes any that is free. 8420 when left out, or any that is free when that
    /// is taken.
    #[arg(long)]
    port: Option<u16>,
    #[command(flatten)]
    data: Data,
    /// Open the page in the browser too.
    #[arg(long)]
    open: bool,
    #[command(flatten)]
    share: share::Share,
}

pub fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    tracing_subscriber::fmt()
        .with_writer(io::stderr)
        .with_max_level(tracing::Level::WARN)
        .init();
    let runtime = runtime()?;
    let served = runtime.block_on(serve(arguments));
    // Work that can't be stopped must not hold the program open.
    runtime.shutdown_background();
    served?;
    Ok(Outcome::NothingFails)
}

async fn serve(arguments: &Arguments) -> Result<(), Failure> {
    let stop =
        asked_to_stop().map_err(|error| Failure::opening("the program's signals", &error))?;
    let (place, kept) = arguments.data.place()?;
    let store = Store::open(&place, checks::limit_names()).await?;
    let listener = listen(arguments.port).await?;
    let address = listener
        .local_addr()
        .map_err(|error| Failure::opening("the port", &error))?;
    let page = format!("http://{address}/");
    files::print(&format!(
        "dryfit is open at {page}\njobs are kept in {kept}; Ctrl-C closes it\n"
    ))?;
    if arguments.open {
        open(&page);
    }
    let state = State::new(store, Limits::default());
    state.keep_solves(arguments.data.solves()?);
    let access = Access::here(user());
    let (access, secured) = match arguments.share.begin(&arguments.data)? {
        None => (access, None),
        Some(shared) => {
            files::print(&shared.words)?;
            state.open_to(shared.house);
            (access.known_as(shared.hosts), Some(shared.secured))
        }
    };
    server::serve(listener, secured, state, access, stop)
        .await
        .map_err(|error| Failure::opening(&page, &error))?;
    files::print("dryfit is closed; everything is saved\n")
}

async fn listen(port: Option<u16>) -> Result<TcpListener, Failure> {
    let here = |port| SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
    let first = TcpListener::bind(here(port.unwrap_or(PORT))).await;
    let listener = match first {
        Err(error) if port.is_none() && error.kind() == io::ErrorKind::AddrInUse => {
            TcpListener::bind(here(0)).await
        }
        other => other,
    };
    listener.map_err(|error| Failure::Port {
        port: port.unwrap_or(PORT),
        reason: match error.kind() {
            io::ErrorKind::AddrInUse => "another program uses it".to_owned(),
            _ => error.to_string(),
        },
    })
}

/// Ready once somebody presses Ctrl-C or the system asks the program to end.
#[cfg(unix)]
fn asked_to_stop() -> io::Result<impl Future<Output = ()> + Send + 'static> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

/// Ready once somebody presses Ctrl-C.
#[cfg(not(unix))]
fn asked_to_stop() -> io::Result<impl Future<Output = ()> + Send + 'static> {
    Ok(async {
        // Without a signal to wait for, the program runs until it is ended from outside.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    })
}

/// Asks the system's own opener; without one, the printed address is there.
fn open(page: &str) {
    let opener = match env::consts::OS {
        "macos" => "open",
        "windows" => "explorer",
        _ => "xdg-open",
    };
    let quiet = || Stdio::null();
    let begun = Command::new(opener)
        .arg(page)
        .stdin(quiet())
        .stdout(quiet())
        .stderr(quiet())
        .spawn();
    if let Err(error) = begun {
        files::print_aside(&format!("no browser was opened ({opener}: {error})\n"));
    }
}
