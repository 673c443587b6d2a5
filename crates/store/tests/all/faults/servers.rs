//! Two servers on one store: do both work?

use std::collections::BTreeSet;
use std::env;

use super::child::{Said, Server, command};
use crate::scratch::on_both;

#[test]
fn two_servers_on_one_store_both_save() {
    on_both(async |scratch| {
        let program = env::current_exe().unwrap();
        let place = scratch.parsable();
        let place = [place[0].as_str(), place[1].as_str()];
        // Both find nothing and make the store at once.
        let mut servers: Vec<Server> = ["left", "right"]
            .iter()
            .map(|name| Server::start(command(&[], &program, &place, name, 60)))
            .collect();
        let mut saved = BTreeSet::new();
        for server in &mut servers {
            let said = server.rest();
            assert_eq!(said.last(), Some(&Said::Done), "{said:?}");
            for one in said {
                if let Said::Saved { op, .. } = one {
                    saved.insert(op);
                }
            }
        }
        servers.into_iter().for_each(Server::wait);
        assert_eq!(saved.len(), 120);
        let store = scratch.open().await;
        let jobs = store.jobs().await.unwrap();
        assert_eq!(jobs.len(), 1, "{jobs:?}");
        let history = store.history("mill-lane").await.unwrap();
        let kept: BTreeSet<String> = history.iter().map(|entry| entry.summary.clone()).collect();
        assert_eq!(history.len(), 121);
        assert!(saved.is_subset(&kept));
        assert_eq!(store.prove().await.unwrap(), history.len() as u64);
    });
}
