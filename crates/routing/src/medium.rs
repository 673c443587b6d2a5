//! What a cable runs through, and what makes that dangerous.

/// What a cable runs through or passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Medium {
    /// Up or down between two studs.
    StudBay,
    /// Through a stud, inside the closed wall.
    Stud,
    /// Through a block between two studs.
    FireBlock,
    /// Through the plate under or over the studs.
    Plate,
    /// Through the boards of a wall, into the room or void behind it.
    Board,
    /// Along between two joists or rafters.
    JoistBay,
    /// Through joists or rafters.
    Joist,
    /// Through an attic, a loft's eaves included.
    Attic,
    /// Through the crawl space.
    CrawlSpace,
    /// Inside a hollow box below the ceiling.
    Soffit,
    /// Through a closet, floor to floor.
    Closet,
    /// Inside a conduit or an open chase.
    Conduit,
    /// From a thing to the plate in the wall behind it.
    Lead,
    /// Behind the baseboard.
    Baseboard,
    /// Across a doorway, under its threshold or round its lining.
    Doorway,
    /// Under a rug.
    Rug,
    /// On the surface, for all to see.
    Surface,
    /// In a slot cut into masonry or concrete.
    Masonry,
}

impl Medium {
    /// Every medium, in the order of [`Medium`].
    pub const ALL: [Self; 18] = [
        Self::StudBay,
        Self::Stud,
        Self::FireBlock,
        Self::Plate,
        Self::Board,
        Self::JoistBay,
        Self::Joist,
        Self::Attic,
        Self::CrawlSpace,
        Self::Soffit,
        Self::Closet,
        Self::Conduit,
        Self::Lead,
        Self::Baseboard,
        Self::Doorway,
        Self::Rug,
        Self::Surface,
        Self::Masonry,
    ];

    /// Whether people see or feel the cable there: a last resort.
    pub const fn is_last_resort(self) -> bool {
        matches!(self, Self::Rug | Self::Surface)
    }
}

/// A set of media.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Media(u32);

impl Media {
    /// None.
    pub const NONE: Self = Self(0);

    /// These.
    pub fn of(media: impl IntoIterator<Item = Medium>) -> Self {
        Self((media.into_iter()).fold(0, |bits, medium| bits | 1 << medium as u32))
    }

    /// Whether a medium is among them.
    pub const fn holds(self, medium: Medium) -> bool {
        self.0 & (1 << medium as u32) != 0
    }

    /// These and one more.
    #[must_use]
    pub const fn with(self, medium: Medium) -> Self {
        Self(self.0 | 1 << medium as u32)
    }

    /// In the order of [`Medium`].
    pub fn iter(self) -> impl Iterator<Item = Medium> {
        Medium::ALL.into_iter().filter(move |one| self.holds(*one))
    }
}

/// What makes a part of a way dangerous, or somebody else's work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hazard {
    /// Insulation: fibres, and a cable that runs warmer.
    Insulation,
    /// A block that stops fire and smoke: what is drilled must be sealed again.
    FireBlock,
    /// Masonry or concrete: dust, and what may lie in it.
    Masonry,
    /// A wall rated against fire: a licensed trade's work.
    RatedWall,
}

impl Hazard {
    /// Whether only a licensed trade may do it unless the job says otherwise.
    pub const fn is_licensed(self) -> bool {
        matches!(self, Self::RatedWall)
    }
}
