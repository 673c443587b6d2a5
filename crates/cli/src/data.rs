//! Where are the jobs, and how is their store opened?

use std::env;
use std::fs;
use std::path::PathBuf;

use clap::Args;
use server::Shelf;
use store::{Place, Store};
use tokio::runtime::{Builder, Runtime};

use crate::failure::Failure;

/// Names another database than the folder's own: a file, or `postgres://…`.
const DATABASE: &str = "DRYFIT_DATABASE";

/// Where the jobs are.
#[derive(Args)]
pub struct Data {
    /// The folder that holds the jobs; made when missing. The user's data folder when left
    /// out. DRYFIT_DATABASE names another database: a file, or postgres://…
    #[arg(long, value_name = "FOLDER")]
    data: Option<PathBuf>,
}

impl Data {
    /// The folder, made when missing.
    pub fn folder(&self) -> Result<PathBuf, Failure> {
        let folder = match &self.data {
            Some(folder) => folder.clone(),
            None => dirs::data_dir()
                .ok_or(Failure::NoDataFolder)?
                .join("dryfit"),
        };
        fs::create_dir_all(&folder)
            .map_err(|error| Failure::writing(&folder.to_string_lossy(), &error))?;
        Ok(folder)
    }

    /// Where solves of bass are kept.
    pub fn solves(&self) -> Result<Shelf, Failure> {
        Ok(Shelf::new(self.folder()?.join("solves")))
    }

    /// The store's place, and words for it; its folder is made.
    pub fn place(&self) -> Result<(Place, String), Failure> {
        let folder = self.folder()?;
        // An address may hold a password, so it is not repeated.
        Ok(match env::var(DATABASE) {
            Ok(database) if !database.is_empty() => (
                Place::parse(&database, &folder),
                format!("the database that {DATABASE} names"),
            ),
            _ => {
                let file = folder.join("dryfit.db");
                let words = file.display().to_string();
                (Place::file(file), words)
            }
        })
    }

    /// The store, opened.
    pub async fn open(&self) -> Result<Store, Failure> {
        let (place, _) = self.place()?;
        Ok(Store::open(&place, checks::limit_names()).await?)
    }
}

/// What runs the store's work and the server's.
pub fn runtime() -> Result<Runtime, Failure> {
    (Builder::new_multi_thread().enable_all().build())
        .map_err(|error| Failure::opening("the program's threads", &error))
}

/// Does something with the store and closes it, whatever came of it.
pub fn with_store<T>(
    data: &Data,
    work: impl AsyncFnOnce(&Store) -> Result<T, Failure>,
) -> Result<T, Failure> {
    runtime()?.block_on(async {
        let store = data.open().await?;
        let done = work(&store).await;
        store.close().await;
        done
    })
}

/// What history calls changes made at this machine.
pub fn user() -> String {
    let named = |name: &str| env::var(name).ok().filter(|user| !user.trim().is_empty());
    (named("USER").or_else(|| named("USERNAME"))).unwrap_or_else(|| "laptop".to_owned())
}
