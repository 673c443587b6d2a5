//! A room of any size, turned by any angle, with what its walls hold.

#![allow(dead_code)]

use std::sync::Arc;

use geometry::{Point2, Point3, Vec2};
use routing::{
    Bars, Blocks, End, Framing, House, HouseGraph, Joists, Medium, Reckoning, Room, Route, Studs,
    Times, Void, Wall, Weights, cheapest,
};
use units::Metres;

/// What a test room is made of.
#[derive(Clone, Debug)]
pub struct Build {
    pub size_m: [f64; 2],
    pub height_m: f64,
    pub turn_rad: f64,
    /// Blocks of every wall.
    pub blocks: Blocks,
    /// Openings of the first wall.
    pub openings: Vec<[f64; 4]>,
    /// Joists above, which run along the first wall; `None`: an attic.
    pub joists: Option<Joists>,
    pub has_crawl_space: bool,
}

impl Default for Build {
    fn default() -> Self {
        Self {
            size_m: [6.0, 4.0],
            height_m: 2.4,
            turn_rad: 0.0,
            blocks: Blocks::At(Vec::new()),
            openings: Vec::new(),
            joists: None,
            has_crawl_space: false,
        }
    }
}

pub const ABOVE: usize = 0;
pub const BELOW: usize = 1;

/// Clockwise from the north wall, which runs along x at y = depth.
pub fn house(build: &Build) -> House {
    let [width, depth] = build.size_m;
    let turn = |x: f64, y: f64| {
        let (sin, cos) = build.turn_rad.sin_cos();
        Point2::new(cos * x - sin * y, sin * x + cos * y)
    };
    let corners = [
        turn(0.0, depth),
        turn(width, depth),
        turn(width, 0.0),
        turn(0.0, 0.0),
    ];
    let studs = Studs {
        first_m: Some(0.2),
        spacing_m: 0.4,
        doubt: None,
        has_knockouts: false,
        blocks: build.blocks.clone(),
    };
    let walls = (0..4).map(|index| {
        let (left, right) = (corners[index], corners[(index + 1) % 4]);
        let along = (right - left).unit().expect("a wall has a length");
        Wall {
            room: 0,
            left,
            along,
            length_m: left.distance(right),
            floor_m: 0.0,
            top: vec![
                [0.0, build.height_m],
                [left.distance(right), build.height_m],
            ],
            framing: Framing::Studs(studs.clone()),
            hazard: None,
            openings: if index == 0 {
                build.openings.clone()
            } else {
                Vec::new()
            },
            above: Some(ABOVE),
            below: build.has_crawl_space.then_some(BELOW),
            behind: None,
            party: None,
        }
    });
    let walls: Vec<Wall> = walls.collect();
    let times = Times::PRACTICE;
    let along: Vec2 = walls[0].along;
    let above = match build.joists {
        Some(joists) => Void {
            origin: corners[0],
            joists: Some(joists),
            ..Void::open(Medium::JoistBay, along, Metres(build.height_m), &times)
        },
        None => Void::open(Medium::Attic, along, Metres(build.height_m), &times),
    };
    let below = Void::open(Medium::CrawlSpace, along, Metres(0.0), &times);
    House {
        walls,
        rooms: vec![Room {
            walls: vec![0, 1, 2, 3],
            soffits: Vec::new(),
        }],
        voids: vec![above, below],
        ..House::default()
    }
}

/// On a wall, this far from its left corner, this high.
pub fn on(house: &House, wall: usize, from_left_m: f64, height_m: f64) -> End {
    End {
        at: house.walls[wall].point(from_left_m, height_m),
        wall: Some((wall, from_left_m, height_m)),
        above: None,
        has_rug: false,
        is_flush: false,
    }
}

/// Through the ceiling.
pub fn above(at: Point3) -> End {
    End {
        at,
        wall: None,
        above: Some(ABOVE),
        has_rug: false,
        is_flush: false,
    }
}

pub fn best(house: House, ends: [End; 2], bars: &Bars) -> Option<Route> {
    let graph = HouseGraph::new(Arc::new(house), &Times::PRACTICE);
    let (graph, nodes) = graph.with_ends(&ends);
    let weights = Weights::PRACTICE;
    cheapest(&graph, nodes[0], nodes[1], &Reckoning::new(&weights, bars))
}

pub fn media(route: &Route) -> Vec<Medium> {
    let mut media: Vec<Medium> = route.steps.iter().map(|step| step.by.medium).collect();
    media.dedup();
    media
}
