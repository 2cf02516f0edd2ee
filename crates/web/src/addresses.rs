//! Where other devices find this machine. It may be in several networks, in one without a way out (its own hotspot), or in none; and it
//! may change networks while the program runs.

use std::net::{IpAddr, Ipv4Addr};
use std::time::Duration;

/// Where a device finds this machine in one of its networks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Address {
    /// What to type, without the page.
    pub url: String,
    /// What the system calls its connection with that network.
    pub network: String,
}

/// How often the system is asked whether it has other addresses.
const LOOK: Duration = Duration::from_secs(3);

/// The addresses of now.
pub fn look(port: u16) -> Vec<Address> {
    // A system that does not say has none to show.
    let all = if_addrs::get_if_addrs().unwrap_or_default();
    shown(all.into_iter().map(|one| (one.name.clone(), one.ip())), port)
}

/// Those that a device can be told: the program listens on addresses of the fourth version alone. Those that a machine makes up where
/// nobody gives it one come last.
fn shown(all: impl Iterator<Item = (String, IpAddr)>, port: u16) -> Vec<Address> {
    let mut found: Vec<(bool, Ipv4Addr, String)> = all
        .filter_map(|(name, ip)| match ip {
            IpAddr::V4(ip) if !ip.is_loopback() && !ip.is_unspecified() => Some((ip.is_link_local(), ip, name)),
            _ => None,
        })
        .collect();
    found.sort();
    found.into_iter().map(|(_, ip, network)| Address { url: format!("http://{ip}:{port}"), network }).collect()
}

/// Says whenever the machine has other addresses, for ever.
pub async fn follow(port: u16, mut say: impl FnMut()) {
    let mut known = look(port);
    loop {
        tokio::time::sleep(LOOK).await;
        let now = look(port);
        if now != known {
            known = now;
            say();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_every_network_is_shown_once_and_none_that_leads_nowhere() {
        let all = [
            ("lo", "127.0.0.1"),
            ("usb0", "169.254.7.7"),
            ("wlan0", "192.168.1.5"),
            ("wlan0", "fe80::1"),
            ("hotspot", "10.42.0.1"),
        ];
        let all = all.map(|(name, ip)| (name.to_owned(), ip.parse().unwrap()));
        let shown = shown(all.into_iter(), 8080);
        let words: Vec<_> = shown.iter().map(|one| (one.url.as_str(), one.network.as_str())).collect();
        assert_eq!(
            words,
            [
                ("http://10.42.0.1:8080", "hotspot"),
                ("http://192.168.1.5:8080", "wlan0"),
                ("http://169.254.7.7:8080", "usb0")
            ]
        );
    }

    #[test]
    fn law_an_address_needs_no_way_out_of_the_network() {
        // What the system lists does not depend on a route: each address of a connection is there.
        let listed = if_addrs::get_if_addrs().unwrap();
        let v4 = listed.iter().filter(|one| one.ip().is_ipv4() && !one.is_loopback()).count();
        assert_eq!(look(80).len(), v4);
    }
}
