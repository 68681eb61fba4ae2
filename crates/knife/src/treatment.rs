//! What the maker chose for fire, oven and abrasives.

/// What is wanted of hardening, tempering and finishing; nothing of it need be chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Treatment {
    /// The temper, by what it is to give or by its heat.
    pub temper: Option<Temper>,
    /// The blade's finish.
    pub finish: Option<Finish>,
    /// How it is heated for hardening.
    pub heating: Option<Heating>,
}

/// The temper that is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Temper {
    /// One that gives this hardness, HRC.
    Hardness(f64),
    /// One at this heat, °C.
    Heat(f64),
}

/// A blade's finish.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    /// Tumbled with stones.
    Stonewash,
    /// Fine scratches, all one way.
    Satin,
    /// Etched by an acid.
    Etched,
    /// Polished.
    Mirror,
}

impl Finish {
    /// Every finish.
    pub const ALL: [Self; 4] = [Self::Stonewash, Self::Satin, Self::Etched, Self::Mirror];
    /// The words for them, in the same order.
    pub const LABELS: &'static [&'static str] = &["stonewash", "satin", "etched", "mirror"];

    /// The word a person reads.
    pub fn label(self) -> &'static str {
        match self {
            Self::Stonewash => "stonewash",
            Self::Satin => "satin",
            Self::Etched => "etched",
            Self::Mirror => "mirror",
        }
    }
}

/// How a blade is heated for hardening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heating {
    /// In an open forge, by eye and magnet.
    OpenForge,
    /// In an oven that holds a heat.
    Oven,
}

impl Heating {
    /// Both ways.
    pub const ALL: [Self; 2] = [Self::OpenForge, Self::Oven];
    /// The words for them, in the same order.
    pub const LABELS: &'static [&'static str] = &["open forge", "oven"];

    /// The word a person reads.
    pub fn label(self) -> &'static str {
        match self {
            Self::OpenForge => "open forge",
            Self::Oven => "oven",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_in_the_order_of_their_meanings() {
        assert_eq!(Finish::ALL.map(Finish::label), *Finish::LABELS);
        assert_eq!(Heating::ALL.map(Heating::label), *Heating::LABELS);
    }
}
