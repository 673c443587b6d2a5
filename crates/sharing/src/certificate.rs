//! The certificate that lets a phone trust the laptop.
//!
//! Only a page that came over a trusted connection may keep working without a network. So
//! the laptop is an authority of its own, made once and kept beside its data, and a phone is
//! told once to trust it. What it could ever vouch for is fenced by name constraints (RFC 5280
//! §4.2.1.10): names under `.local`, `localhost`, and addresses of private networks. The
//! certificate that it gives the server is made anew at each start for the addresses of that
//! moment.

use std::fs;
use std::io::{self, Write};
use std::net::{Ipv4Addr, Ipv6Addr};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DistinguishedName, DnType,
    ExtendedKeyUsagePurpose, GeneralSubtree, IsCa, Issuer, KeyPair, KeyUsagePurpose,
    NameConstraints, PublicKeyData, SanType,
};
use rustls::ServerConfig;
use rustls::pki_types::PrivateKeyDer;
use rustls::pki_types::pem::PemObject;
use sha2::{Digest, Sha256};
use thiserror::Error;
use time::{Duration, OffsetDateTime};

use crate::hosts::Hosts;

/// Ten years: a phone is told to trust it once.
const AUTHORITY_LASTS: Duration = Duration::days(3650);
/// Browsers refuse server certificates that last longer than 398 days (from memory).
const CERTIFICATE_LASTS: Duration = Duration::days(365);
/// Clocks of phones and laptops differ.
const CLOCK_SLACK: Duration = Duration::days(1);

/// Why there is no certificate.
#[derive(Debug, Error)]
pub enum CertificateError {
    /// A file can't be read or written.
    #[error("failed to use {}: {source}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The key on disk is none.
    #[error("{} is no key: move it away, and the next start makes another (phones must then be told to trust it again)", path.display())]
    BadKey {
        /// Which.
        path: PathBuf,
    },
    /// A certificate given by the firm does not read, or does not fit its key.
    #[error("the certificate can't be used: {0}")]
    Unusable(String),
}

/// This machine's authority.
pub struct Authority {
    pem: String,
    issuer: Issuer<'static, KeyPair>,
}

impl Authority {
    /// The authority kept in a folder, made there on first use.
    pub fn kept_in(folder: &Path, now: OffsetDateTime) -> Result<Self, CertificateError> {
        let (key_path, pem_path) = (
            folder.join("authority-key.pem"),
            folder.join("authority.pem"),
        );
        let file = |path: &Path| {
            let path = path.to_owned();
            move |source| CertificateError::File { path, source }
        };
        fs::create_dir_all(folder).map_err(file(folder))?;
        let key = match fs::read_to_string(&key_path) {
            Ok(text) => KeyPair::from_pem(&text).map_err(|_| CertificateError::BadKey {
                path: key_path.clone(),
            })?,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let key = KeyPair::generate().map_err(unusable)?;
                write_secret(&key_path, &key.serialize_pem()).map_err(file(&key_path))?;
                key
            }
            Err(error) => return Err(file(&key_path)(error)),
        };
        let params = authority_params(&key, now);
        let pem = match fs::read_to_string(&pem_path) {
            Ok(pem) => pem,
            Err(_) => {
                let pem = params.self_signed(&key).map_err(unusable)?.pem();
                fs::write(&pem_path, &pem).map_err(file(&pem_path))?;
                pem
            }
        };
        Ok(Self {
            pem,
            issuer: Issuer::new(params, key),
        })
    }

    /// What a phone is given to trust.
    pub fn pem(&self) -> &str {
        &self.pem
    }

    /// SHA-256 of what a phone is given, in pairs of hex digits: a phone shows the same before
    /// it trusts.
    pub fn fingerprint(&self) -> String {
        let der = rustls::pki_types::CertificateDer::from_pem_slice(self.pem.as_bytes());
        let digest = Sha256::digest(der.as_deref().unwrap_or_default());
        let pairs: Vec<String> = digest.iter().map(|byte| format!("{byte:02X}")).collect();
        pairs.join(":")
    }

    /// A certificate and key for this machine under those names and addresses, ready to serve.
    pub fn serve_as(
        &self,
        hosts: &Hosts,
        now: OffsetDateTime,
    ) -> Result<Arc<ServerConfig>, CertificateError> {
        let key = KeyPair::generate().map_err(unusable)?;
        let mut params = CertificateParams::default();
        params.distinguished_name = named("dryfit");
        params.not_before = now - CLOCK_SLACK;
        params.not_after = now + CERTIFICATE_LASTS;
        params.use_authority_key_identifier_extension = true;
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        // Single-label names lie outside what the authority may vouch for.
        let vouched = |name: &&str| *name == "localhost" || name.ends_with(".local");
        for name in hosts.names().filter(vouched) {
            let name = name.try_into().map_err(unusable)?;
            params.subject_alt_names.push(SanType::DnsName(name));
        }
        for address in hosts.addresses() {
            params.subject_alt_names.push(SanType::IpAddress(address));
        }
        let certificate = params.signed_by(&key, &self.issuer).map_err(unusable)?;
        let secret = PrivateKeyDer::try_from(key.serialize_der()).map_err(unusable)?;
        config(vec![certificate.der().clone()], secret)
    }
}

/// A firm's own certificate, from PEM files.
pub fn from_files(certificate: &Path, key: &Path) -> Result<Arc<ServerConfig>, CertificateError> {
    let chain: Result<Vec<_>, _> = rustls::pki_types::CertificateDer::pem_file_iter(certificate)
        .map_err(unusable)?
        .collect();
    let chain = chain.map_err(unusable)?;
    let secret = PrivateKeyDer::from_pem_file(key).map_err(unusable)?;
    config(chain, secret)
}

fn config(
    chain: Vec<rustls::pki_types::CertificateDer<'static>>,
    secret: PrivateKeyDer<'static>,
) -> Result<Arc<ServerConfig>, CertificateError> {
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let mut config = ServerConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(unusable)?
        .with_no_client_auth()
        .with_single_cert(chain, secret)
        .map_err(unusable)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(Arc::new(config))
}

fn authority_params(key: &KeyPair, now: OffsetDateTime) -> CertificateParams {
    // The same key gives the same name, whatever the machine is called by then.
    let digest = Sha256::digest(key.der_bytes());
    let mut params = CertificateParams::default();
    params.distinguished_name = named(&format!(
        "dryfit on this laptop {:02x}{:02x}",
        digest[0], digest[1]
    ));
    params.not_before = now - CLOCK_SLACK;
    params.not_after = now + AUTHORITY_LASTS;
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign];
    let v4 = |address: [u8; 4], bits| {
        GeneralSubtree::IpAddress(CidrSubnet::from_v4_prefix(
            Ipv4Addr::from(address).octets(),
            bits,
        ))
    };
    let v6 = |address: Ipv6Addr, bits| {
        GeneralSubtree::IpAddress(CidrSubnet::from_v6_prefix(address.octets(), bits))
    };
    params.name_constraints = Some(NameConstraints {
        permitted_subtrees: vec![
            GeneralSubtree::DnsName("local".into()),
            GeneralSubtree::DnsName("localhost".into()),
            v4([10, 0, 0, 0], 8),
            v4([172, 16, 0, 0], 12),
            v4([192, 168, 0, 0], 16),
            v4([127, 0, 0, 0], 8),
            v6(Ipv6Addr::new(0xfc00, 0, 0, 0, 0, 0, 0, 0), 7),
            v6(Ipv6Addr::LOCALHOST, 128),
        ],
        excluded_subtrees: vec![],
    });
    params
}

fn named(name: &str) -> DistinguishedName {
    let mut distinguished = DistinguishedName::new();
    distinguished.push(DnType::CommonName, name);
    distinguished
}

/// A file that only its owner may read, from its first byte on.
fn write_secret(path: &Path, text: &str) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn unusable(error: impl std::fmt::Display) -> CertificateError {
    CertificateError::Unusable(error.to_string())
}

#[cfg(test)]
mod tests {
    use rustls::client::WebPkiServerVerifier;
    use rustls::client::danger::ServerCertVerifier;
    use rustls::pki_types::{CertificateDer, ServerName, UnixTime};
    use rustls::{ClientConfig, ClientConnection, RootCertStore, ServerConnection};

    use super::*;

    fn now() -> OffsetDateTime {
        OffsetDateTime::from_unix_timestamp(1_790_000_000).unwrap()
    }

    /// Talks TLS in memory between the server and a client that trusts the authority.
    fn greet(
        authority: &Authority,
        config: &Arc<ServerConfig>,
        name: &str,
    ) -> Result<(), rustls::Error> {
        let provider = Arc::new(rustls::crypto::ring::default_provider());
        let mut roots = RootCertStore::empty();
        roots
            .add(CertificateDer::from_pem_slice(authority.pem().as_bytes()).unwrap())
            .unwrap();
        let at = At(
            WebPkiServerVerifier::builder_with_provider(roots.into(), provider.clone())
                .build()
                .unwrap(),
        );
        let client = ClientConfig::builder_with_provider(provider)
            .with_safe_default_protocol_versions()
            .unwrap()
            .dangerous()
            .with_custom_certificate_verifier(Arc::new(at))
            .with_no_client_auth();
        let name = ServerName::try_from(name.to_owned()).unwrap();
        let mut client = ClientConnection::new(Arc::new(client), name)?;
        let mut server = ServerConnection::new(config.clone())?;
        while client.is_handshaking() || server.is_handshaking() {
            let mut sent = Vec::new();
            client.write_tls(&mut sent).unwrap();
            server.read_tls(&mut sent.as_slice()).unwrap();
            server.process_new_packets()?;
            sent.clear();
            server.write_tls(&mut sent).unwrap();
            client.read_tls(&mut sent.as_slice()).unwrap();
            client.process_new_packets()?;
        }
        Ok(())
    }

    /// The usual verifier at the test's own time.
    #[derive(Debug)]
    struct At(Arc<WebPkiServerVerifier>);

    impl ServerCertVerifier for At {
        fn verify_server_cert(
            &self,
            end: &CertificateDer<'_>,
            between: &[CertificateDer<'_>],
            name: &ServerName<'_>,
            ocsp: &[u8],
            _: UnixTime,
        ) -> Result<rustls::client::danger::ServerCertVerified, rustls::Error> {
            let now = UnixTime::since_unix_epoch(std::time::Duration::from_secs(1_790_000_000));
            self.0.verify_server_cert(end, between, name, ocsp, now)
        }
        fn verify_tls12_signature(
            &self,
            message: &[u8],
            certificate: &CertificateDer<'_>,
            signed: &rustls::DigitallySignedStruct,
        ) -> Result<rustls::client::danger::HandshakeSignatureValid, rustls::Error> {
            self.0.verify_tls12_signature(message, certificate, signed)
        }
        fn verify_tls13_signature(
            &self,
            message: &[u8],
            certificate: &CertificateDer<'_>,
            signed: &rustls::DigitallySignedStruct,
        ) -> Result<rustls::client::danger::HandshakeSignatureValid, rustls::Error> {
            self.0.verify_tls13_signature(message, certificate, signed)
        }
        fn supported_verify_schemes(&self) -> Vec<rustls::SignatureScheme> {
            self.0.supported_verify_schemes()
        }
    }

    #[test]
    fn a_phone_that_trusts_the_authority_trusts_the_laptop() {
        let folder = tempfile::tempdir().unwrap();
        let hosts = Hosts::loopback()
            .named("van-laptop")
            .at([192, 168, 1, 20].into());
        let authority = Authority::kept_in(folder.path(), now()).unwrap();
        let config = authority.serve_as(&hosts, now()).unwrap();
        for name in ["192.168.1.20", "van-laptop.local", "localhost", "127.0.0.1"] {
            greet(&authority, &config, name).unwrap_or_else(|error| panic!("{name}: {error}"));
        }
        assert!(greet(&authority, &config, "192.168.1.21").is_err());
        // The next start, months later, is trusted by what the phone has already.
        let again = Authority::kept_in(folder.path(), now() + Duration::days(200)).unwrap();
        assert_eq!(again.pem(), authority.pem());
        let config = again.serve_as(&hosts, now()).unwrap();
        greet(&authority, &config, "192.168.1.20").unwrap();
    }

    #[test]
    fn the_authority_vouches_for_nothing_of_the_open_internet() {
        let folder = tempfile::tempdir().unwrap();
        let authority = Authority::kept_in(folder.path(), now()).unwrap();
        for outside in [
            Hosts::loopback().at([203, 0, 113, 5].into()),
            Hosts::loopback().at([172, 32, 0, 1].into()),
        ] {
            let config = authority.serve_as(&outside, now()).unwrap();
            let address = outside
                .addresses()
                .find(|address| !address.is_loopback())
                .unwrap();
            let error = greet(&authority, &config, &address.to_string());
            assert!(error.is_err(), "{address}");
        }
        // A name of a bank is not even asked for.
        let bank = authority
            .serve_as(&Hosts::loopback().named("bank.example"), now())
            .unwrap();
        assert!(greet(&authority, &bank, "bank.example").is_err());
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_reads_the_key() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        Authority::kept_in(folder.path(), now()).unwrap();
        let key = fs::metadata(folder.path().join("authority-key.pem")).unwrap();
        assert_eq!(key.permissions().mode() & 0o777, 0o600);
    }

    #[test]
    fn a_broken_key_is_told_and_not_replaced() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("authority-key.pem"), "rubbish").unwrap();
        let error = Authority::kept_in(folder.path(), now()).err().unwrap();
        assert!(error.to_string().contains("is no key"), "{error}");
        assert_eq!(
            fs::read(folder.path().join("authority-key.pem")).unwrap(),
            b"rubbish"
        );
    }
}
