//! By which names may this machine be asked for?
//!
//! A page of the internet can have its name point at this machine and then read what the
//! machine answers (DNS rebinding); it can't change the name that the browser sends. So only
//! names that are this machine's own are answered.

use std::collections::BTreeSet;
use std::net::IpAddr;

use http::uri::Authority;

/// The names and addresses that are this machine's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hosts {
    names: BTreeSet<String>,
    addresses: BTreeSet<IpAddr>,
}

impl Hosts {
    /// What a browser on this machine asks for.
    pub fn loopback() -> Self {
        Self {
            names: BTreeSet::from(["localhost".to_owned()]),
            addresses: [
                IpAddr::from([127, 0, 0, 1]),
                IpAddr::from(std::net::Ipv6Addr::LOCALHOST),
            ]
            .into(),
        }
    }

    /// Adds a name, and `name.local` by which a house's network knows it.
    pub fn named(mut self, name: &str) -> Self {
        let name = name.trim_end_matches('.').to_ascii_lowercase();
        if !name.is_empty() {
            if !name.contains('.') {
                self.names.insert(format!("{name}.local"));
            }
            self.names.insert(name);
        }
        self
    }

    /// Adds an address.
    pub fn at(mut self, address: IpAddr) -> Self {
        self.addresses.insert(address);
        self
    }

    /// Whether a request for this host is for this machine.
    pub fn hold(&self, host: &str) -> bool {
        let host = host.trim_end_matches('.');
        let bare = host
            .strip_prefix('[')
            .and_then(|host| host.strip_suffix(']'));
        match bare.unwrap_or(host).parse::<IpAddr>() {
            Ok(address) => self.addresses.contains(&address),
            Err(_) => self.names.contains(&host.to_ascii_lowercase()),
        }
    }

    /// As [`Hosts::hold`], of a host with its port.
    pub fn hold_authority(&self, authority: &Authority) -> bool {
        // A browser never sends a user's name here; something that does wants to confuse.
        !authority.as_str().contains('@') && self.hold(authority.host())
    }

    /// The names, for a certificate.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(String::as_str)
    }

    /// The addresses, for a certificate.
    pub fn addresses(&self) -> impl Iterator<Item = IpAddr> {
        self.addresses.iter().copied()
    }
}

/// This machine's addresses in the house's own network: never ones of the open internet.
pub fn house_addresses() -> Vec<IpAddr> {
    let mut addresses: Vec<IpAddr> = (if_addrs::get_if_addrs().unwrap_or_default().into_iter())
        .map(|interface| interface.ip())
        .filter(|address| is_in_a_house(*address))
        .collect();
    addresses.sort();
    addresses.dedup();
    addresses
}

/// Private addresses of RFC 1918 and RFC 4193. Link-local ones need an interface's name in the
/// browser, which no phone offers.
fn is_in_a_house(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(address) => address.is_private(),
        IpAddr::V6(address) => address.is_unique_local(),
    }
}

/// This machine's name in its network.
pub fn machine_name() -> Option<String> {
    gethostname::gethostname().into_string().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_own_names_are_held() {
        let hosts = Hosts::loopback()
            .named("Van-Laptop")
            .at([192, 168, 1, 20].into());
        let held = |authority: &str| {
            authority
                .parse()
                .is_ok_and(|authority| hosts.hold_authority(&authority))
        };
        for own in [
            "localhost",
            "LOCALHOST:8080",
            "127.0.0.1:1",
            "[::1]:8080",
            "van-laptop",
            "van-laptop.local:4173",
            "van-laptop.local.",
            "192.168.1.20",
        ] {
            assert!(held(own), "{own}");
        }
        for other in [
            "rebound.example",
            "localhost.rebound.example",
            "127.0.0.1.rebound.example",
            "127.0.0.2",
            "192.168.1.21",
            "van-laptop.example",
            "[::2]",
            "localhost@rebound.example",
            "rebound.example@localhost",
            "0",
            "2130706433",
        ] {
            assert!(!held(other), "{other}");
        }
    }

    #[test]
    fn addresses_of_the_open_internet_are_left_out() {
        assert!(is_in_a_house([10, 1, 2, 3].into()));
        assert!(!is_in_a_house([203, 0, 113, 5].into()));
        assert!(!is_in_a_house([127, 0, 0, 1].into()));
    }
}
