//! Which devices are paired: plain rows, of which the server makes sense.

use serde::{Deserialize, Serialize};
use sqlx::Row;
use sqlx::any::AnyRow;

use crate::act::line;
use crate::database::{Fault, Store};
use crate::jobs::{text, when};
use crate::{StoreError, When};

/// A device's session.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Session {
    /// The hash of its token; the token itself is never kept.
    pub token: String,
    /// The device's name.
    pub device: String,
    /// What it may do.
    pub role: String,
    /// When it was paired.
    pub created: When,
    /// When it ends by itself.
    pub expires: When,
    /// When somebody ended it.
    pub revoked: Option<When>,
}

impl Store {
    /// Keeps a session. A second one of the same token is refused.
    pub async fn add_session(&self, session: &Session) -> Result<(), StoreError> {
        line("the token's hash", &session.token)?;
        line("the device's name", &session.device)?;
        line("the role", &session.role)?;
        let write = async {
            let mut work = self.write().await?;
            sqlx::query(
                "INSERT INTO session (token, device, role, created, expires, revoked) \
                 VALUES ($1, $2, $3, $4, $5, $6)",
            )
            .bind(&session.token)
            .bind(&session.device)
            .bind(&session.role)
            .bind(session.created.as_str())
            .bind(session.expires.as_str())
            .bind(session.revoked.as_ref().map(When::as_str))
            .execute(&mut *work)
            .await?;
            work.commit().await
        };
        write.await.map_err(|fault: Fault| self.told(fault))
    }

    /// The session of a token's hash, be it expired or revoked.
    pub async fn session(&self, token: &str) -> Result<Option<Session>, StoreError> {
        let row = sqlx::query("SELECT * FROM session WHERE token = $1")
            .bind(token)
            .fetch_optional(&self.inner.pool)
            .await
            .map_err(|error| self.told(error))?;
        row.map(|row| of_row(&row).map_err(|fault| self.told(fault)))
            .transpose()
    }

    /// Every session, oldest first.
    pub async fn sessions(&self) -> Result<Vec<Session>, StoreError> {
        let rows = sqlx::query("SELECT * FROM session")
            .fetch_all(&self.inner.pool)
            .await
            .map_err(|error| self.told(error))?;
        let mut sessions: Vec<Session> = rows
            .iter()
            .map(of_row)
            .collect::<Result<_, Fault>>()
            .map_err(|fault| self.told(fault))?;
        sessions
            .sort_by(|one, other| (&one.created, &one.token).cmp(&(&other.created, &other.token)));
        Ok(sessions)
    }

    /// Ends a session; whether there was one that nobody ended before.
    pub async fn revoke_session(&self, token: &str, when: &When) -> Result<bool, StoreError> {
        let write = async {
            let mut work = self.write().await?;
            let ended =
                sqlx::query("UPDATE session SET revoked = $1 WHERE token = $2 AND revoked IS NULL")
                    .bind(when.as_str())
                    .bind(token)
                    .execute(&mut *work)
                    .await?;
            work.commit().await?;
            Ok(ended.rows_affected() == 1)
        };
        write.await.map_err(|fault: Fault| self.told(fault))
    }
}

fn of_row(row: &AnyRow) -> Result<Session, Fault> {
    let revoked: Option<String> = row.try_get("revoked")?;
    Ok(Session {
        token: text(row, "token")?,
        device: text(row, "device")?,
        role: text(row, "role")?,
        created: when(row, "created")?,
        expires: when(row, "expires")?,
        revoked: revoked.map(|_| when(row, "revoked")).transpose()?,
    })
}
