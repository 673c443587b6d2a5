//! Links, channels, zones, activities, control and network.

mod activities_together;
mod activity_path;
mod amplifier_channels;
mod amplifier_load;
mod control_reach;
mod copy_protection;
mod link_rate;
mod network_length;
mod network_ports;
mod network_power;
mod sound_link;
mod sound_to_picture;
mod video_reach;

use crate::Check;

pub(crate) use network_ports::{addresses, on_network};

pub(crate) static CHECKS: &[&Check] = &[
    &activities_together::CHECK,
    &activity_path::CHECK,
    &amplifier_channels::CHECK,
    &amplifier_load::CHECK,
    &control_reach::CHECK,
    &copy_protection::CHECK,
    &link_rate::CHECK,
    &network_length::CHECK,
    &network_ports::CHECK,
    &network_power::CHECK,
    &sound_link::CHECK,
    &sound_to_picture::CHECK,
    &video_reach::CHECK,
];
