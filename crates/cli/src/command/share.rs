//! Opens the program to the house's network.

use std::io;
use std::net::{Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};
use std::path::PathBuf;

use clap::Args;
use server::{House, Secured};
use sharing::{Authority, Hosts, from_files, house_addresses, machine_name};
use time::OffsetDateTime;

use crate::data::Data;
use crate::failure::Failure;

/// Tried first, so that a phone's saved link goes on working.
const PORT: u16 = 8421;

#[derive(Args)]
pub struct Share {
    /// Open the program to the house's network too: encrypted, for devices that are paired by a
    /// code which the sharing page shows.
    #[arg(long)]
    share: bool,
    /// The port for other devices; 8421 when left out.
    #[arg(long, requires = "share", value_name = "PORT")]
    share_port: Option<u16>,
    /// Another name by which devices know this machine, such as a firm's own domain.
    #[arg(long, requires = "share", value_name = "NAME")]
    name: Vec<String>,
    /// A certificate of the firm's own (PEM), in place of one that devices are told to trust.
    #[arg(long, requires_all = ["share", "key"], value_name = "FILE")]
    certificate: Option<PathBuf>,
    /// The key of that certificate (PEM).
    #[arg(long, requires = "certificate", value_name = "FILE")]
    key: Option<PathBuf>,
}

/// All that the server needs to be open to others.
pub struct Shared {
    pub house: House,
    pub hosts: Hosts,
    pub secured: Secured,
    /// What the crew is told.
    pub words: String,
}

impl Share {
    /// Takes the port and the certificate; none when the program is to stay closed.
    pub fn begin(&self, data: &Data) -> Result<Option<Shared>, Failure> {
        if !self.share {
            return Ok(None);
        }
        let hosts = self.hosts();
        let (config, authority) = match (&self.certificate, &self.key) {
            (Some(certificate), Some(key)) => (from_files(certificate, key)?, None),
            _ => {
                let now = OffsetDateTime::now_utc();
                let authority = Authority::kept_in(&data.folder()?.join("sharing"), now)?;
                (authority.serve_as(&hosts, now)?, Some(authority))
            }
        };
        let listener = self.listen()?;
        let port = listener.local_addr().map_or(PORT, |address| address.port());
        let addresses = self.addresses(&hosts, port);
        let words = match addresses.first() {
            Some(first) => format!(
                "other devices reach it at {first} once they are paired: the sharing page shows how\n"
            ),
            None => "this machine is in no house's network at the moment: other devices can't \
                     reach it\n"
                .to_owned(),
        };
        Ok(Some(Shared {
            house: House::new(addresses, authority.as_ref()),
            hosts,
            secured: Secured { listener, config },
            words,
        }))
    }

    fn hosts(&self) -> Hosts {
        let mut hosts = Hosts::loopback();
        for address in house_addresses() {
            hosts = hosts.at(address);
        }
        for name in machine_name().iter().chain(&self.name) {
            hosts = hosts.named(name);
        }
        hosts
    }

    /// A firm's own name first, then addresses, which every device can type.
    fn addresses(&self, hosts: &Hosts, port: u16) -> Vec<String> {
        let named = self
            .name
            .iter()
            .map(|name| format!("https://{name}:{port}"));
        let numbered = (hosts.addresses())
            .filter(|address| !address.is_loopback())
            .map(|address| format!("https://{}", SocketAddr::new(address, port)));
        named.chain(numbered).collect()
    }

    fn listen(&self) -> Result<TcpListener, Failure> {
        let port = self.share_port.unwrap_or(PORT);
        let listener = match bind(port) {
            Err(error) if self.share_port.is_none() && error.kind() == io::ErrorKind::AddrInUse => {
                bind(0)
            }
            other => other,
        };
        listener.map_err(|error| Failure::Port {
            port,
            reason: error.to_string(),
        })
    }
}

/// Both kinds of address at once, or the older alone where the system knows no other.
fn bind(port: u16) -> io::Result<TcpListener> {
    match TcpListener::bind(SocketAddr::from((Ipv6Addr::UNSPECIFIED, port))) {
        Err(error) if error.kind() != io::ErrorKind::AddrInUse => {
            TcpListener::bind(SocketAddr::from((Ipv4Addr::UNSPECIFIED, port)))
        }
        other => other,
    }
}
