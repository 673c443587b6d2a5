//! Is what was acknowledged still there after the worst, and is the worst told plainly?

mod child;
mod damage;
mod disk;
mod kills;
mod servers;
